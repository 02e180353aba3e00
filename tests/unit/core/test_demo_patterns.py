"""The demo's season, day by day: its closing outlet is named early, and nothing else is cried."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

from tendtui.core.band import Band
from tendtui.core.event import Reading
from tendtui.core.learn_course import course_of
from tendtui.core.learned import learn_lightly
from tendtui.core.pattern import Sign, patterns_from, signs
from tendtui.core.pattern_view import View
from tendtui.store.data_file import read_data
from tendtui.store.folder import Folder
from tendtui.store.log_file import Log, read_log
from tendtui.store.rack_file import read_rack

FOLDER = Folder(Path(__file__).parents[3] / "demo_state")


@cache
def log() -> Log:
    return read_log(FOLDER)


def evenings() -> list[datetime]:
    return sorted(
        {
            e.at.replace(hour=20, minute=0)
            for e in log().events
            if isinstance(e, Reading) and e.source == "round"
        }
    )


@cache
def said() -> dict[datetime, tuple[Sign, ...]]:
    rack, patterns = read_rack(FOLDER), patterns_from(read_data("patterns"))
    target = rack.target
    assert target.conductivity_ms_cm is not None
    assert target.ph is not None
    found = {}
    for now in evenings():
        events = tuple(e for e in log().all_events if e.at <= now)
        seen = View(
            course=course_of(rack, events),
            learning=learn_lightly(rack, events),
            now=now,
            conductivity=Band(low=target.conductivity_ms_cm[0], high=target.conductivity_ms_cm[1]),
            ph=Band(low=target.ph[0], high=target.ph[1]),
        )
        found[now] = tuple(s for s in signs(seen, patterns) if s.pattern.alarm)
    return found


def test_the_closing_outlet_is_named_five_days_before_its_flow_leaves_the_band() -> None:
    # the band: a fifth under the usual flow, the middle of the first five timings
    timed = [(e.at, e.flow_l_min["Creek"]) for e in log().events if isinstance(e, Reading) and e.flow_l_min]
    usual = sorted(flow for _at, flow in timed[:5])[2]
    left = next(at for at, flow in timed if flow < 0.8 * usual)
    named = next(now for now, found in said().items() if any(s.pattern.id == "outlet-closing" for s in found))
    assert left - named >= timedelta(days=5)
    # and before it gives a tenth less than the outlet above it, when anybody would see it
    plain = next(
        e.at
        for e in log().events
        if isinstance(e, Reading) and e.flow_l_min and e.flow_l_min["Creek"] < 0.9 * e.flow_l_min["Bench"]
    )
    assert plain - named >= timedelta(days=5)


def test_the_demo_cries_nothing_that_did_not_happen() -> None:
    names = {sign.pattern.id for found in said().values() for sign in found}
    assert names <= {"outlet-closing", "heat", "one-tier-droops", "value-in-doubt"}
    assert {"outlet-closing", "heat"} <= names
