"""How far a meter is to be trusted: its last check, a meter newly bought, a figure that stands still."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tendtui.core.event import Event, Poured, Reading, Renewed, TaskDone
from tendtui.core.learned_values import MeterDoubt
from tendtui.core.meter_check import CLEAN_ERROR_PERCENT, CLEAN_SLOPE_PERCENT
from tendtui.core.rack import Rack
from tendtui.words import _

__all__ = ["meter_doubts"]

NEW_PH, NEW_SHARE = 0.10, 0.03
"""Doubt of a meter that was in no buffer or standard yet. Source: chosen here, twice a checked meter's."""

OFF_PH = 0.15
"""An offset in buffer 7 from which a meter is doubted. Source: half of what makers call a tired electrode."""

STUCK_READINGS, STUCK_POURS, STUCK_SHARE = 8, 4, 0.3
"""So many equal readings, through so many portions or so much water, are a figure that stands still."""

COARSE_STEP = 0.2
"""Colour drops and strips in steps over this show the same colour for days."""

STUCK_PH, STUCK_MS_CM_SHARE = 0.25, 0.10
"""Doubt of a figure that stands still. Source: chosen here."""


def meter_doubts(events: Iterable[Event], rack: Rack) -> tuple[MeterDoubt, ...]:
    """Give the meters out of trust, each with the doubt it adds and why.

    Args:
        events: Effective events, in time order, up to now.
        rack: Its bottles and its litres.
    """
    known = tuple(events)
    found = (_ph_checked(known), _ph_stuck(known, rack), _ms_cm_checked(known), _ms_cm_stuck(known, rack))
    return tuple(doubt for doubt in found if doubt is not None)


def _last_check(events: Sequence[Event], key: str, meter: str) -> TaskDone | Renewed | None:
    for event in reversed(events):
        if isinstance(event, TaskDone) and key in event.values:
            return event
        if isinstance(event, Renewed) and event.what == meter:
            return event
    return None


def _ph_checked(events: Sequence[Event]) -> MeterDoubt | None:
    last = _last_check(events, "offset_ph", "meter.ph")
    if isinstance(last, Renewed):
        said = _("The pH meter is new and was in no buffer yet: what it shows is taken with more doubt.")
        return MeterDoubt(meter="ph", spread=NEW_PH, said=said)
    if last is None:
        return None
    offset, slope = last.values["offset_ph"], last.values.get("slope_percent", 100.0)
    if abs(offset) < OFF_PH and slope >= CLEAN_SLOPE_PERCENT:
        return None
    said = _("The pH meter was off by {offset:+.2f} in buffer 7 at its last check: it is trusted less.")
    return MeterDoubt(meter="ph", spread=max(NEW_PH, abs(offset)), said=said.format(offset=offset))


def _ms_cm_checked(events: Sequence[Event]) -> MeterDoubt | None:
    last = _last_check(events, "error_percent", "meter.conductivity")
    if isinstance(last, Renewed):
        said = _("The conductivity meter is new and was in no standard yet: it is taken with more doubt.")
        return MeterDoubt(meter="conductivity", spread=NEW_SHARE, said=said)
    if last is None or abs(last.values["error_percent"]) <= CLEAN_ERROR_PERCENT:
        return None
    error = last.values["error_percent"]
    said = _("The conductivity meter was off by {error:+.0f} percent at its last check: it is trusted less.")
    return MeterDoubt(meter="conductivity", spread=abs(error) / 100.0, said=said.format(error=error))


def _ph_stuck(events: Sequence[Event], rack: Rack) -> MeterDoubt | None:
    shown = [(n, e.ph) for n, e in enumerate(events) if isinstance(e, Reading) and e.ph is not None]
    since = _stands_since(shown)
    if since is None or rack.meter.ph_step > COARSE_STEP:
        return None
    names = {adjuster.name for adjuster in rack.adjusters}
    pours = [e for e in events[since:] if isinstance(e, Poured) and e.what in names and (e.ml or e.g)]
    if len(pours) < STUCK_POURS:
        return None
    said = _("pH has stood still through {count} pourings: the meter may be stuck.").format(count=len(pours))
    return MeterDoubt(meter="ph", spread=STUCK_PH, said=said)


def _ms_cm_stuck(events: Sequence[Event], rack: Rack) -> MeterDoubt | None:
    shown = [
        (n, e.conductivity_ms_cm)
        for n, e in enumerate(events)
        if isinstance(e, Reading) and e.conductivity_ms_cm is not None
    ]
    since = _stands_since(shown)
    if since is None:
        return None
    water_l = sum(
        e.litres or 0.0 for e in events[since:] if isinstance(e, Poured) and e.what in ("water", "drained")
    )
    if water_l < STUCK_SHARE * rack.reservoir.full_l:
        return None
    said = _("Conductivity has stood still though water went in: the meter may be stuck.")
    return MeterDoubt(meter="conductivity", spread=STUCK_MS_CM_SHARE, said=said)


def _stands_since(shown: Sequence[tuple[int, float]]) -> int | None:
    """Give the place of the first of the newest equal readings; None where they are too few."""
    run = list(shown[-STUCK_READINGS:])
    if len(run) < STUCK_READINGS or any(value != run[0][1] for _place, value in run):
        return None
    return run[0][0]
