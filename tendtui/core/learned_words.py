"""What was learned, said plainly; and as plain tables for the state file, and back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from math import exp

from tendtui.core.figure import RESPONSE, figures_of, part_words
from tendtui.core.learn_course import pipes_of
from tendtui.core.learned_values import Factor
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.show import show_amount, show_value
from tendtui.core.thirst import Thirst
from tendtui.words import _, n_

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.learned import Aside, Learning, Pace

__all__ = ["figure_lesson", "learned_table", "learning_from", "lesson_lines", "thirst_percent"]

FAHRENHEIT = 1.8
"""Degrees Fahrenheit in a degree Celsius."""

NINE_IN_TEN = 1.645
"""Spreads to either side of the middle that hold nine in ten of a normal law."""


def lesson_lines(rack: Rack, learning: Learning) -> tuple[str, ...]:
    """Say what was learned, one sentence each, with how often it was seen."""
    told = (figure_lesson(rack, learning, figure) for figure in figures_of(rack))
    return (*(line for line in told if line), *(_aside_words(old) for old in learning.aside))


def figure_lesson(rack: Rack, learning: Learning, figure: str) -> str:
    """Say what was learned of one figure; empty: nothing yet.

    Args:
        rack: The rack.
        learning: What was learned of it.
        figure: See `tendtui.core.figure`.
    """
    if figure.startswith(RESPONSE):
        bottle = figure.removeprefix(RESPONSE)
        factor = learning.response.get(bottle)
        return "" if factor is None else _response_words(bottle, factor)
    match figure:
        case "feed" if learning.feed is not None:
            return _feed_words(learning.feed)
        case "pipes" if learning.pipes is not None and learning.pipes.count >= 3:
            return _pipes_words(pipes_of(rack), learning.pipes, rack.show)
        case "ph_day" if learning.ph_day is not None:
            return _ph_words(learning.ph_day)
        case "eaten_day" if learning.eaten_day is not None:
            return _eaten_words(learning.eaten_day, rack.show)
        case "thirst" if learning.thirst is not None:
            return _thirst_words(learning.thirst, rack.show)
        case _:
            return ""


def learned_table(learning: Learning) -> dict[str, object]:
    """Give the figures as plain values for the state file."""
    table: dict[str, object] = {}
    for name in ("feed", "pipes"):
        factor = getattr(learning, name)
        if factor is not None:
            table[name] = _factor_table(factor)
    if learning.response:
        table["response"] = {name: _factor_table(factor) for name, factor in learning.response.items()}
    for name in ("ph_day", "eaten_day"):
        pace = getattr(learning, name)
        if pace is not None:
            table[name] = _factor_table(pace)
    if learning.thirst is not None:
        thirst = learning.thirst
        table["thirst"] = {
            "factor": thirst.factor,
            "per_degree": thirst.per_degree,
            "spread": thirst.spread,
            "count": thirst.count,
        }
    if learning.aside:
        table["aside"] = [
            {"what": old.what, "figure": old.figure, "until": old.until, **_factor_table(old.factor)}
            for old in learning.aside
        ]
    if learning.frozen:
        table["frozen"] = list(learning.frozen)
    if learning.reset:
        table["reset"] = dict(learning.reset)
    return table


def learning_from(table: Mapping[str, object]) -> Learning:
    """Read the figures back; what can't be read is left out, since the log gives it again."""
    from tendtui.core.learned import Aside, Learning, Pace

    def pace(name: str) -> Pace | None:
        factor = _factor_from(table.get(name))
        return None if factor is None else Pace(value=factor.value, spread=factor.spread, count=factor.count)

    rows = table.get("aside")
    aside = []
    for row in rows if isinstance(rows, list) else []:
        factor = _factor_from(row)
        if factor is not None and isinstance(row.get("until"), datetime):
            what, figure = str(row.get("what", "")), str(row.get("figure", ""))
            aside.append(Aside(what=what, figure=figure, until=row["until"], factor=factor))
    response, reset, frozen = table.get("response"), table.get("reset"), table.get("frozen")
    return Learning(
        feed=_factor_from(table.get("feed")),
        response={
            str(name): factor
            for name, row in (response.items() if isinstance(response, Mapping) else ())
            if (factor := _factor_from(row)) is not None
        },
        pipes=_factor_from(table.get("pipes")),
        ph_day=pace("ph_day"),
        eaten_day=pace("eaten_day"),
        thirst=_thirst_from(table.get("thirst")),
        aside=tuple(aside),
        frozen=tuple(str(name) for name in frozen) if isinstance(frozen, list) else (),
        reset={
            str(name): at
            for name, at in (reset.items() if isinstance(reset, Mapping) else ())
            if isinstance(at, datetime)
        },
    )


def _feed_words(factor: Factor) -> str:
    share = round(100.0 * abs(factor.value - 1.0))
    if share < 2:
        words = _("This feed is as strong as its label says; {pours}.")
    elif factor.value < 1.0:
        words = _("This feed is about {share} % weaker than its label says; {pours}.")
    else:
        words = _("This feed is about {share} % stronger than its label says; {pours}.")
    return words.format(share=share, pours=_pours(factor.count)) + " " + _give_or_take(factor)


def _response_words(name: str, factor: Factor) -> str:
    share = round(100.0 * abs(factor.value - 1.0))
    if share < 3:
        words = _("{bottle} acts as the chemistry says; {pours}.")
    elif factor.value > 1.0:
        words = _("This tank needs about {share} % more {bottle} than the chemistry says; {pours}.")
    else:
        words = _("This tank needs about {share} % less {bottle} than the chemistry says; {pours}.")
    said = words.format(bottle=name, share=share, pours=_pours(factor.count))
    return said + " " + _give_or_take(factor)


def _give_or_take(factor: Factor) -> str:
    """Say how far it may be off: nine times in ten it is nearer."""
    share = max(1, round(100.0 * factor.value * (exp(NINE_IN_TEN * factor.spread) - 1.0)))
    return _("Give or take {share} %.").format(share=share)


def _aside_words(old: Aside) -> str:
    """Say what was learned of a bottle or meter that is gone."""
    share = round(100.0 * (old.factor.value - 1.0))
    if old.figure.startswith(RESPONSE):
        much = _("{share} % more was needed than the chemistry says")
        little = _("{share} % less was needed than the chemistry says")
    else:
        much = _("{share} % stronger than its label")
        little = _("{share} % weaker than its label")
    said = (much if share >= 0 else little).format(share=abs(share))
    return _("Kept aside: {what} until {day}, {said}; {pours}.").format(
        what=part_words(old.what), day=f"{old.until:%Y-%m-%d}", said=said, pours=_pours(old.factor.count)
    )


def _pipes_words(believed_l: float, factor: Factor, show: Show) -> str:
    return _(
        "The pipes seem to hold about {litres}; rack.toml says, or its measures give, {believed}. "
        "{count} top-ups."
    ).format(
        litres=show_value(round(believed_l * factor.value), Quantity.VOLUME, show),
        believed=show_value(round(believed_l), Quantity.VOLUME, show),
        count=factor.count,
    )


def _ph_words(pace: Pace) -> str:
    if abs(pace.value) < 0.02:
        return _("pH stays where it is from day to day; seen on {count} days.").format(count=pace.count)
    words = (
        _("pH rises by about {amount} a day by itself; seen on {count} days.")
        if pace.value > 0.0
        else _("pH falls by about {amount} a day by itself; seen on {count} days.")
    )
    return words.format(amount=show_amount(abs(pace.value)), count=pace.count)


def _eaten_words(pace: Pace, show: Show) -> str:
    return _("The plants take about {amount} a day out of a full tank; seen on {count} days.").format(
        amount=show_value(max(0.0, pace.value), Quantity.CONDUCTIVITY, show), count=pace.count
    )


def thirst_percent(thirst: Thirst, show: Show) -> float:
    """Give how much more a degree of the person's scale makes them drink. [%]."""
    return 100.0 * thirst.per_degree / (FAHRENHEIT if show.temperature == "F" else 1.0)


def _thirst_words(thirst: Thirst, show: Show) -> str:
    return _(
        "These plants drink {factor} times what is usual for such plants, and {share:.0f} % more for "
        "each degree; seen on {count} days."
    ).format(
        factor=show_amount(thirst.factor, decimals=1), share=thirst_percent(thirst, show), count=thirst.count
    )


def _pours(count: int) -> str:
    return n_("{count} pour", "{count} pours", count).format(count=count)


def _factor_table(factor: Factor | Pace) -> dict[str, object]:
    return {"value": factor.value, "spread": factor.spread, "count": factor.count}


def _factor_from(row: object) -> Factor | None:
    if not isinstance(row, Mapping):
        return None
    value, spread, count = row.get("value"), row.get("spread"), row.get("count")
    if not isinstance(value, int | float) or not isinstance(spread, int | float):
        return None
    return Factor(value=float(value), spread=float(spread), count=count if isinstance(count, int) else 0)


def _thirst_from(row: object) -> Thirst | None:
    if not isinstance(row, Mapping):
        return None
    numbers = [row.get(name) for name in ("factor", "per_degree", "spread")]
    if not all(isinstance(number, int | float) for number in numbers):
        return None
    factor, per_degree, spread = (float(str(number)) for number in numbers)
    count = row.get("count")
    return Thirst(
        factor=factor,
        per_degree=per_degree,
        spread=spread,
        count=count if isinstance(count, int) else 0,
    )
