"""What the set-up refuses, what it asks for twice, and what it says at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

from tendtui.core.crops import CropTable, find_crop, nearest_crops
from tendtui.core.prompt import Question
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show, Tier
from tendtui.core.setup_again import brim_fits, least_fits, newest_value
from tendtui.core.setup_ask import Asks, ask_id
from tendtui.core.setup_names import (
    adjuster_names,
    bottle_of,
    crops_of,
    device_names,
    feed_names,
    list_of,
    phones_of,
    tier_names,
)
from tendtui.core.setup_rack import show_of, tier_value
from tendtui.core.show import show_value
from tendtui.core.tier_volume import litres_in_tier
from tendtui.core.walk_value import Answers, Entry, Judgement
from tendtui.words import _

__all__ = ["confirms", "judgement_of", "refusal_of"]

_TAKEN = ("water", "drained", "changed")
"""Words that the log keeps for itself."""

_NAMED_OUTSIDE: Mapping[float, float] = {110.0: 104.0, 125.0: 119.0, 160.0: 152.0}
"""Sizes by which drain pipes are sold, and the bore of such a pipe. [mm]

Source: 110, 125 and 160 are outside sizes of EN 1401; walls of about 3 to 4 mm, common practice."""

_DOWN = frozenset({"down", "minus", "acid", "senken", "säure"})
_UP = frozenset({"up", "plus", "alkali", "heben", "lauge"})
"""Words on labels that say which way a bottle moves pH."""

_LETTERS = 3
"""A shorter name stands in many others by chance. Source: chosen here."""


def refusal_of(question: Question, entry: Entry, answers: Answers, *, asks: Asks, crops: CropTable) -> str:
    """Give the sentence that refuses an answer, or an empty text."""
    ask = asks[ask_id(question.key)]
    if entry.value is not None:
        if ask.bounds is not None and not ask.bounds[0] <= entry.value <= ask.bounds[1]:
            return _(ask.refused)
        return _refused_number(question.key, entry.value, answers)
    if entry.text:
        return _refused_text(question.key, entry.text, answers, crops)
    if ask_id(question.key) == "adjuster.direction":
        return _refused_direction(entry.word, _number_of(question.key), answers)
    return ""


def judgement_of(question: Question, value: float, answers: Answers, *, asks: Asks) -> Judgement:
    """Say whether a number is to be typed twice, and what it makes."""
    ask = asks[ask_id(question.key)]
    show = show_of(answers)
    if ask.likely is not None and ask.quantity is not None and not ask.likely[0] <= value <= ask.likely[1]:
        if ask.doubtful:
            return Judgement(again=_(ask.doubtful).format(value=show_value(value, ask.quantity, show)))
        return Judgement(
            again=_(
                "{value} is unusual here: mostly it lies between {low} and {high}. Look at the point and the "
                "unit, measure again and type it once more."
            ).format(
                value=show_value(value, ask.quantity, show),
                low=show_value(ask.likely[0], ask.quantity, show),
                high=show_value(ask.likely[1], ask.quantity, show),
            )
        )
    odd = _odd_mark(ask_id(question.key), value, answers) or _outside_size(ask_id(question.key), value)
    if odd:
        return Judgement(again=odd)
    if ask_id(question.key) in ("tier.lip", "tier.lip2"):
        return _lip_made(question.key, value, answers, show)
    return Judgement()


def confirms(first: float, second: float) -> bool:
    """Say whether a number typed again is the one typed before, to two parts in a hundred."""
    return abs(first - second) <= 0.02 * max(abs(first), abs(second))


def _odd_mark(asked: str, value: float, answers: Answers) -> str:
    """Say why a brim or a least mark is typed a second time: it doesn't fit the full mark."""
    full_l, show = answers.value("reservoir.full"), show_of(answers)
    if full_l is None:
        return ""
    marks = {
        "value": show_value(value, Quantity.LEVEL, show),
        "full": show_value(full_l, Quantity.LEVEL, show),
    }
    if asked == "reservoir.brim" and not brim_fits(value, full_l=full_l):
        said = _(
            "{value} to the brim and {full} at the full mark are far apart. Look at both, and type the brim "
            "once more; to mend the full mark, go back with Backspace."
        )
        return said.format(**marks)
    if asked == "reservoir.least" and not least_fits(value, full_l=full_l):
        said = _(
            "{value} as the least is unusual beside {full} at the full mark: mostly it is a quarter to a "
            "half. Type it once more."
        )
        return said.format(**marks)
    return ""


def _outside_size(asked: str, bore_mm: float) -> str:
    """Say that a width which drain pipes are named by is measured outside."""
    inside_mm = _NAMED_OUTSIDE.get(bore_mm) if asked == "tier.bore" else None
    if inside_mm is None:
        return ""
    return _(
        "Pipes called {outside:g} mm measure that outside, and about {inside:g} mm inside. Measure from wall "
        "to wall inside and type it once more."
    ).format(outside=bore_mm, inside=inside_mm)


def _lip_made(key: str, lip_mm: float, answers: Answers, show: Show) -> Judgement:
    n = _number_of(key)
    bore, length = tier_value(answers, n, "bore"), tier_value(answers, n, "length")
    if bore is None or length is None or lip_mm > bore:
        return Judgement()
    tier = Tier(name="", pipe_inside_mm=bore, length_m=length, outlet_height_mm=lip_mm)
    made = _("{litres} stand in this pipe up to the lip.").format(
        litres=show_value(litres_in_tier(tier), Quantity.VOLUME, show)
    )
    if lip_mm > 0.9 * bore:
        made += " " + _("[!] The lip is close under the top: a few roots in it, and the pipe runs over.")
    elif lip_mm < 0.2 * bore:
        made += " " + _("[!] That is shallow: pots must reach down to it.")
    return Judgement(notice=made)


def _refused_number(key: str, value: float, answers: Answers) -> str:
    checks: Mapping[str, Callable[[], str]] = {
        "reservoir.full": lambda: _full(value, answers),
        "reservoir.least": lambda: _least(value, answers),
        "reservoir.brim": lambda: _brim(value, answers),
        "tier.bore": lambda: _bore(key, value, answers),
        "tier.lip": lambda: _lip(key, value, answers),
        "tier.lip2": lambda: _lip(key, value, answers),
        "target.ec_high": lambda: _upside_down(value, answers.value("target.ec_low")),
        "target.ph_high": lambda: _upside_down(value, answers.value("target.ph_low")),
        "target.t_high": lambda: _upside_down(value, answers.value("target.t_low")),
        "target.change_days": lambda: "" if value == int(value) else _("Type whole days."),
    }
    check = checks.get(ask_id(key))
    return "" if check is None else check()


def _full(value: float, answers: Answers) -> str:
    brim = newest_value(answers, "reservoir.brim")
    if brim is not None and value >= brim:
        return _("The full mark must lie below the brim ({brim}). Type less, or mend the brim first.").format(
            brim=show_value(brim, Quantity.LEVEL, show_of(answers))
        )
    return ""


def _least(value: float, answers: Answers) -> str:
    full = answers.value("reservoir.full")
    if full is not None and value >= full:
        return _(
            "The full mark ({full}) must stand above the least mark. Type less, or go back with Backspace "
            "and mend the full mark."
        ).format(full=show_value(full, Quantity.LEVEL, show_of(answers)))
    return ""


def _brim(value: float, answers: Answers) -> str:
    full = answers.value("reservoir.full")
    if full is not None and value <= full:
        return _(
            "The brim must lie above the full mark ({full}). Type what it holds filled to the rim, or go "
            "back and mend the full mark."
        ).format(full=show_value(full, Quantity.LEVEL, show_of(answers)))
    return ""


def _bore(key: str, value: float, answers: Answers) -> str:
    again = answers.value(f"tier-{_number_of(key)}.lip2")
    if again is not None and again > value:
        return _(
            "The lip was measured at {lip:g} mm: it would stand above a pipe of {bore:g} mm. Measure the "
            "bore again, or go on and mend the lip first."
        ).format(lip=again, bore=value)
    return ""


def _lip(key: str, value: float, answers: Answers) -> str:
    bore = tier_value(answers, _number_of(key), "bore")
    if bore is not None and value > bore:
        return _(
            "A lip at {lip:g} mm would stand above the pipe, which is {bore:g} mm wide inside. Measure both "
            "from the pipe's inside bottom, or go back with Backspace and mend the bore."
        ).format(lip=value, bore=bore)
    return ""


def _upside_down(high: float, low: float | None) -> str:
    if low is not None and high <= low:
        return _("The highest must lie above the lowest. Type more, or go back and mend the lowest.")
    return ""


def _refused_text(key: str, text: str, answers: Answers, crops: CropTable) -> str:
    match ask_id(key):
        case "tier.name":
            return _refused_name(text, _others(key, tier_names(answers), answers))
        case "feed.name":
            others = (*_others(key, feed_names(answers), answers), *adjuster_names(answers))
            return _refused_bottle(text, others)
        case "adjuster.name":
            others = (*feed_names(answers), *_others(key, adjuster_names(answers), answers))
            return _refused_bottle(text, others)
        case "device.name":
            return _refused_name(text, _others(key, device_names(answers), answers))
        case "tier.crops":
            return _refused_crops(text, crops)
        case "phones.list":
            return _refused_phones(text)
        case _:
            return _too_long(text)


def _refused_direction(word: str, number: int, answers: Answers) -> str:
    """Refuse that a bottle called pH down takes it up: each dose would go the wrong way."""
    name = adjuster_names(answers)[number - 1]
    told = set(re.findall(r"\w+", name.casefold()))
    is_down, is_up = bool(told & _DOWN), bool(told & _UP)
    if is_down == is_up or word == ("down" if is_down else "up"):
        return ""
    said = (
        _("{name} says by its name that it takes pH down. Look at the label; if the name is wrong, go back.")
        if is_down
        else _(
            "{name} says by its name that it takes pH up. Look at the label; if the name is wrong, go back."
        )
    )
    return said.format(name=name)


def _others(key: str, names: tuple[str, ...], answers: Answers) -> Iterable[str]:
    """Give the names that were typed for others of the kind: a usual name makes way."""
    station = ask_id(key).partition(".")[0]
    here = _number_of(key)
    return (
        name for n, name in enumerate(names, start=1) if n != here and answers.text(f"{station}-{n}.name")
    )


def _refused_name(name: str, taken: Iterable[str]) -> str:
    if "=" in name:
        return _("A name can't hold the sign = since NAME=VALUE is how it is recorded. Leave it out.")
    if name.casefold() in _TAKEN:
        return _("{name} is a word of the log itself. Add something to it: {name} 1.").format(name=name)
    if name.casefold() in {other.casefold() for other in taken}:
        return _("{name} is taken already. Add a word or a number to tell them apart.").format(name=name)
    return _too_long(name)


def _refused_bottle(typed: str, taken: tuple[str, ...]) -> str:
    """Refuse a name that can't be, and ask about one that holds another bottle's: two run together."""
    name = bottle_of(typed)
    refused = _refused_name(name, taken) or _digits_only(name)
    if refused or typed != name:
        return refused
    told = (other for other in taken if len(other) >= _LETTERS)
    held = next((other for other in told if other.casefold() in name.casefold()), None)
    if held is None:
        return ""
    return _(
        "{name} holds the name of another bottle, {other}. Type only what stands on this label; if it is "
        "right as it is, put ! after it."
    ).format(name=name, other=held)


def _digits_only(name: str) -> str:
    """Refuse a bottle's name of digits only: it would be read as an amount or an answer's number."""
    if not name.translate(dict.fromkeys(map(ord, " .,"))).isdecimal():
        return ""
    return _("{name} is a number, not a bottle's name. Type the words on its label.").format(name=name)


def _too_long(text: str) -> str:
    if not text.strip("-?. "):
        return _("{text} is no name. A name needs a letter or a digit.").format(text=text)
    if len(text) > 60:
        return _("That is {n} letters; 60 fit on a page. Say it shorter.").format(n=len(text))
    return ""


def _refused_crops(text: str, crops: CropTable) -> str:
    for name in crops_of(text):
        if not name.strip("0123456789 .,"):
            return _(
                "{name} is no crop. Type names, like lettuce, basil; how many there are is asked next."
            ).format(name=name)
    for name in list_of(text):
        if name.endswith("!") or find_crop(name, crops) is not None:
            continue
        near = nearest_crops(name, crops)
        if near:
            return _(
                "{name} is not in the crop list. Is it {near}? Type the list again; to keep the name as it "
                "is, put ! after it."
            ).format(name=name, near=_(" or ").join(near))
    if any(len(name) > 40 for name in crops_of(text)):
        return _("A crop's name of more than 40 letters: put commas between the names.")
    return ""


def _refused_phones(text: str) -> str:
    phones = phones_of(text)
    if len(phones) < len(list_of(text)):
        return _("Each needs a name and a number: Ann 0123 456, electrician 0987 654.")
    return ""


def _number_of(key: str) -> int:
    found = re.match(r"[a-z]+-(\d+)\.", key)
    return int(found[1]) if found else 0
