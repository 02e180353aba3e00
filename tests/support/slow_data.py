"""Packaged tables of the slow list, read once for the tests."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

import tendtui
from tendtui.core.rack import Device, Feed, Mains, Rack, Reservoir, Source, Target, Tier

DATA = Path(tendtui.__file__).parent / "data"


def table(name: str) -> dict[str, object]:
    """Read one packaged data file."""
    with (DATA / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)


def slow_data() -> Mapping[str, Mapping[str, object]]:
    """Read all tables that the slow list takes."""
    return {name: table(name) for name in ("tasks", "safety_checks", "task_rules", "regions", "plants")}


def rack(**changes: object) -> Rack:
    """Make an invented rack of two tiers."""
    given: dict[str, object] = {
        "name": "Test rack",
        "reservoir": Reservoir(full_l=60.0, least_l=30.0, brim_l=80.0),
        "source": Source(conductivity_ms_cm=0.3, ph=7.5),
        "target": Target(
            conductivity_ms_cm=(1.4, 1.8), ph=(5.6, 6.2), change_above_ms_cm=3.0, change_every_days=21
        ),
        "tiers": (
            Tier(
                name="Top",
                pipe_inside_mm=80.0,
                length_m=1.6,
                outlet_height_mm=45.0,
                crops=("basil",),
                plants=8,
            ),
            Tier(
                name="Low",
                pipe_inside_mm=80.0,
                length_m=1.6,
                outlet_height_mm=45.0,
                crops=("lettuce",),
                plants=8,
            ),
        ),
        "feeds": (
            Feed(name="Feed A", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),
            Feed(name="Feed B", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),
        ),
        "devices": (
            Device(name="Pump", watts=25.0, kind="pump"),
            Device(name="Lamps", watts=40.0, kind="light", count=4),
        ),
        "mains": Mains(volts=230.0, circuit_amps=10.0, protection="30 mA RCD"),
        "people": ("Mo", "Ash"),
        **changes,
    }
    return Rack(**given)  # type: ignore[arg-type]  # the keys are Rack's fields, typed at their making
