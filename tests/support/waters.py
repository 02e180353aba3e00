"""Waters and feeds drawn at random, the same ones every time."""

from __future__ import annotations

from random import Random

from tendtui.value import replace, value_class

ACIDS = ("HNO3", "H3PO4", "H2SO4", "HCl", "H3Cit")
ALKALIS = ("KOH", "K2CO3", "KHCO3")


@value_class
class Water:
    """One composition and what is to be done with it."""

    kind: str
    ph: float
    temperature_c: float
    totals: dict[str, float]
    carbonate: tuple[str, float]
    reagent: str
    target_ph: float
    pco2_atm: float | None


def draw(count: int, seed: int, *, wide: bool = False) -> list[Water]:
    """Draw waters: rain, soft to very hard, softened, feeds weak to strong, aged, ammonium, sulfate.

    A wide draw starts and ends anywhere from pH 3 to 10.
    """
    rng = Random(seed)
    return [_widened(rng, _one(rng)) if wide else _one(rng) for _ in range(count)]


def _widened(rng: Random, water: Water) -> Water:
    ph = rng.uniform(3.0, 10.0)
    down = ph > 6.5
    carbonate = water.carbonate
    if ph > 9.0 or carbonate[0] == "alkalinity_meq":
        carbonate = ("dic_mmol", rng.uniform(0.02, 3.0))
    return replace(
        water,
        ph=ph,
        carbonate=carbonate,
        reagent=rng.choice(ACIDS if down else ALKALIS[:2]),
        target_ph=rng.uniform(3.0, ph - 0.2) if down else rng.uniform(ph + 0.2, 10.0),
    )


def _one(rng: Random) -> Water:
    kind = rng.choice(
        ("rain", "soft", "hard", "softened", "feed", "feed", "strong", "aged", "ammonium", "sulfate")
    )
    totals, alkalinity = (
        _water(rng, kind) if kind in ("rain", "soft", "hard", "softened") else (_feed(rng, kind), None)
    )
    down = rng.random() < 0.7
    ph = rng.uniform(6.4, 8.4) if down else rng.uniform(4.0, 5.6)
    if alkalinity is not None and down:
        carbonate = ("alkalinity_meq", alkalinity)
    elif rng.random() < 0.5:
        carbonate = ("pco2_atm", 10 ** rng.uniform(-3.4, -2.5))
    else:
        carbonate = ("dic_mmol", rng.uniform(0.02, 1.5))
    return Water(
        kind=kind,
        ph=ph,
        temperature_c=rng.uniform(12.0, 30.0),
        totals=totals,
        carbonate=carbonate,
        reagent=rng.choice(ACIDS if down else ALKALIS),
        target_ph=rng.uniform(4.5, 6.2) if down else rng.uniform(ph + 0.2, 6.6),
        pco2_atm=10 ** rng.uniform(-3.4, -3.0) if rng.random() < 0.3 else None,
    )


def _water(rng: Random, kind: str) -> tuple[dict[str, float], float]:
    alkalinity = {"rain": 0.1, "soft": 1.2, "hard": 5.0, "softened": 5.0}[kind] * rng.uniform(0.4, 1.6)
    hardness = alkalinity * rng.uniform(0.7, 1.3)
    calcium = 0.03 if kind == "softened" else rng.uniform(0.6, 0.95)
    magnesium = 0.02 if kind == "softened" else 1.0 - calcium
    totals = {
        "Ca": hardness / 2 * calcium,
        "Mg": hardness / 2 * magnesium,
        "Na": alkalinity * (rng.uniform(1.0, 1.5) if kind == "softened" else rng.uniform(0.2, 0.8)),
        "K": alkalinity * 0.03,
        "SO4": alkalinity * rng.uniform(0.02, 0.2),
        "Cl": alkalinity * rng.uniform(0.05, 0.2),
        "Si": rng.uniform(0.0, 0.3),
    }
    # as much sodium as lets a little nitrate close the charge
    short = alkalinity + totals["Cl"] + 2 * totals["SO4"] - hardness - totals["Na"] - totals["K"]
    totals["Na"] += max(0.0, short + rng.uniform(0.0, 0.4))
    return totals, alkalinity


def _feed(rng: Random, kind: str) -> dict[str, float]:
    strength = {"strong": rng.uniform(1.6, 4.0)}.get(kind, 10 ** rng.uniform(-0.7, 0.25))
    totals = {
        "Ca": rng.uniform(2.0, 4.5),
        "Mg": rng.uniform(0.7, 2.0),
        "Na": rng.uniform(0.05, 1.0),
        "K": rng.uniform(3.0, 8.0),
        "NH4": rng.uniform(0.0, 1.0),
        "Cl": rng.uniform(0.05, 0.8),
        "SO4": rng.uniform(0.5, 2.5),
        "P": rng.uniform(0.4, 2.0),
        "Si": rng.choice((0.0, 0.2)),
    }
    totals |= {
        "aged": {"P": rng.uniform(0.02, 0.3), "K": rng.uniform(0.5, 2.5), "Na": 3.0, "Cl": 2.0, "SO4": 3.0},
        "ammonium": {"NH4": rng.uniform(2.0, 6.0)},
        "sulfate": {"SO4": rng.uniform(3.0, 5.0), "Mg": rng.uniform(2.0, 3.5), "K": rng.uniform(5.0, 9.0)},
    }.get(kind, {})
    return {name: amount * strength for name, amount in totals.items()}
