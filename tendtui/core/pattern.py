"""Patterns: what readings mean when they are taken together.

A pattern is data (`patterns.toml`); what finds it is a small pure function in a `pattern_*` module. Several
may speak at once; they stand in the order of suspicion: meter, diary, plumbing, pH, strength, disease,
shortage.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime

from tendtui.core.pattern_diary import DIARY_DETECTORS
from tendtui.core.pattern_flow import FLOW_DETECTORS
from tendtui.core.pattern_meter import METER_DETECTORS
from tendtui.core.pattern_ph import PH_DETECTORS
from tendtui.core.pattern_plants import PLANT_DETECTORS
from tendtui.core.pattern_salt import SALT_DETECTORS
from tendtui.core.pattern_view import Found, View
from tendtui.core.pattern_water import WATER_DETECTORS
from tendtui.core.quantity import Quantity
from tendtui.core.show import quantity_name
from tendtui.value import field, replace, value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    Sure = Literal["high", "medium", "low"]
    Severity = Literal["stop", "today", "week"]

__all__ = ["DETECTORS", "GROUPS", "Pattern", "Sign", "patterns_from", "signs", "told_by_eyes"]

Detector = Callable[[View, Mapping[str, float]], Found | None]

GROUPS = ("meter", "diary", "plumbing", "ph", "strength", "disease", "shortage")
"""The order of suspicion (common practice, no source)."""

DETECTORS: Mapping[str, Detector] = {
    **METER_DETECTORS,
    **DIARY_DETECTORS,
    **WATER_DETECTORS,
    **FLOW_DETECTORS,
    **PH_DETECTORS,
    **SALT_DETECTORS,
    **PLANT_DETECTORS,
}
"""Name in the data -> the test."""

_OF_ANY = ("odd_one", "in_doubt")
"""Tests whose sentence is the same for whatever was measured."""

_MEASURED = tuple(quantity.value for quantity in Quantity)
_SURE: tuple[Sure, ...] = ("low", "medium", "high")
_SEVERITY: tuple[Severity, ...] = ("stop", "today", "week")


@value_class
class Pattern:
    """One row of the data."""

    id: str
    group: str
    detect: str
    """The name of its test; `person`: only eyes can tell."""
    what: str
    means: str
    check: str
    """What to look at first."""
    do: str
    sure: Sure
    severity: Severity
    alarm: bool
    """Whether something must be done; else it is said, never raised."""
    source: str
    when: Mapping[str, float] = field(default_factory=dict)
    """The numbers that decide."""


@value_class
class Sign:
    """A pattern that speaks now."""

    pattern: Pattern
    evidence: tuple[str, ...]
    """Which readings say so."""
    sure: Sure
    severity: Severity
    at: datetime
    """When the last reading behind it was taken."""
    about: str = ""
    """What it is about: a tier's name, `ph`, `conductivity`, `level`."""

    @property
    def what(self) -> str:
        """Say what was seen, and where."""
        said = _(self.pattern.what)
        if self.about in _MEASURED:
            # most of these sentences name it themselves; a slip can be of any
            named = quantity_name(Quantity(self.about)) if self.pattern.detect in _OF_ANY else ""
        else:
            named = self.about.removeprefix("flow.")
        return f"{named}: {said}" if named else said

    @property
    def why(self) -> str:
        """Say what it means and what speaks for it."""
        sure = {"high": _("likely"), "medium": _("perhaps"), "low": _("possibly")}[self.sure]
        return _("{sure} {means}. {evidence}").format(
            sure=sure.capitalize(), means=_(self.pattern.means), evidence=" ".join(self.evidence)
        )

    @property
    def do(self) -> str:
        """Say what to check first, then what to do."""
        return _("First: {check} Then: {do}").format(check=_(self.pattern.check), do=_(self.pattern.do))


def patterns_from(table: Mapping[str, object]) -> tuple[Pattern, ...]:
    """Turn the data into values.

    Args:
        table: The parsed content of `patterns.toml`.

    Raises:
        KeyError: If a row lacks a key, or names a test that isn't there.
        ValueError: If a group, a sureness or a severity is unknown.
    """
    rows = table["pattern"]
    if not isinstance(rows, list):
        raise TypeError("pattern is a list of tables")
    return tuple(_pattern(row) for row in rows)


def signs(view: View, patterns: Iterable[Pattern]) -> tuple[Sign, ...]:
    """Give the patterns that speak now, the most pressing first, then by the order of suspicion.

    Args:
        view: The tank's course, what was learned, and the bands.
        patterns: The data.
    """
    found = []
    for pattern in patterns:
        if pattern.detect == "person":
            continue
        seen = DETECTORS[pattern.detect](view, pattern.when)
        if seen is not None:
            found.append(_sign(pattern, seen))
    doubted = {sign.about for sign in found if sign.pattern.group == "meter"}
    weighed = [_weighed(sign, doubted) for sign in found]
    return tuple(sorted(weighed, key=_press))


def told_by_eyes(patterns: Iterable[Pattern]) -> tuple[Pattern, ...]:
    """Give the patterns that no reading can show, for the help."""
    return tuple(pattern for pattern in patterns if pattern.detect == "person")


def _sign(pattern: Pattern, seen: Found) -> Sign:
    return Sign(
        pattern=pattern,
        evidence=seen.evidence,
        sure=seen.sure or pattern.sure,
        severity=seen.severity or pattern.severity,
        at=seen.at,
        about=seen.about,
    )


def _weighed(sign: Sign, doubted: set[str]) -> Sign:
    """Believe less what rests on a meter that is itself in doubt."""
    if sign.pattern.group == "meter" or sign.about not in doubted or not sign.about:
        return sign
    lower = _SURE[max(0, _SURE.index(sign.sure) - 1)]
    return replace(sign, sure=lower, evidence=(*sign.evidence, _("The meter itself is in doubt.")))


def _press(sign: Sign) -> tuple[bool, int, int, str]:
    pattern = sign.pattern
    return (
        not pattern.alarm,
        _SEVERITY.index(sign.severity),
        GROUPS.index(pattern.group),
        pattern.id,
    )


def _pattern(row: Mapping[str, object]) -> Pattern:
    group, detect = str(row["group"]), str(row["detect"])
    if group not in GROUPS:
        raise ValueError(f"{group} is not a group of patterns")
    if detect != "person" and detect not in DETECTORS:
        raise KeyError(detect)
    when = row["when"]
    numbers = when.items() if isinstance(when, Mapping) else ()
    return Pattern(
        id=str(row["id"]),
        group=group,
        detect=detect,
        what=str(row["what"]),
        means=str(row["means"]),
        check=str(row["check"]),
        do=str(row["do"]),
        sure=_SURE[_SURE.index(str(row["sure"]))],
        severity=_SEVERITY[_SEVERITY.index(str(row["severity"]))],
        alarm=row["alarm"] is True,
        source=str(row["source"]),
        when={str(name): float(value) for name, value in numbers},
    )
