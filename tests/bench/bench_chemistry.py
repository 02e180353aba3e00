"""Solves per second, and the same questions to PHREEQC in the same run.

Run from the checkout: ``python -m tests.bench.bench_chemistry``. Nothing here fails; it prints.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tendtui.chemistry import Solution, mix

FEED = {"Ca": 3.2, "Mg": 1.0, "Na": 0.3, "K": 5.8, "NH4": 0.6, "NO3": 11.2, "Cl": 0.3, "SO4": 1.1, "P": 1.0}
TAP = {"Ca": 1.4, "Mg": 0.35, "Na": 0.9, "K": 0.08, "Cl": 0.93, "SO4": 0.4, "Si": 0.15}
REPEATS = 400
DRAWS = 200


def seconds_each(action: Callable[[], object], repeats: int = REPEATS) -> float:
    """Best of three runs, per call."""
    action()
    best = float("inf")
    for _ in range(3):
        begin = perf_counter()
        for _ in range(repeats):
            action()
        best = min(best, perf_counter() - begin)
    return best / repeats


def plan_of_draws() -> float:
    """Seconds for a plan's draws: make the tank, find the dose, apply it, let the air in, conductivity."""
    begin = perf_counter()
    for i in range(DRAWS):
        share = 0.8 + 0.4 * i / DRAWS
        feed = {name: amount * share for name, amount in FEED.items()}
        tank = Solution.at_ph(6.6 + 0.2 * share, feed, temperature_c=21.0, pco2_atm=8e-4)
        dosed = tank.with_added("H3PO4", 0.7 * tank.dose_to_ph(5.8, "H3PO4"))
        dosed.open_to_air(5e-4)
        _ = dosed.conductivity_us_cm
    return perf_counter() - begin


def ours() -> dict[str, float]:
    """Seconds for each kind of question."""
    feed = Solution.at_ph(6.6, FEED, temperature_c=20.0, dic_mmol=0.5)
    tap = Solution.at_ph(7.7, TAP, temperature_c=20.0, alkalinity_meq=2.6)
    return {
        "make at a pH": seconds_each(lambda: Solution.at_ph(6.6, FEED, temperature_c=20.0, dic_mmol=0.5)),
        "pH from totals": seconds_each(lambda: Solution.from_totals(FEED, temperature_c=20.0, dic_mmol=0.5)),
        "add acid": seconds_each(lambda: feed.with_added("HNO3", 0.3)),
        "dose to a pH": seconds_each(lambda: feed.dose_to_ph(5.8, "HNO3")),
        "open to the air": seconds_each(lambda: feed.open_to_air(420e-6)),
        "mix": seconds_each(lambda: mix(feed, 40.0, tap, 20.0)),
        "conductivity": seconds_each(lambda: feed.conductivity_us_cm),
    }


def theirs() -> dict[str, float]:
    """Seconds for the questions PHREEQC is asked too; empty where it is not installed."""
    try:
        from tests.support.phreeqc import Engine, Outcome
    except ImportError:
        return {}
    engine = Engine()
    given = ("dic_mmol", 0.5)

    def make() -> Outcome:
        return engine.water(6.6, FEED, temperature_c=20.0, carbonate=given)

    make()
    return {
        "make at a pH": seconds_each(make, 100),
        "add acid": seconds_each(lambda: engine.added("HNO3", 0.3), 100),
        "dose to a pH": seconds_each(lambda: engine.dose(5.8, "HNO3"), 100),
    }


def main() -> None:
    """Print the table."""
    reference = theirs()
    for name, each in ours().items():
        beside = f"   PHREEQC takes {reference[name] / each:5.2f} times that" if name in reference else ""
        print(f"{name:<18}{1e6 * each:8.0f} µs {1.0 / each:8.0f} a second{beside}")
    print(f"{DRAWS} draws of a plan: {plan_of_draws():.3f} s")
    if not reference:
        print("PHREEQC is not installed here; no ratio.")


if __name__ == "__main__":
    main()
