"""One simulated rack by seed: what its keeper knows of it, and the truth behind."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from math import exp, pi, sin

from tests.season.water import REAGENTS, Seen, Water, source_water

AIR_STEP_H = 2.0
STRENGTH = {"nitric acid": (63.0, 1.04), "phosphoric acid": (98.0, 1.05), "sulfuric acid": (98.1, 1.06),
            "hydrochloric acid": (36.5, 1.04), "citric acid": (192.1, 1.04),
            "potassium hydroxide": (56.1, 1.06), "potassium bicarbonate": (100.1, 1.05)}  # fmt: skip
"""g/mol, and kg/L of the weak solutions used here."""

FEED_A = {"Ca": 1.2, "NO3": 2.9, "NH4": 0.18, "K": 0.32}
FEED_B = {"K": 1.7, "P": 0.5, "Mg": 0.45, "SO4": 0.55, "NO3": 1.0}
"""mmol in a mL of either part of a feed of usual strength; 1 mL of each a litre is about 0.6 mS/cm."""

CITRATE_EATEN_DAY = 0.5
"""Share of citrate that microbes make bicarbonate of in a day: chosen here (growers' guides: days)."""

EATS = {"NO3": 9.0, "NH4": 0.5, "K": 5.0, "Ca": 1.8, "Mg": 0.7, "P": 0.9, "SO4": 0.5}
"""mmol taken up with a litre drunk at full vigour."""


@dataclass
class Troubles:
    """What happens on which day of the season."""

    leak_day: int
    leak_l_day: float
    closing_day: int
    heat_day: int
    typo_day: int
    double_day: int
    sick_day: int


@dataclass
class Rig:
    """The rack. `rack_toml` is what its keeper believes."""

    seed: int
    days: int
    rng: random.Random = field(init=False)
    tank: Water = field(init=False)
    clock_h: float = 0.0
    warm_c: float = 20.0
    weather: float = 0.0
    mended: set[str] = field(default_factory=set)
    hours_in: list[tuple[bool, bool]] = field(default_factory=list)
    drained_l: float = 0.0

    def __post_init__(self) -> None:
        rng = self.rng = random.Random(self.seed)
        self.full_l = round(rng.uniform(45.0, 140.0))
        self.least_l = round(0.45 * self.full_l)
        self.pipes_believed_l = round(rng.uniform(0.15, 0.45) * self.full_l, 1)
        self.pipes_l = self.pipes_believed_l * exp(rng.gauss(0, 0.06))
        self.alkalinity = rng.choice((0.3, 0.8, 1.2, 1.8, 2.6, 3.6))
        self.softened = rng.random() < 0.08
        self.source = source_water(self.alkalinity, softened=self.softened, chloride=rng.uniform(0.2, 1.2))
        self.acid = rng.choice(("nitric acid", "phosphoric acid", "phosphoric acid", "sulfuric acid"))
        self.acid_percent = rng.choice((5.0, 8.0, 10.0, 15.0))
        self.acid_known = rng.random() < 0.7
        self.acid_mmol_ml = self._mmol_ml(self.acid, self.acid_percent) * exp(rng.gauss(0, 0.04))
        self.has_up = rng.random() < 0.7
        self._awkward()
        self.up_mmol_ml = self._mmol_ml("potassium bicarbonate", 10.0)
        self.feed_truth = exp(rng.gauss(0, 0.08))
        self.ammonium = rng.choice((0.5, 1.0, 1.0, 1.5))
        self.air_atm = exp(rng.gauss(0, 0.2)) * 6e-4
        self.per_hour = rng.uniform(0.08, 0.35)
        self.gain = exp(rng.gauss(0, 0.015))
        self.ph_off = rng.gauss(0, 0.06)
        self.hands = rng.uniform(0.03, 0.05)
        self.vigour = exp(rng.gauss(0, 0.12))
        self.lean = rng.gauss(0, 0.35)
        self.thirst = self.full_l * rng.uniform(0.03, 0.055)
        low = rng.choice((1.1, 1.3, 1.5))
        self.band_ms = (low, low + 0.4)
        self.band_ph = rng.choice(((5.6, 6.3), (5.5, 6.2), (5.8, 6.5)))
        third = self.days / 90.0
        self.troubles = Troubles(
            leak_day=round(rng.uniform(38, 46) * third), leak_l_day=self.thirst * rng.uniform(0.8, 1.8),
            closing_day=round(rng.uniform(24, 30) * third), heat_day=round(rng.uniform(55, 60) * third),
            typo_day=round(rng.uniform(32, 36) * third), double_day=round(rng.uniform(66, 70) * third),
            sick_day=round(rng.uniform(76, 80) * third),
        )  # fmt: skip
        self.fill()

    def _awkward(self) -> None:
        """Make some racks hard by seed: softened water, citric acid, unknown acid with no bottle for up."""
        match self.seed % 10:
            case 4:
                self.softened = True
                self.source = source_water(self.alkalinity, softened=True, chloride=0.5)
            case 7:
                self.acid_known = self.has_up = False
            case 9:
                self.acid, self.acid_percent, self.acid_known = "citric acid", 15.0, True
                self.acid_mmol_ml = self._mmol_ml(self.acid, self.acid_percent)

    @staticmethod
    def _mmol_ml(reagent: str, percent: float) -> float:
        weight, density = STRENGTH[reagent]
        return 10.0 * percent * density / weight

    # what is poured, in truth

    def fill(self) -> None:
        """Give the first solution: mixed, acidified and settled."""
        litres = self.full_l + self.pipes_l
        self.tank = Water(0.0)
        self.water(litres)
        middle = sum(self.band_ms) / 2.0
        while self.seen().conductivity_ms_cm < middle:
            self.feed("A", 0.02 * litres, hands=False)
            self.feed("B", 0.02 * litres, hands=False)
        for _turn in range(60):
            self.live(6.0)
            if self.seen().ph <= self.band_ph[1] - 0.3:
                break
            self.tank.dissolve(REAGENTS[self.acid], 0.03 * litres)
        self.hours_in.clear()
        self.clock_h = 0.0
        self.level_to(self.full_l)

    def level_to(self, level_l: float) -> None:
        missing = level_l - self.level_l
        if missing > 0.0:
            self.water(missing)

    def water(self, litres: float) -> None:
        added = self.source.copy()
        added.litres = litres
        added.amounts = {n: a * litres for n, a in added.amounts.items()}
        self.tank.add(added)

    def drain(self, litres: float) -> None:
        litres = min(litres, self.level_l)
        self.tank.take(litres)
        self.drained_l += litres

    def feed(self, part: str, ml: float, *, hands: bool = True) -> None:
        amounts = dict(FEED_A if part == "A" else FEED_B)
        if part == "A":
            shift = FEED_A["NH4"] * (self.ammonium - 1.0)
            amounts["NH4"] += shift
            amounts["Ca"] -= shift / 2.0
        self.tank.dissolve(amounts, self._by_hand(ml, hands) * self.feed_truth)

    def adjust(self, reagent: str, ml: float, *, hands: bool = True) -> None:
        mmol = self.acid_mmol_ml if reagent == self.acid else self.up_mmol_ml
        self.tank.dissolve(REAGENTS[reagent], self._by_hand(ml, hands) * mmol)

    def _by_hand(self, amount: float, hands: bool) -> float:
        return amount * exp(self.rng.gauss(0, self.hands)) if hands else amount

    # time

    @property
    def level_l(self) -> float:
        return self.tank.litres - self.pipes_l

    @property
    def day(self) -> float:
        return self.clock_h / 24.0

    def seen(self) -> Seen:
        return self.tank.seen(self.warm_c)

    def live(self, hours: float) -> None:
        """Let hours pass: drink, eat, breathe, leak; note what was in band."""
        while hours > 1e-9:
            step = min(AIR_STEP_H, hours)
            seen = self.seen()
            low, high = self.band_ph
            inside = low <= seen.ph <= high
            strong = self.band_ms[0] <= seen.conductivity_ms_cm <= self.band_ms[1]
            self.hours_in.append((inside, strong))
            self.tank.breathe(seen, air_atm=self.air_atm, hours=step, per_hour=self.per_hour)
            self._grow(step, seen)
            self.clock_h += step
            hours -= step

    def _grow(self, hours: float, seen: Seen) -> None:
        day, t = self.day, self.troubles
        self.weather = 0.98 * self.weather + self.rng.gauss(0, 0.25)
        hot = 5.0 if t.heat_day <= day < t.heat_day + 4 else 0.0
        aim = 20.0 + self.weather + hot + sin(2 * pi * (self.clock_h - 10) / 24.0)
        self.warm_c += (aim - self.warm_c) * (1 - exp(-hours / 12.0))
        grown = 0.45 + 0.55 * ((day % 45.0) / 45.0)
        sick = 0.5 if "sick" not in self.mended and t.sick_day <= day else 1.0
        litres = self.thirst * grown * sick * exp(0.055 * (self.warm_c - 20.0)) * hours / 24.0
        litres = min(litres, max(0.0, self.level_l - 1.0))
        eaten = litres * self.vigour * (seen.conductivity_ms_cm / 1.5) ** 0.5 * sick
        self.tank.litres -= litres
        for name, amount in EATS.items():
            have = self.tank.amounts.get(name, 0.0)
            more = self.lean if name == "NO3" else 0.0
            self.tank.amounts[name] = max(0.02 * have, have - eaten * (amount + more))
        citrate = self.tank.amounts.get("Cit", 0.0) * (1.0 - exp(-CITRATE_EATEN_DAY * hours / 24.0))
        if citrate > 0.0:
            self.tank.dissolve({"Cit": -citrate, "DIC": 6.0 * citrate})
        if sick < 1.0:
            self.tank.dissolve({"DIC": 0.15 * hours}, 1.0)
            self.tank.dissolve({"Cl": 0.002 * self.tank.litres * hours})
        if "leak" not in self.mended and t.leak_day <= day:
            self.tank.take(min(t.leak_l_day * hours / 24.0, max(0.0, self.level_l - 1.0)))

    # meters

    def read(self) -> dict[str, float]:
        seen = self.seen()
        level = self.level_l + self.rng.gauss(0, 0.004 * self.full_l)
        return {
            "level": round(2 * max(0.0, level)) / 2,
            "conductivity": round(seen.conductivity_ms_cm * self.gain * (1 + self.rng.gauss(0, 0.005)), 2),
            "ph": round(seen.ph + self.ph_off + self.rng.gauss(0, 0.03), 1),
            "temperature": round(self.warm_c + self.rng.gauss(0, 0.2), 1),
        }

    def flows(self) -> dict[str, float]:
        t = self.troubles
        closed = (
            0.0 if "closing" in self.mended else min(0.6, max(0.0, (self.day - t.closing_day) / 7.0 * 0.08))
        )
        true = {"First": 2.5, "Second": 2.5 * (1.0 - closed), "Third": 2.5 * (1.0 - closed)}
        return {n: round(f * (1 + self.rng.gauss(0, 0.012)), 2) for n, f in true.items()}

    # what the keeper believes

    @property
    def label_ms(self) -> float:
        """What 1 mL of either part a litre adds by the label. [mS/cm]"""
        return 0.595

    def rack_toml(self) -> str:
        """Give the rack as its keeper describes it."""
        source = self.source.seen(20.0)
        percent = f"percent_w_w = {self.acid_percent}\n" if self.acid_known else ""
        up = (
            '[[adjuster]]\nname = "Up"\ndirection = "up"\n'
            'reagent = "potassium bicarbonate"\npercent_w_w = 10.0\n'
            if self.has_up
            else ""
        )
        label = f"label_mL_per_L = 2.0\nlabel_conductivity_mS_cm = {2 * self.label_ms:.2f}\n"
        tiers = "".join(
            f'[[tier]]\nname = "{name}"\npipe_inside_mm = 110.0\nlength_m = 1.5\noutlet_height_mm = 60.0\n'
            f'crops = ["lettuce"]\nplants = 8\n'
            for name in ("First", "Second", "Third")
        )
        return (
            f'schema = 1\nname = "rack {self.seed}"\n'
            f"[reservoir]\nfull_L = {self.full_l}.0\nleast_L = {self.least_l}.0\n"
            f"pipes_L = {self.pipes_believed_l}\naerated = true\n"
            f"[source]\nconductivity_mS_cm = {source.conductivity_ms_cm:.2f}\nph = 7.5\n"
            f"alkalinity_mg_L_CaCO3 = {50.04 * self.alkalinity:.0f}.0\n"
            f"[target]\nconductivity_mS_cm = [{self.band_ms[0]}, {self.band_ms[1]:.1f}]\n"
            f"ph = [{self.band_ph[0]}, {self.band_ph[1]}]\ntemperature_C = [17.0, 25.0]\n"
            f"change_above_mS_cm = 3.0\nchange_every_days = 60\n{tiers}"
            f'[[feed]]\nname = "A"\n{label}[[feed]]\nname = "B"\n{label}'
            f'[[adjuster]]\nname = "Down"\ndirection = "down"\nreagent = "{self.acid}"\n{percent}{up}'
            f'[measuring]\nliquid_mL = 0.5\nwater_L = 0.5\n[people]\nusual = ["S"]\n'
        )
