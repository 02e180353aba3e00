"""State folders for tests: a rack of invented numbers, events to log, and a folder to put them in."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from tendtui.core.event import Event, Note, Poured, Reading
from tendtui.store.folder import Folder

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
LATEST = NOON + timedelta(days=46)

RACK = """\
schema = 1
name = "Cellar stair"            # a note of the owner's

[reservoir]
full_L = 52.0
least_L = 21.0
aerated = true

[source]
conductivity_mS_cm = 0.42
ph = 7.7

[target]
conductivity_mS_cm = [1.3, 1.9]
ph = [5.7, 6.3]

[[tier]]
name = "Upper"
pipe_inside_mm = 104.0
length_m = 1.2
outlet_height_mm = 38.0
crops = ["chard"]
plants = 6

[[tier]]
name = "Lower"
pipe_inside_mm = 104.0
length_m = 1.2
outlet_height_mm = 38.0
crops = ["chives"]
plants = 7

[[feed]]
name = "Grow 1"
label_mL_per_L = 2.5
label_conductivity_mS_cm = 1.7

[[feed]]
name = "Grow 2"
label_mL_per_L = 2.5
label_conductivity_mS_cm = 1.7

[[adjuster]]
name = "Lowerer"
direction = "down"
reagent = "citric acid"
percent_w_w = 25.0

[[device]]
name = "Pump"
watts = 18.0

[mains]
volts = 230.0
circuit_amps = 16.0

[people]
usual = ["Ines", "Joss"]

[cellar]                         # a table of the owner's own
key = "under the pot"
"""


def folder_in(path: Path, *, rack: str | None = RACK) -> Folder:
    """Make a state folder, with a rack unless told otherwise."""
    folder = Folder(path / "state")
    folder.log_dir.mkdir(parents=True)
    if rack is not None:
        folder.rack.write_text(rack, encoding="utf-8")
    return folder


def reading(name: str, *, at: datetime = NOON, seq: int = 0, ph: float | None = 6.1) -> Reading:
    """Give a reading with a little of everything in it."""
    return Reading(
        id=name,
        seq=seq,
        at=at,
        by="Ines",
        level_l=44.5,
        ph=ph,
        flow_l_min={"Upper": 1.9, "Lower": 0.75},
        looks={"Upper.roots": "cream-firm"},
        doubt=("ph",),
    )


def poured(name: str, *, at: datetime = NOON, seq: int = 0) -> Poured:
    """Give a pouring."""
    return Poured(id=name, seq=seq, at=at, by="Joss", what="Grow 1", ml=12.5, planned=13.0)


def note(name: str, *, at: datetime = NOON, seq: int = 0, text: str = 'a "quoted" word\nand a line') -> Note:
    """Give a note."""
    return Note(id=name, seq=seq, at=at, by="", text=text)


def days(start: datetime, many: int) -> tuple[Event, ...]:
    """Give a reading and a pouring a day."""
    return tuple(
        event
        for day in range(many)
        for event in (
            reading(f"r{day}", at=start + timedelta(days=day)),
            poured(f"p{day}", at=start + timedelta(days=day, minutes=9)),
        )
    )


def tree(path: Path) -> dict[str, bytes]:
    """Give every file under a folder with its bytes, but for what belongs to the moment."""
    return {
        file.relative_to(path).as_posix(): file.read_bytes()
        for file in sorted(path.rglob("*"))
        if file.is_file() and file.name not in (".lock", ".screen", ".index", ".memory")
    }
