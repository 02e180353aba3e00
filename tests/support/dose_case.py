"""A porch rack and its plan, for the tests of the dose."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import TypedDict, Unpack

import tendtui
from tendtui.core.band import Band
from tendtui.core.bands import Bands, Common
from tendtui.core.dose import plan_dose
from tendtui.core.dose_facts import DoseFacts, dose_facts
from tendtui.core.event import Event
from tendtui.core.learned_values import Learned
from tendtui.core.plan import AddWater, Drain, Plan, Pour
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Adjuster, Feed, Rack, Reservoir, Source, Target
from tendtui.core.tank import tank_now
from tendtui.value import replace

NOW = datetime(2026, 11, 25, 8, 12, tzinfo=UTC)

ACID = Adjuster(name="Acid", direction="down", reagent="phosphoric acid", percent_w_w=10.0)
LYE = Adjuster(name="Lye", direction="up", reagent="potassium hydroxide", percent_w_w=5.0)

RACK = Rack(
    name="Porch rack",
    reservoir=Reservoir(full_l=60.0, least_l=30.0, pipes_l=18.0),
    source=Source(conductivity_ms_cm=0.30, ph=7.5, alkalinity_mg_l_caco3=90.0),
    feeds=(
        Feed(name="Feed A", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),
        Feed(name="Feed B", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),
    ),
    adjusters=(ACID, LYE),
    target=Target(conductivity_ms_cm=(1.4, 1.8), ph=(5.6, 6.2)),
)


class Given(TypedDict, total=False):
    """Readings by the names of the call."""

    level: float
    conductivity: float
    ph: float
    temperature: float
    alkalinity: float


_NAMES = {
    "level": Quantity.LEVEL,
    "conductivity": Quantity.CONDUCTIVITY,
    "ph": Quantity.PH,
    "temperature": Quantity.TEMPERATURE,
    "alkalinity": Quantity.ALKALINITY,
}


@cache
def facts() -> DoseFacts:
    """Read the packaged facts."""
    path = Path(tendtui.__file__).parent / "data" / "feeds.toml"
    return dose_facts(tomllib.loads(path.read_text(encoding="utf-8")))


def bands(strength: tuple[float, float] = (1.4, 1.8), ph: tuple[float, float] = (5.6, 6.2)) -> Bands:
    """Make bands as the rack file would give them."""

    def common(pair: tuple[float, float]) -> Common:
        return Common(band=Band(low=pair[0], high=pair[1]), origin="target")

    return Bands(conductivity=common(strength), ph=common(ph), temperature=common((18.0, 23.0)))


def plan(
    rack: Rack = RACK,
    *,
    events: Iterable[Event] = (),
    now: datetime = NOW,
    wanted: Bands | None = None,
    learned: Learned | None = None,
    **given: Unpack[Given],
) -> Plan:
    """Plan from readings given by name."""
    readings = {quantity: given[name] for name, quantity in _NAMES.items() if name in given}  # type: ignore[literal-required]
    tank = tank_now(events, rack, now, given=readings)
    return plan_dose(rack, tank, now=now, bands=wanted or bands(), facts=facts(), learned=learned)


def pours(made: Plan) -> dict[str, float]:
    """Give what is poured, by bottle, in mL or g."""
    return {
        step.what: step.ml if step.ml is not None else step.g or 0.0
        for step in made.steps
        if isinstance(step, Pour)
    }


def does(made: Plan) -> list[str]:
    """Give the kinds of steps in order."""
    return [type(step).__name__ for step in made.steps]


def levels(made: Plan, level_l: float) -> list[float]:
    """Give the level after each step that moves it."""
    seen = []
    for step in made.steps:
        match step:
            case AddWater(litres=litres):
                level_l += litres
            case Drain(litres=litres):
                level_l -= litres
            case Pour(ml=ml):
                level_l += (ml or 0.0) / 1000.0
            case _:
                continue
        seen.append(level_l)
    return seen


def words(made: Plan) -> str:
    """Give everything a plan says, in one text."""
    return " ".join((*made.reasons, *made.cautions, *made.assumed))


def with_adjusters(*adjusters: Adjuster) -> Rack:
    """Give the rack with other bottles."""
    return replace(RACK, adjusters=adjusters)
