"""A plan as the plain table that `dose --json` prints; screens and tests read the same."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.plan import AddWater, Amounts, Drain, Plan, Pour, Read, Step, Wait

__all__ = ["SCHEMA", "plan_json", "steps_json"]

SCHEMA = 1


def plan_json(plan: Plan) -> dict[str, object]:
    """Give the table of a plan, every key in its unit, missing values as None."""
    expect = _amounts(plan.expect)
    expect.pop("temperature_C")
    expect["ph_tomorrow"] = _rounded(plan.expect.ph_tomorrow, 2)
    return {
        "schema": SCHEMA,
        "at": plan.at.isoformat(),
        "readings": _readings(plan.readings),
        "verdict": plan.verdict.value,
        "reasons": list(plan.reasons),
        "steps": steps_json(plan.steps),
        "expect": expect,
        "range": {
            "conductivity_mS_cm": _pair(plan.range.conductivity_ms_cm, 3),
            "ph": _pair(plan.range.ph, 2),
            "ph_tomorrow": _pair(plan.range.ph_tomorrow, 2),
        },
        "assumed": list(plan.assumed),
        "cautions": list(plan.cautions),
    }


def steps_json(steps: Iterable[Step]) -> list[dict[str, object]]:
    """Give the tables of steps."""
    return [_step(step) for step in steps]


def _readings(amounts: Amounts) -> dict[str, object]:
    return {
        "level_L": _rounded(amounts.level_l, 6),
        "conductivity_mS_cm": _rounded(amounts.conductivity_ms_cm, 6),
        "ph": _rounded(amounts.ph, 6),
        "temperature_C": _rounded(amounts.temperature_c, 6),
    }


def _amounts(amounts: Amounts) -> dict[str, object]:
    return {
        "level_L": _rounded(amounts.level_l, 1),
        "conductivity_mS_cm": _rounded(amounts.conductivity_ms_cm, 3),
        "ph": _rounded(amounts.ph, 2),
        "temperature_C": _rounded(amounts.temperature_c, 1),
    }


def _step(step: Step) -> dict[str, object]:
    match step:
        case AddWater(litres=litres):
            return {"do": "add_water", "litres": litres}
        case Drain(litres=litres):
            return {"do": "drain", "litres": litres}
        case Pour(what=what, ml=ml) if ml is not None:
            return {"do": "pour", "what": what, "mL": ml}
        case Pour(what=what, g=g):
            return {"do": "pour", "what": what, "g": g}
        case Wait(minutes=minutes):
            return {"do": "wait", "minutes": minutes}
        case Read(what=quantities):
            return {"do": "read", "what": list(quantities)}


def _rounded(value: float | None, decimals: int) -> float | None:
    return None if value is None else round(value, decimals)


def _pair(pair: tuple[float, float] | None, decimals: int) -> list[float] | None:
    return None if pair is None else [round(pair[0], decimals), round(pair[1], decimals)]
