"""The invented tank behind the demo's log: level, salts, pH and temperature from day to day.

A plain balance sheet, good enough for a believable log: conductivity is carried as mS/cm x litres; pH comes
from alkalinity, phosphate and dissolved carbon dioxide that leaves towards the air. Constants at 22 °C are
rounded textbook values, from memory; nothing is tested against them.
"""

from __future__ import annotations

import math
import random

from tendtui.value import field, value_class

K1, K2, KW, KP1, KP2 = 4.2e-7, 4.5e-11, 0.8e-14, 7.2e-3, 6.2e-8
CO2_IN_ROOM_MMOL = 0.036 * 0.75e-3 * 1e3  # Henry's constant x 750 ppm

PIPES_L = 36.5
FEED_STRENGTH = 0.90
ACID_MEQ_PER_ML = 1.15
SOURCE_MS_CM = 0.18
SOURCE_MEQ = 0.80


@value_class(frozen=False, kw_only=False)
class Group:
    """Plants of one kind, put in on one day."""

    crop: str
    tier: str
    count: int
    since: float
    most_l: float
    """Litres a day of one grown plant at 20 °C."""
    half_days: float = 16.0
    eats_ms_cm: float = 1.35
    """Salt taken up with each litre drunk, as conductivity."""
    cut: float = 1.0

    def drinks(self, day: float) -> float:
        age = day - self.since
        grown = 1.0 / (1.0 + math.exp(-(age - self.half_days) / 5.0))
        return self.count * self.most_l * self.cut * (0.06 + 0.94 * grown)


@value_class(frozen=False, kw_only=False)
class Tank:
    """What stands in reservoir and pipes."""

    level_l: float = 0.0
    salt: float = 0.0
    alkalinity: float = 0.0
    phosphate: float = 0.0
    carbon: float = 0.0
    temperature_c: float = 19.0
    groups: list[Group] = field(default_factory=list)

    @property
    def litres(self) -> float:
        return self.level_l + PIPES_L

    @property
    def conductivity(self) -> float:
        return self.salt / self.litres

    @property
    def ph(self) -> float:
        v = self.litres
        alk, p, dic = self.alkalinity / v, self.phosphate / v, self.carbon / v
        low, high = 3.0, 10.0
        for _ in range(60):
            mid = (low + high) / 2
            if _alkalinity(mid, p, dic) < alk:
                low = mid
            else:
                high = mid
        return (low + high) / 2

    def water(self, litres: float) -> None:
        self.level_l += litres
        self.salt += litres * SOURCE_MS_CM
        self.alkalinity += litres * SOURCE_MEQ
        self.carbon += litres * (SOURCE_MEQ + 0.12)

    def drain(self, litres: float) -> None:
        kept = 1 - litres / self.litres
        self.level_l -= litres
        self.salt *= kept
        self.alkalinity *= kept
        self.phosphate *= kept
        self.carbon *= kept

    def feed(self, one_ml: float, two_ml: float) -> None:
        self.salt += FEED_STRENGTH * 1.5 * (0.62 * one_ml / 3.0 + 0.38 * two_ml / 2.0)
        self.phosphate += FEED_STRENGTH * two_ml * 0.352
        self.alkalinity -= 0.004 * (one_ml + two_ml)

    def acid(self, ml: float) -> None:
        self.alkalinity -= ml * ACID_MEQ_PER_ML
        self.salt += ml * ACID_MEQ_PER_ML * 0.05

    def live(self, day: float, hours: float, warm_c: float, rng: random.Random) -> None:
        """Let hours pass with the room so warm that the water tends to `warm_c`."""
        part = hours / 24.0
        self.temperature_c += (warm_c - self.temperature_c) * (1 - math.exp(-hours / 14.0))
        heat = 1.055 ** (self.temperature_c - 20.0)
        for group in self.groups:
            drunk = group.drinks(day) * heat * part * (1 + rng.gauss(0, 0.03))
            strength = self.conductivity
            eaten = drunk * group.eats_ms_cm * (strength / 1.5) ** 0.4 / heat**0.75
            self.level_l -= drunk
            self.salt -= eaten
            self.alkalinity += 0.22 * eaten
            self.phosphate = max(0.0, self.phosphate - 0.38 * eaten)
        self.level_l -= 0.25 * part * heat
        target = (CO2_IN_ROOM_MMOL * self.litres) * (1 + K1 / 10**-self.ph)
        self.carbon += (target - self.carbon) * (1 - math.exp(-hours / 7.0))


def _alkalinity(ph: float, p: float, dic: float) -> float:
    h = 10.0**-ph
    bicarbonate = dic * h * K1 / (h * h + h * K1 + K1 * K2)
    carbonate = dic * K1 * K2 / (h * h + h * K1 + K1 * K2)
    second = p * KP2 / (h + KP2)
    acid = p * h / (h + KP1)
    return float(bicarbonate + 2 * carbonate + second - acid + 1e3 * (KW / h - h))
