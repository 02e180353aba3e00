"""Invented seasons of an ordinary rack by seed, with one trouble or none: what patterns are tried on."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TypedDict

from tendtui.core.event import Change, Event, Poured, Reading
from tendtui.core.rack import Adjuster, Feed, Rack, Reservoir, Source, Tier
from tests.support.demo_tank import PIPES_L, Group, Tank

START = datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
FULL_L = 90.0
RACK = Rack(
    name="quiet",
    reservoir=Reservoir(full_l=FULL_L, least_l=40.0, pipes_l=36.0),
    source=Source(conductivity_ms_cm=0.18, ph=7.2, alkalinity_mg_l_caco3=40.0),
    tiers=tuple(
        Tier(name=name, pipe_inside_mm=125.0, length_m=1.8, outlet_height_mm=68.0, plants=8)
        for name in ("One", "Two", "Three")
    ),
    feeds=(
        Feed(name="A", label_ml_per_l=3.0, label_conductivity_ms_cm=1.5),
        Feed(name="B", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),
    ),
    adjusters=(
        Adjuster(name="Down", direction="down", reagent="nitric acid", percent_w_w=7.0),
        Adjuster(name="Up", direction="up", reagent="potassium bicarbonate", percent_w_w=10.0),
    ),
)


class Keys(TypedDict):
    """What every event of the season has."""

    id: str
    seq: int
    at: datetime
    by: str


@dataclass
class Season:
    """One rack's days: the truth in `tank`, what people wrote in `events`."""

    seed: int
    rng: random.Random = field(init=False)
    tank: Tank = field(init=False)
    events: list[Event] = field(default_factory=list)
    clock: float = 0.0
    weather: float = 0.0
    leak_l_day: Callable[[float], float] = lambda day: 0.0
    closing: Callable[[float], float] = lambda day: 0.0
    pump: Callable[[float], float] = lambda day: 1.0
    typed: Callable[[int, dict[str, float]], dict[str, float]] = lambda day, shown: shown
    unwritten: Callable[[int, Tank], None] = lambda day, tank: None
    written_twice: Callable[[int], float] = lambda day: 1.0
    """How much of a feeding really goes in."""

    def __post_init__(self) -> None:
        self.rng = random.Random(self.seed)
        size = self.rng.uniform(0.7, 1.3)
        self.tank = Tank(level_l=FULL_L, salt=1.55 * (FULL_L + PIPES_L), phosphate=0.6 * (FULL_L + PIPES_L))
        self.tank.alkalinity = 0.08 * self.tank.litres
        self.tank.carbon = 0.12 * self.tank.litres
        eats = self.rng.uniform(1.2, 1.6)
        self.tank.groups = [
            Group("lettuce", "One", 10, -40.0, 0.17 * size, eats_ms_cm=eats),
            Group("basil", "Two", 6, -30.0, 0.22 * size, eats_ms_cm=eats),
        ]
        self.put(Change(**self.keys(), litres=FULL_L))

    def keys(self) -> Keys:
        seq = len(self.events) + 1
        return {"id": f"q{seq}", "seq": seq, "at": START + timedelta(hours=self.clock), "by": "Q"}

    def put(self, event: Event) -> None:
        self.events.append(event)

    def run(self, days: int) -> tuple[Event, ...]:
        """Live so many days."""
        for day in range(1, days + 1):
            self.until(24.0 * day + self.rng.gauss(0, 0.4))
            self.unwritten(day, self.tank)
            if self.rng.random() > 0.08:
                self.round(day)
        return tuple(self.events)

    def until(self, hours: float) -> None:
        while self.clock < hours - 1e-9:
            step = min(2.0, hours - self.clock)
            day = self.clock / 24.0
            self.tank.live(day, step, 20.0 + self.weather, self.rng)
            lost = self.leak_l_day(day) * step / 24.0
            if lost:
                self.tank.drain(lost)
            self.weather = 0.985 * self.weather + self.rng.gauss(0, 0.2)
            self.clock += step

    def read(self, **values: object) -> Reading:
        reading = Reading(**self.keys(), **values)  # type: ignore[arg-type]  # the season's own keys
        self.put(reading)
        return reading

    def round(self, day: int) -> None:
        shown = {
            "level_l": round(2 * (self.tank.level_l + self.rng.gauss(0, 0.25))) / 2,
            "conductivity_ms_cm": round(self.tank.conductivity * (1 + self.rng.gauss(0, 0.005)), 2),
            "ph": round(self.tank.ph + self.rng.gauss(0, 0.03), 1),
            "temperature_c": round(self.tank.temperature_c + self.rng.gauss(0, 0.1), 1),
        }
        shown = self.typed(day, shown)
        self.read(**shown, flow_l_min=self.flows(day) if day % 7 == 0 else {}, source="round")
        self.correct(day, shown["level_l"], shown["conductivity_ms_cm"], shown["ph"])

    def flows(self, day: int) -> dict[str, float]:
        true = {"One": 3.0, "Two": 3.0, "Three": 3.0 * (1.0 - self.closing(day))}
        pump = self.pump(day)
        return {n: round(f * pump * (1 + self.rng.gauss(0, 0.012)), 2) for n, f in true.items()}

    def correct(self, day: int, level: float, strength: float, ph: float) -> None:
        missing = FULL_L - level
        if missing < 8.0:
            if ph >= 6.4:
                self.pour("Down", 5.0)
            return
        self.pour("water", missing)
        at_full = (strength * (level + PIPES_L) + 0.18 * missing) / (FULL_L + PIPES_L)
        if at_full < 1.45:
            rise = 1.55 - at_full
            for bottle, label in (("A", 3.0), ("B", 2.0)):
                self.pour(bottle, rise * (FULL_L + PIPES_L) / 1.5 * label, share=self.written_twice(day))
        self.until(self.clock + 0.4)
        self.read(
            conductivity_ms_cm=round(self.tank.conductivity * (1 + self.rng.gauss(0, 0.005)), 2),
            ph=round(self.tank.ph + self.rng.gauss(0, 0.03), 1),
            source="dose",
        )

    def pour(self, what: str, amount: float, *, share: float = 1.0) -> None:
        self.until(self.clock + 0.05)
        amount = round(2 * amount) / 2
        true = amount * share * (1 + self.rng.gauss(0, 0.03))
        match what:
            case "water":
                self.tank.water(true)
                self.put(Poured(**self.keys(), what=what, litres=amount))
                return
            case "A":
                self.tank.feed(true, 0.0)
            case "B":
                self.tank.feed(0.0, true)
            case _:
                self.tank.acid(true)
        self.put(Poured(**self.keys(), what=what, ml=amount))
