"""Names and counts in a set-up's answers: as typed, else as usual, and never two alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tendtui.core.walk_value import Answers
from tendtui.words import _

__all__ = [
    "adjuster_names",
    "bottle_of",
    "count_of",
    "crops_of",
    "device_names",
    "feed_names",
    "list_of",
    "numbered_names",
    "phones_of",
    "tier_names",
]


def count_of(answers: Answers, key: str, *, most: int) -> int:
    """Give how many there are of something, 0 where it isn't said."""
    return min(most, int(answers.value(key) or 0))


def list_of(text: str) -> tuple[str, ...]:
    """Give names that stand with commas or semicolons between, each once."""
    names = (name.strip() for name in text.replace(";", ",").split(","))
    return tuple(dict.fromkeys(name for name in names if name))


def crops_of(text: str) -> tuple[str, ...]:
    """Give crops as typed; the `!` that keeps an unknown one is taken off."""
    return tuple(dict.fromkeys(c for name in list_of(text) if (c := name.rstrip("! ").strip())))


def bottle_of(text: str) -> str:
    """Give a bottle's name as typed; the `!` that keeps one holding another's name is taken off."""
    return text.rstrip("! ").strip() or text


def numbered_names(kind: str, n: int, name: str) -> dict[str, str]:
    """Give what stands in the braces of a numbered question: its name, its number, an example of its own."""
    letter = chr(ord("A") + n - 1) if n <= 26 else str(n)
    example = _("pH Down") if n == 1 else _("pH Up")
    return {kind: name, "n": str(n), "letter": letter, "example": example}


def phones_of(text: str) -> dict[str, str]:
    """Give who -> number of `Ann 0123 456, electrician 0987`; a number alone is called by itself."""
    phones: dict[str, str] = {}
    for entry in list_of(text):
        at = next((n for n, letter in enumerate(entry) if letter.isdigit() or letter == "+"), len(entry))
        number = entry[at:].strip()
        phones[entry[:at].strip(" :") or number] = number
    return {who: number for who, number in phones.items() if number}


def tier_names(answers: Answers) -> tuple[str, ...]:
    """Give the tiers' names, top to bottom: as typed, else as usual."""
    many = count_of(answers, "tiers.count", most=60)
    typed = {n: answers.text(f"tier-{n}.name") for n in range(1, many + 1)}
    return _named(typed, lambda n: _usual_tier(n, many))


def feed_names(answers: Answers) -> tuple[str, ...]:
    """Give the feed's parts, in pouring order."""
    many = count_of(answers, "feeds.count", most=12)
    typed = {n: bottle_of(answers.text(f"feed-{n}.name")) for n in range(1, many + 1)}
    return _named(typed, lambda n: _("Feed {n}").format(n=n))


def adjuster_names(answers: Answers) -> tuple[str, ...]:
    """Give the pH bottles."""
    many = count_of(answers, "adjusters.count", most=6)
    typed = {n: bottle_of(answers.text(f"adjuster-{n}.name")) for n in range(1, many + 1)}
    return _named(typed, lambda n: _("pH bottle {n}").format(n=n))


def device_names(answers: Answers) -> tuple[str, ...]:
    """Give the devices."""
    many = count_of(answers, "devices.count", most=40)
    typed = {n: answers.text(f"device-{n}.name") for n in range(1, many + 1)}
    kinds = {
        "pump": _("Pump"),
        "air pump": _("Air pump"),
        "light": _("Lamps"),
        "fan": _("Fan"),
        "heater": _("Heater"),
        "timer": _("Timer"),
    }
    return _named(typed, lambda n: kinds.get(answers.word(f"device-{n}.kind")) or _("Device {n}").format(n=n))


def _named(typed: Mapping[int, str], usual: Callable[[int], str]) -> tuple[str, ...]:
    taken = {name.casefold() for name in typed.values() if name}
    names: list[str] = []
    for n, name in typed.items():
        given = name or usual(n)
        again = 2
        while not name and given.casefold() in taken:
            given = _("{name} {n}").format(name=usual(n), n=again)
            again += 1
        taken.add(given.casefold())
        names.append(given)
    return tuple(names)


def _usual_tier(n: int, many: int) -> str:
    if n == 1:
        return _("Top")
    if n == many:
        return _("Bottom")
    return _("Middle") if many == 3 else _("Tier {n}").format(n=n)
