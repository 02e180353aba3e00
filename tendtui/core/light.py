"""Light for each tier: hours on the timer, daily light integral, spectrum and height by stage."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from tendtui.core.finding import Finding
from tendtui.core.plant_calendar import Calendar
from tendtui.core.rack import Rack
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Lamp", "StageLight", "dli_mol", "hours_for_dli", "lamp_lines", "lamps_of", "read_stages"]

SECONDS_AN_HOUR = 3600.0
MICRO = 1e-6
MOST = {"hours": 24.0, "ppfd_umol_m2_s": 2500.0, "height_cm": 300.0, "blue_percent": 100.0}
"""What a lamp's figures can be at most; noon in full sun is about 2000 µmol/m²/s. Judgement."""


@value_class
class Lamp:
    """The lamps over one tier, as `[[light]]` in rack.toml says; None where not known."""

    tier: str
    hours: float | None = None
    """On the timer. [h/day]"""
    ppfd_umol: float | None = None
    """Light on the leaves as the maker states or a meter shows. [µmol/m²/s]"""
    height_cm: float | None = None
    """Above the highest leaf. [cm]"""
    blue_percent: float | None = None
    """Share of blue where blue and red can be set apart. [%]"""


@value_class
class StageLight:
    """What a stage wants of its lamp."""

    height_cm: tuple[float, float]
    height_source: str
    blue_percent: tuple[float, float]
    spectrum_source: str
    dli_mol: tuple[float, float] | None
    """None: as the crop's. [mol/m²/day]"""


def dli_mol(*, ppfd_umol: float, hours: float) -> float:
    """Give the daily light integral [mol/m²/day].

    Args:
        ppfd_umol: Light on the leaves. [µmol/m²/s]
        hours: Lit each day. [h]

    Source:
        DLI = PPFD x hours x 0.0036; Purdue Extension HO-238-W.
    """
    return ppfd_umol * hours * SECONDS_AN_HOUR * MICRO


def hours_for_dli(*, ppfd_umol: float, dli_mol: float) -> float:
    """Give the hours that a daily light integral takes [h]; more than 24 can't be had.

    Args:
        ppfd_umol: Light on the leaves. [µmol/m²/s]
        dli_mol: Wanted. [mol/m²/day]

    Raises:
        ValueError: If there is no light.
    """
    if ppfd_umol <= 0.0:
        raise ValueError("without light no hours are enough")
    return dli_mol / (ppfd_umol * SECONDS_AN_HOUR * MICRO)


def read_stages(table: Mapping[str, object]) -> dict[str, StageLight]:
    """Turn the packaged table into stage -> light."""
    stages = table["stage"]
    if not isinstance(stages, Mapping):
        raise TypeError("stage is a table of tables")
    return {name: _stage(row) for name, row in stages.items()}


def lamps_of(rack: Rack, *, file: str = "rack.toml") -> tuple[tuple[Lamp, ...], tuple[Finding, ...]]:
    """Read the `[[light]]` tables: tier, hours, ppfd_umol_m2_s, height_cm, blue_percent."""
    rows = rack.extra.get("light", ())
    names = {tier.name for tier in rack.tiers}
    lamps: list[Lamp] = []
    findings: list[Finding] = []
    for n, row in enumerate(rows if isinstance(rows, Sequence) else (), start=1):
        if not isinstance(row, Mapping) or row.get("tier") not in names:
            what = _("light {n} names no tier of this rack").format(n=n)
            do = _("Give it tier = one of: {names}.").format(names=", ".join(sorted(names)))
            findings.append(Finding(file=file, key=f"light.{n}.tier", what=what, do=do, severity="warning"))
            continue
        findings += _out_of_range(row, n, file)
        lamps.append(
            Lamp(
                tier=str(row["tier"]),
                hours=_amount(row, "hours"),
                ppfd_umol=_amount(row, "ppfd_umol_m2_s"),
                height_cm=_amount(row, "height_cm"),
                blue_percent=_amount(row, "blue_percent"),
            )
        )
    return tuple(lamps), tuple(findings)


def lamp_lines(
    lamp: Lamp, calendar: Calendar, stage: str, stages: Mapping[str, StageLight]
) -> tuple[str, ...]:
    """Say how a tier's light stands against what its plants want, source named."""
    wants = stages[stage or "leaf"]
    wanted = wants.dli_mol or calendar.dli_mol
    lines = [_hours(lamp, calendar)]
    if lamp.ppfd_umol is not None and lamp.hours is not None:
        lines.append(_integral(lamp.ppfd_umol, lamp.hours, wanted, calendar))
    blue = _(
        "Where blue and red can be set apart: {low:.0f} to {high:.0f} percent blue, the rest red ({source})."
    )
    lines.append(
        blue.format(low=wants.blue_percent[0], high=wants.blue_percent[1], source=wants.spectrum_source)
    )
    if (
        lamp.blue_percent is not None
        and not wants.blue_percent[0] <= lamp.blue_percent <= wants.blue_percent[1]
    ):
        lines.append(_("[!] It is set to {now:.0f} percent.").format(now=lamp.blue_percent))
    height = _("Lamp {low:.0f} to {high:.0f} cm above the leaves ({source}); raise it as they grow.")
    lines.append(height.format(low=wants.height_cm[0], high=wants.height_cm[1], source=wants.height_source))
    if lamp.height_cm is not None and not wants.height_cm[0] <= lamp.height_cm <= wants.height_cm[1]:
        lines.append(_("[!] It hangs {now:.0f} cm above them.").format(now=lamp.height_cm))
    return tuple(lines)


def _hours(lamp: Lamp, calendar: Calendar) -> str:
    low, high = calendar.light_hours
    told = _("Light {low:g} to {high:g} hours a day ({source}).").format(
        low=low, high=high, source=calendar.hours_source
    )
    if lamp.hours is None:
        return told
    mark = "" if low <= lamp.hours <= high else "[!] "
    return mark + _("{now:g} hours on the timer.").format(now=lamp.hours) + " " + told


def _integral(ppfd_umol: float, hours: float, wanted: tuple[float, float], calendar: Calendar) -> str:
    now = dli_mol(ppfd_umol=ppfd_umol, hours=hours)
    line = _("Daily light integral {now:.1f} mol/m², wanted {low:g} to {high:g} ({source}).").format(
        now=now, low=wanted[0], high=wanted[1], source=calendar.dli_source
    )
    if now >= wanted[0]:
        return line if now <= wanted[1] else "[!] " + line
    needs = hours_for_dli(ppfd_umol=ppfd_umol, dli_mol=wanted[0])
    tail = (
        _("{hours:.0f} hours would reach it.").format(hours=ceil(needs))
        if needs <= calendar.light_hours[1]
        else _("More light is needed, not more hours.")
    )
    return f"[!] {line} {tail}"


def _stage(row: Mapping[str, object]) -> StageLight:
    return StageLight(
        height_cm=_pair(row["height_cm"]),
        height_source=str(row["height_source"]),
        blue_percent=_pair(row["blue_percent"]),
        spectrum_source=str(row["spectrum_source"]),
        dli_mol=_pair(row["dli"]) if "dli" in row else None,
    )


def _pair(value: object) -> tuple[float, float]:
    if not isinstance(value, Sequence) or len(value) != 2:
        raise ValueError(f"{value!r} is no pair of figures")
    return float(value[0]), float(value[1])


def _amount(row: Mapping[str, object], key: str) -> float | None:
    value = row.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if 0 <= value <= MOST[key] else None


def _out_of_range(row: Mapping[str, object], number: int, file: str) -> list[Finding]:
    """Tell of figures that can't be; they are left aside."""
    return [
        Finding(
            file=file,
            key=f"light.{number}.{key}",
            what=_("light {n}: {key} can't be {value}").format(n=number, key=key, value=row[key]),
            do=_("Write a number from 0 to {most:g}.").format(most=most),
            severity="warning",
        )
        for key, most in MOST.items()
        if key in row and _amount(row, key) is None
    ]
