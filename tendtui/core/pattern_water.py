"""Patterns of the level: leak, thirst, water that came in, drinking that fell off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from math import hypot

from tendtui.core.pattern_view import Drink, Found, View, when_words
from tendtui.core.quantity import Quantity
from tendtui.core.show import show_amount
from tendtui.value import replace
from tendtui.words import _

__all__ = ["WATER_DETECTORS", "drinks_less", "drinks_more", "held_in_pipe", "leak", "level_up"]

_WEAK = ("weak-or-gulping", "drops-or-nothing")
"""What a look at an outlet can say that means less water."""


def leak(view: View, when: Mapping[str, float]) -> Found | None:
    """Find water that leaves beyond thirst and takes its share of salt along, over one to three spans."""
    return None if _weak_outlets(view) else _gone(view, when)


def held_in_pipe(view: View, when: Mapping[str, float]) -> Found | None:
    """Find the same where the floor is dry and an outlet is weak: the water stands in that pipe."""
    tiers, found = _weak_outlets(view), _gone(view, when)
    if not tiers or found is None:
        return None
    seen = _("The floor was dry; the stream of {tiers} was weak.").format(tiers=", ".join(tiers))
    return replace(found, about=tiers[0], evidence=(*found.evidence[:1], seen))


def _weak_outlets(view: View) -> tuple[str, ...]:
    """Give the tiers whose outlet was weak on the newest round; none where the floor wasn't seen dry."""
    looks = {} if view.newest is None else view.newest.reading.looks
    if looks.get("floor.floor") != "tissue-dry":
        return ()
    names = (tier.name for tier in view.course.rack.tiers)
    return tuple(name for name in names if looks.get(f"{name}.flow") in _WEAK)


def _gone(view: View, when: Mapping[str, float]) -> Found | None:
    for drinks in _newest(view, most=3):
        excess, spread, days, expected = _sums(drinks)
        least = max(when["least_l_day"] * days, when["least_share_of_thirst"] * expected)
        if excess < least or excess < when["spreads"] * spread:
            continue
        gone, unsure = _salt_gone(drinks)
        if gone is None:
            return _leak_found(view, drinks, excess, days, expected, sure="medium")
        carried = excess * (drinks[-1].span.first.conductivity_ms_cm or 0.0)
        if gone > 0.5 * carried and gone > when["salt_spreads"] * unsure:
            return _leak_found(view, drinks, excess, days, expected, sure="high")
    return None


def drinks_more(view: View, when: Mapping[str, float]) -> Found | None:
    """Find far more water gone than thirst explains, while its salt stayed."""
    for drinks in _newest(view, most=2):
        excess, spread, days, expected = _sums(drinks)
        least = max(when["least_l_day"] * days, when["least_share_of_thirst"] * expected)
        if excess < least or excess < when["spreads"] * spread:
            continue
        gone, unsure = _salt_gone(drinks)
        carried = excess * (drinks[-1].span.first.conductivity_ms_cm or 0.0)
        if gone is not None and gone < max(0.5 * carried, 2.0 * unsure):
            return Found(evidence=(_thirst_words(view, excess, days, expected),), at=_at(drinks), about="")
    return None


def level_up(view: View, when: Mapping[str, float]) -> Found | None:
    """Find a level that stands higher than what was written explains."""
    span = view.last_span
    if span is None or span.drunk_l is None or span.days > 7.0:
        return None
    drinks = view.drinks[-1:] if view.drinks and view.drinks[-1].span == span else ()
    expected = drinks[0].expected_l if drinks else 0.0
    spread = drinks[0].spread_l if drinks else 0.01 * span.last.full_l + 0.5
    came = expected - span.drunk_l
    rose = -span.drunk_l
    if rose < 0.5 * when["least_l"] or came < max(when["least_l"], when["spreads"] * spread):
        return None
    return Found(
        evidence=(
            _("{day}: {litres} more in the reservoir than the last level and the diary give.").format(
                day=when_words(span.last.at), litres=view.said(came, Quantity.VOLUME)
            ),
        ),
        at=span.last.at,
    )


def drinks_less(view: View, when: Mapping[str, float]) -> Found | None:
    """Find several spans in a row that fall far behind the usual thirst."""
    drinks = view.drinks[-int(when["spans"]) :]
    if len(drinks) < when["spans"] or view.last_span is None or drinks[-1].span != view.last_span:
        return None
    excess, spread, days, expected = _sums(drinks)
    if expected < 1.0 * days or excess > -when["spreads"] * spread:
        return None
    if any(d.drunk_l > when["most_share"] * d.expected_l for d in drinks):
        return None
    return Found(
        evidence=(
            _("{litres} a day on the last {days:.0f} days; {usual} were to be expected.").format(
                litres=view.said((expected + excess) / days, Quantity.VOLUME),
                days=days,
                usual=view.said(expected / days, Quantity.VOLUME),
            ),
        ),
        at=_at(drinks),
    )


def _newest(view: View, *, most: int) -> Sequence[tuple[Drink, ...]]:
    """Give the newest span, the newest two, and so on, while the newest is recent."""
    drinks = view.drinks
    if not drinks or view.last_span is None or drinks[-1].span != view.last_span:
        return ()
    return [drinks[-n:] for n in range(1, most + 1) if n <= len(drinks)]


def _sums(drinks: Sequence[Drink]) -> tuple[float, float, float, float]:
    """Give excess, its spread, days and litres expected; thirst is off the same way on days that follow."""
    days = sum(d.span.days for d in drinks)
    expected = sum(d.expected_l for d in drinks)
    excess = sum(d.excess_l for d in drinks)
    level = hypot(drinks[0].spread_l, 0.0) if len(drinks) == 1 else max(d.spread_l for d in drinks)
    return excess, level * len(drinks) ** 0.75, days, expected


def _salt_gone(drinks: Sequence[Drink]) -> tuple[float | None, float]:
    """Give the salt that went beyond eating, and its spread. [mS/cm·L]."""
    gone = 0.0
    for drink in drinks:
        if drink.salt_lost is None:
            return None, 0.0
        gone += drink.salt_lost - drink.salt_expected
    return gone, max(d.salt_spread for d in drinks) * len(drinks) ** 0.5


def _leak_found(
    view: View, drinks: Sequence[Drink], excess: float, days: float, expected: float, *, sure: str
) -> Found:
    lines = [_thirst_words(view, excess, days, expected)]
    span = drinks[-1].span
    if span.first.conductivity_ms_cm is not None and span.last.conductivity_ms_cm is not None:
        lines.append(
            _("The strength did not rise as drinking would make it: {before}, then {after}.").format(
                before=view.said(drinks[0].span.first.conductivity_ms_cm, Quantity.CONDUCTIVITY),
                after=view.said(span.last.conductivity_ms_cm, Quantity.CONDUCTIVITY),
            )
        )
    return Found(evidence=tuple(lines), at=_at(drinks), sure="high" if sure == "high" else "medium")


def _thirst_words(view: View, excess: float, days: float, expected: float) -> str:
    return _("{litres} went in {days} days; {usual} were to be expected.").format(
        litres=view.said(expected + excess, Quantity.VOLUME),
        days=show_amount(days, decimals=1),
        usual=view.said(expected, Quantity.VOLUME),
    )


def _at(drinks: Sequence[Drink]) -> datetime:
    return drinks[-1].span.last.at


WATER_DETECTORS = {
    "leak": leak,
    "held_in_pipe": held_in_pipe,
    "drinks_more": drinks_more,
    "level_up": level_up,
    "drinks_less": drinks_less,
}
