"""What the diary says of each kind of event."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.core.event_words import KINDS, event_line, kind_words
from tendtui.core.rack import Show

AT = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
TASKS = {"meter": "pH meter in buffer"}

EVENTS: tuple[tuple[Event, str], ...] = (
    (Reading(id="1", seq=1, at=AT, level_l=46.0, ph=6.1), "46 litres, pH 6.1"),
    (Reading(id="1", seq=1, at=AT, ph=6.1, doubt=("ph",)), "[!] pH 6.1"),
    (Reading(id="1", seq=1, at=AT, looks={"Top.roots": "tan"}), "1 look"),
    (Reading(id="1", seq=1, at=AT, ph=6.1, source="dose"), "pH 6.1, after the dose"),
    (
        Reading(id="1", seq=1, at=AT, looks={"leaving.lid": "on", "leaving.caps": "all-back"}),
        "before leaving, 2 looks",
    ),
    (Note(id="1", seq=1, at=AT, text="pour 5 mL", about="held-dose"), "held for the grower: pour 5 mL"),
    (Note(id="1", seq=1, at=AT, text="change day put off", about="change-put-off"), "change day put off"),
    (Poured(id="1", seq=1, at=AT, what="Feed A", ml=7.0, planned=7.0), "poured Feed A: 7 millilitres"),
    (
        Poured(id="1", seq=1, at=AT, what="Feed A", ml=6.5, planned=7.0),
        "poured Feed A: 6.5 millilitres (asked for 7)",
    ),
    (Poured(id="1", seq=1, at=AT, what="water", litres=10.0), "water added: 10 litres"),
    (Poured(id="1", seq=1, at=AT, what="drained", litres=5.0), "drained: 5 litres"),
    (Change(id="1", seq=1, at=AT, reason="21 days"), "solution changed, 21 days"),
    (TaskDone(id="1", seq=1, at=AT, task="meter"), "pH meter in buffer: good"),
    (
        TaskDone(id="1", seq=1, at=AT, task="meter", outcome="found"),
        "[!] pH meter in buffer: something was found",
    ),
    (Note(id="1", seq=1, at=AT, text="power cut [/]"), "note: power cut [/]"),
    (Plants(id="1", seq=1, at=AT, act="sow", crop="basil", count=4), "sow 4 basil"),
    (Renewed(id="1", seq=1, at=AT, what="Feed A"), "new: Feed A"),
)


@pytest.mark.parametrize(("event", "line"), EVENTS)
def test_an_event_is_said_in_one_line(event: Event, line: str) -> None:
    assert event_line(event, Show(), TASKS) == line


def test_every_kind_of_event_has_a_name_of_its_own() -> None:
    assert len({kind_words(kind) for kind in KINDS}) == len(KINDS)
