"""The script of a change day, made from the rack, the log and the packaged tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from tendtui.core.bands import Bands
from tendtui.core.change_rules import rules_stand, why_change
from tendtui.core.change_walk import CLEANED, ChangeScript
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_walk import LEFT_AFTER
from tendtui.core.event import Event
from tendtui.core.fresh_mix import fresh_mix
from tendtui.core.learned_values import Learned
from tendtui.core.rack import Rack
from tendtui.core.slow_list import slow_list
from tendtui.core.tank import tank_now
from tendtui.core.walk_past import past_of
from tendtui.core.walk_value import Walk

__all__ = ["change_script"]


def change_script(
    *,
    data: Mapping[str, Mapping[str, object]],
    rack: Rack,
    events: Sequence[Event],
    done: Mapping[str, datetime],
    walk: Walk,
    now: datetime,
    bands: Bands,
    facts: DoseFacts,
    learned: Learned | None = None,
) -> ChangeScript:
    """Make the script as things stood when the walk began.

    Args:
        data: The packaged tables, by the names in `slow_list.FILES`.
        rack: The rack.
        events: Effective events, in time order; those made since the walk began are left aside.
        done: What the state file remembers.
        walk: The change day; `resumed_at` in its context says when it was last taken up again.
        now: The moment.
        bands: What the rack is kept at.
        facts: What stands in for what a grower hasn't given.
        learned: Corrections from this tank's past.
    """
    began = walk.began
    past = past_of(events, walk)
    top_ms_cm = bands.conductivity.band.high
    slow = slow_list(data, rack, past, done, began, top_ms_cm=top_ms_cm)
    tank = tank_now(past, rack, began)
    try:
        mix = fresh_mix(rack, tank=tank, bands=bands, facts=facts, learned=learned)
    except ValueError:
        mix = None  # the dose works the bottles out from readings after the refill
    steps = [
        due.task for due in slow.dues if due.task.cadence.trigger == "change-day" or due.task.id in CLEANED
    ]
    left_before, resumed_at = now - LEFT_AFTER, walk.context.get("resumed_at")
    if isinstance(resumed_at, datetime):
        left_before = max(left_before, resumed_at)
    return ChangeScript(
        rack=rack,
        rules=slow.rules,
        why=why_change(rack, past, began, rules=slow.rules, top_ms_cm=top_ms_cm),
        stand=rules_stand(rack, past, began, rules=slow.rules),
        mix=mix,
        tasks=tuple(task for task in steps if not task.silenced),
        level_l=None if tank.level is None else tank.level.value,
        bands=bands,
        left_before=left_before,
    )
