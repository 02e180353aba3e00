"""Write the demo's log: `python -m tests.support.make_demo`.

Seventy invented days of two people and one rack: a first fill, plants coming and going, a heat spell,
an outlet that slowly fills with mint roots, a change day, a mistyped conductivity and its correction. The
same output each time.
"""

from __future__ import annotations

import math
import random
from datetime import datetime, timedelta, timezone
from pathlib import Path

from tendtui.core.event import Change, Event, Note, Plants, Poured, Reading, Renewed, TaskDone
from tendtui.core.meter_check import check_conductivity, check_ph
from tendtui.store.folder import month_name
from tendtui.store.log_file import events_text
from tendtui.value import field, value_class
from tests.support.demo_tank import PIPES_L, Group, Tank

FOLDER = Path(__file__).parents[2] / "demo_state"
ZONE = timezone(timedelta(hours=10))
START = datetime(2026, 9, 6, tzinfo=ZONE)
LAST_DAY = 69
FULL_L = 95.0
MISSED = {9, 17, 23, 31, 44, 58}
IDRIS = {3, 6, 12, 13, 20, 24, 26, 27, 34, 38, 41, 45, 48, 51, 55, 59, 62, 66, 68}
FLOW_DAYS = range(6, LAST_DAY + 1, 7)
HEAT = range(48, 55)
CHANGE_DAY = 35
TYPO_DAY = 21
LEAF = "lettuce"
CHARD = "chard"


def checked_ph(*, seven: float, four: float) -> dict[str, float]:
    """Give what the walk of the meter check leaves in the diary."""
    check = check_ph(shown_7_ph=seven, shown_4_ph=four)
    worked_out = {
        "slope_percent": round(check.slope_percent, 2),
        "offset_ph": round(check.offset_ph, 3),
        "offset_mv": round(check.offset_mv, 2),
    }
    return {"buffer_7": seven, "buffer_4": four, **worked_out}


def checked_conductivity(shown_ms_cm: float) -> dict[str, float]:
    """Give what the walk of the meter check leaves in the diary."""
    error_percent = check_conductivity(shown_ms_cm=shown_ms_cm).error_percent
    return {"standard_ms_cm": shown_ms_cm, "error_percent": round(error_percent, 2)}


@value_class(frozen=False, kw_only=False)
class Diary:
    """The events so far, numbered as they come."""

    events: list[Event] = field(default_factory=list)

    def keys(self, at: datetime, by: str) -> tuple[str, int, datetime, str]:
        seq = len(self.events) + 1
        return f"lw-{seq:04d}", seq, at, by


def main() -> None:
    """Make every month's file and the state beside it."""
    events = season()
    log = FOLDER / "log"
    log.mkdir(parents=True, exist_ok=True)
    for old in log.glob("*.toml"):
        old.unlink()
    months: dict[str, list[Event]] = {}
    for event in events:
        months.setdefault(month_name(event.at), []).append(event)
    for name, of_month in months.items():
        (log / name).write_text("schema = 1\n" + events_text(of_month), encoding="utf-8")


def season() -> tuple[Event, ...]:
    """Live through the seventy days."""
    rng = random.Random(20260906)
    house = House(rng=rng)
    house.first_fill()
    for day in range(1, LAST_DAY + 1):
        house.day(day)
    return tuple(house.diary.events)


@value_class(frozen=False, kw_only=False)
class House:
    """The tank, the people and what they wrote down."""

    rng: random.Random
    tank: Tank = field(default_factory=Tank)
    diary: Diary = field(default_factory=Diary)
    clock: float = 0.0
    """Hours since the start."""
    weather: float = 0.0
    last_acid_day: int = -9

    def until(self, hours: float) -> None:
        """Live until so many hours after the start."""
        while self.clock < hours - 1e-9:
            step = min(1.0, hours - self.clock)
            day = self.clock / 24.0
            self.tank.live(day, step, self._warmth(self.clock), self.rng)
            self.clock += step
            if self.clock % 24 < step:
                self.weather = 0.7 * self.weather + self.rng.gauss(0, 0.7)

    def _warmth(self, hours: float) -> float:
        day = hours / 24.0
        usual = 18.6 + 0.028 * day + 1.1 * math.sin(2 * math.pi * (hours - 10.0) / 24.0) + self.weather
        heat = sum(math.exp(-(((day - d) / 1.1) ** 2)) for d in HEAT)
        return usual + 3.2 * heat

    def now(self, minutes: float = 0.0) -> datetime:
        return START + timedelta(minutes=round(self.clock * 60 + minutes))

    def put(self, kind: type[Event], at: datetime, by: str, **values: object) -> str:
        name, seq, at, by = self.diary.keys(at, by)
        self.diary.events.append(kind(id=name, seq=seq, at=at, by=by, **values))  # type: ignore[arg-type]
        return name

    def level(self) -> float:
        return round((self.tank.level_l + self.rng.gauss(0, 0.15)) * 2) / 2

    def conductivity(self) -> float:
        return round(self.tank.conductivity * (1 + self.rng.gauss(0, 0.004)), 2)

    def ph(self) -> float:
        return round(self.tank.ph + self.rng.gauss(0, 0.03), 1)

    def temperature(self) -> float:
        return round(self.tank.temperature_c + self.rng.gauss(0, 0.1), 1)

    def flows(self, day: int) -> dict[str, float]:
        """Time a 3 litre jug under each outlet; Creek's outlet fills with roots from week five on."""
        closing = 0.0 if day < 34 else 0.262 * ((day - 34) / 35) ** 1.3
        true = {"Sky": 3.30, "Bench": 3.28, "Creek": 3.27 * (1 - closing)}
        found = {}
        for name, flow in true.items():
            seconds = round(60 * 3.0 / (flow * (1 + self.rng.gauss(0, 0.006))), 1)
            found[name] = round(60 * 3.0 / seconds, 2)
        return found

    def first_fill(self) -> None:
        """Fill, feed and plant on the first day."""
        by = "Petra"
        self.until(10.0)
        self.tank.level_l = -PIPES_L
        self.tank.water(131.5)
        self.put(Poured, self.now(), by, what="water", litres=131.5)
        one, two = 336.0, 224.0
        self.tank.feed(one, two)
        self.tank.carbon = 0.06 * self.tank.litres + 0.9 * self.tank.alkalinity
        self.put(Poured, self.now(20), by, what="Green One", ml=one, planned=335.0)
        self.put(Poured, self.now(27), by, what="Green Two", ml=two, planned=223.5)
        self.put(Change, self.now(30), by, litres=95.0, reason="first fill")
        self.until(11.0)
        self.read("dose", by)
        self.pour_acid(by, 24.0)
        self.pour_acid(by, 9.0)
        self.until(15.0)
        for crop, tier, count in ((LEAF, "Sky", 10), ("pak choi", "Bench", 6), ("parsley", "Bench", 4)):
            self.plant(crop, tier, count, by, age=-2.0)
        for crop, count in (("mint", 4), (CHARD, 2)):
            self.plant(crop, "Creek", count, by, age=-4.0)

    def plant(self, crop: str, tier: str, count: int, by: str, *, age: float) -> None:
        most = {LEAF: 0.19, "pak choi": 0.21, "parsley": 0.10, "mint": 0.26, CHARD: 0.36}[crop]
        self.tank.groups.append(
            Group(crop=crop, tier=tier, count=count, since=self.clock / 24 + age, most_l=most)
        )
        self.put(Plants, self.now(), by, act="move", crop=crop, count=count, tier=tier)

    def day(self, day: int) -> None:
        """One day: the round, the correction, what else is on."""
        by = "Idris" if day in IDRIS else "Petra"
        start = 24.0 * day + (7.2 if by == "Petra" else 8.4) + self.rng.gauss(0, 0.2)
        self.until(start)
        if day == CHANGE_DAY:
            self.change(by)
        elif day not in MISSED:
            self.round(day, by)
        self.until(start + 2.5)
        self.garden(day, by)
        self.tasks(day, by)

    def round(self, day: int, by: str) -> None:
        first = self.read("round", by, day=day)
        self.correct(day, by, first)

    def read(self, source: str, by: str, *, day: int | None = None) -> Reading:
        level, strength, ph, warm = self.level(), self.conductivity(), self.ph(), self.temperature()
        if source == "dose":
            self.put(Reading, self.now(), by, conductivity_ms_cm=strength, ph=ph, source="dose")
            return self.diary.events[-1]  # type: ignore[return-value]
        flows = self.flows(day) if day is not None and day in FLOW_DAYS else {}
        looks = self.looks(day or 0)
        notes = {}
        if day == 55:
            notes = {"Creek": "white threads in the mouth of the outlet"}
        typed = 1.84 if day == TYPO_DAY else strength
        values: dict[str, object] = {
            "level_l": level, "ph": ph, "temperature_c": warm, "flow_l_min": flows, "looks": looks,
            "notes": notes, "source": source,
        }  # fmt: skip
        if day == 13:
            values["not_done"] = {"Creek.roots": "no-time"}
            values["looks"] = {k: v for k, v in looks.items() if k != "Creek.roots"}
        doubt = ("conductivity",) if day == TYPO_DAY else ()
        at = self.now()
        old = self.put(Reading, at, by, conductivity_ms_cm=typed, doubt=doubt, **values)
        if day == TYPO_DAY:
            self.until(self.clock + 0.6)
            self.put(Reading, at, "Idris", conductivity_ms_cm=strength, replaces=old, **values)
        return self.diary.events[-1]  # type: ignore[return-value]

    def looks(self, day: int) -> dict[str, str]:
        """Answer the looks; outlets are looked at on days when none is timed."""
        looks = {"pump.pump": "steady-hum", "pump.air": "fine-bubbles"}
        for tier in ("Sky", "Bench", "Creek"):
            if day not in FLOW_DAYS:
                looks[f"{tier}.flow"] = "smooth-stream"
            looks[f"{tier}.roots"] = "cream-firm"
            looks[f"{tier}.leaves"] = "green-upright"
        looks.update(
            {"floor.return": "all-inside", "floor.floor": "tissue-dry", "floor.sockets": "dry-looped"}
        )
        if day in HEAT[1:4]:
            looks["Sky.leaves"] = "limp-or-insects"
        if day == 65:
            looks["Creek.flow"] = "weak-or-gulping"
        if day in (52, 53):
            looks["Creek.roots"] = "tan-firm"
        return looks

    def correct(self, day: int, by: str, seen: Reading) -> None:
        level = seen.level_l or 0.0
        strength = seen.conductivity_ms_cm or 0.0
        missing = FULL_L - level
        at_full = (strength * (level + PIPES_L) + 0.18 * missing) / (FULL_L + PIPES_L)
        water = math.floor(missing * 2) / 2 if missing >= (6.0 if day in HEAT else 8.0) else 0.0
        if water:
            self.tank.water(water)
            self.put(Poured, self.now(6), by, what="water", litres=water, planned=water)
            self.until(self.clock + 0.1)
        poured = self.feed(by, at_full, water) if at_full < 1.40 and water else False
        if poured:
            self.until(self.clock + 0.4)
            again = self.read("dose", by)
            ph = again.ph or 0.0
        else:
            ph = seen.ph or 0.0
        if ph >= 6.3 and by == "Petra":
            self.lower(by, ph)
            self.last_acid_day = day

    def feed(self, by: str, at_full: float, water: float) -> bool:
        rise = 1.55 - at_full
        litres = FULL_L + PIPES_L
        for bottle, label in (("Green One", 3.0), ("Green Two", 2.0)):
            planned = math.floor(rise * litres / 1.5 * label * 0.97 * 2) / 2
            poured = planned if self.rng.random() < 0.75 else round(planned) + 1.0
            true = poured * (1 + self.rng.gauss(0, 0.02))
            if bottle == "Green One":
                self.tank.feed(true, 0.0)
            else:
                self.tank.feed(0.0, true)
            self.put(Poured, self.now(2), by, what=bottle, ml=poured, planned=planned)
            self.until(self.clock + 0.08)
        return water > 0

    def lower(self, by: str, ph: float) -> None:
        wanted = 16.5 * (ph - 5.8) * self.tank.litres / 131.5
        for share in (0.6, 0.35):
            ml = math.floor(wanted * share * 2) / 2
            if ml < 1.0:
                return
            if self.pour_acid(by, ml) <= 5.9:
                return

    def pour_acid(self, by: str, ml: float) -> float:
        self.tank.acid(ml * (1 + self.rng.gauss(0, 0.02)))
        self.put(Poured, self.now(2), by, what="pH Minus", ml=ml, planned=ml)
        self.until(self.clock + 0.35)
        return self.read("dose", by).ph or 0.0

    def change(self, by: str) -> None:
        """Empty the reservoir, refill and feed; the pipes keep theirs."""
        self.read("round", by, day=CHANGE_DAY)
        self.until(self.clock + 0.3)
        out = round(self.tank.level_l * 2) / 2
        self.tank.drain(out)
        self.put(Poured, self.now(), by, what="drained", litres=out)
        self.until(self.clock + 0.6)
        self.tank.level_l = 0.0
        self.tank.water(95.0)
        self.put(Poured, self.now(), by, what="water", litres=95.0)
        self.put(Change, self.now(1), by, litres=95.0, reason="35 days")
        self.until(self.clock + 0.1)
        lacking = 1.55 * self.tank.litres - self.tank.salt
        for bottle, label in (("Green One", 3.0), ("Green Two", 2.0)):
            ml = math.floor(lacking / 1.5 * label * 1.04 * 2) / 2
            self.tank.feed(*((ml, 0.0) if bottle == "Green One" else (0.0, ml)))
            self.put(Poured, self.now(2), by, what=bottle, ml=ml, planned=ml)
            self.until(self.clock + 0.1)
        self.until(self.clock + 0.4)
        again = self.read("dose", by)
        for _portion in range(3):
            if (again.ph or 0.0) <= 6.1:
                break
            self.pour_acid(by, math.floor(16.0 * ((again.ph or 0.0) - 5.8)) * 0.5 + 2.0)
            again = self.diary.events[-1]  # type: ignore[assignment]

    def garden(self, day: int, by: str) -> None:
        at = self.now()
        if day in (13, 40):
            self.put(Plants, at, by, act="sow", crop=LEAF, count=12)
        if day == 15:
            self.put(Plants, at, by, act="sow", crop="pak choi", count=8)
        if day in (26, 33, 47, 61, 67):
            self.cut("mint", 0.75)
            self.put(Plants, at, by, act="harvest", crop="mint", count=4, tier="Creek")
        if day in (30, 60):
            self.pull(LEAF, "Sky", 10, by)
        if day == 36:
            self.pull("pak choi", "Bench", 6, by)
        if day == 46:
            self.cut(CHARD, 0.85)
            self.put(Plants, at, by, act="harvest", crop=CHARD, count=2, tier="Creek")

    def cut(self, crop: str, left: float) -> None:
        for group in self.tank.groups:
            if group.crop == crop:
                group.cut *= left

    def pull(self, crop: str, tier: str, count: int, by: str) -> None:
        self.tank.groups = [g for g in self.tank.groups if g.crop != crop]
        self.put(Plants, self.now(), by, act="pull", crop=crop, count=count, tier=tier)
        self.until(self.clock + 0.5)
        self.plant(crop, tier, count, by, age=-4.0)

    def tasks(self, day: int, by: str) -> None:
        at = self.now(20)
        drift = 0.02 * (day % 28) / 7
        if day % 7 == 0 or day == 1:
            shown = checked_ph(seven=round(7.01 + drift, 2), four=round(4.0 + 0.5 * drift, 2))
            self.put(TaskDone, at, "Petra", task="calibrate-ph", values=shown)
        if day in (1, 30, 60):
            self.put(TaskDone, at, "Petra", task="calibrate-conductivity", values=checked_conductivity(1.41))
        done = [task for task, (every, first) in SLOW.items() if day >= first and (day - first) % every == 0]
        done += SATURDAY if day % 7 == 6 and day > 40 else []
        done += FIRST_TIME if day == 2 else CHANGE_DAY_TASKS if day == CHANGE_DAY else []
        for task in done:
            self.put(TaskDone, at, by if task in SATURDAY else "Petra", task=task)
        for when, kind, who, values in SAID:
            if day == when:
                self.put(kind, at, who, **values)


SLOW = {
    "roots-at-outlets": (7, 4), "outlet-screens": (7, 4), "dry-tissue-joints": (7, 6),
    "source-water": (7, 2), "lamp-distance": (7, 3), "pest-watch": (7, 5),
    "sow-next": (27, 13), "clean-pump": (31, 33), "clean-air-stones": (90, 33),
    "flush-pots": (30, 12), "stock-and-spares": (29, 11), "drop-test": (90, 1),
    "test-trip-switch": (30, 5), "add-up-the-load": (30, 5), "timers-right": (30, 5),
    "fixings-tight": (30, 8), "smoke-alarm": (29, 8), "bottles-sound": (28, 9),
    "goggles-and-eye-rinse": (28, 9), "pump-off-test": (90, 3), "inspection-in-date": (365, 2),
    "clean-strainer": (7, 4), "heat-plan": (365, 49), "scrub-pipes": (30, 30), "cold-plan": (365, 2),
    "power-cut-drill": (365, 3), "descale-pump": (90, 33), "walk-the-whole-list": (180, 2),
    "seedling-tray": (7, 6), "harvest": (7, 5), "thin-seedlings": (27, 20), "move-up": (30, 30),
}  # fmt: skip
"""Task -> every so many days, from that day on."""

SATURDAY = [
    "dry-floor-first", "smell-and-listen", "cool-plugs", "clear-of-lamps", "eyes-away-from-lamps",
    "bottles-locked", "lid-latched", "clean-hands", "look-over-leads", "one-lead-per-socket",
    "plugs-high-and-dry", "drip-loops", "no-slime-no-light", "no-mist", "clear-outlets", "rack-stands-firm",
    "room-not-damp",
]  # fmt: skip
FIRST_TIME = [
    "trip-switch-ahead", "marks-on-devices", "earth-and-frame", "rack-carries-brimful",
    "switch-labelled-numbers-up",
]  # fmt: skip
CHANGE_DAY_TASKS = [
    "rinse-prefilter", "rinse-rack-outside", "unplug-before-water", "goggles-before-caps", "acid-into-water",
    "one-bottle-at-a-time", "old-water-away", "hose-above-water", "small-loads", "before-plugging-in",
]  # fmt: skip
SAID: tuple[tuple[int, type[Event], str, dict[str, object]], ...] = (
    (8, Note, "Petra", {"text": "Pipes hold a bit more than the sum says: nearly 37 by jug."}),
    (40, Renewed, "Petra", {"what": "Green Two"}),
    (49, Note, "Petra", {
        "text": "34 degrees outside. Wet towel on the tank, lights moved to the night.", "about": "heat",
    }),
    (57, Note, "Idris", {"text": "Cooler again. Towel in the wash."}),
)  # fmt: skip


if __name__ == "__main__":
    main()
