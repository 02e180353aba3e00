"""The rack as its builder describes it: what `rack.toml` says, as values.

Every field that a newcomer may not know is optional; what stands in for it is said by whoever uses it.
"""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.value import field, value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    ConductivityUnit = Literal["mS/cm", "uS/cm", "ppm500", "ppm640", "ppm700"]

__all__ = [
    "Adjuster",
    "Device",
    "Feed",
    "Mains",
    "Measuring",
    "Meter",
    "Place",
    "Rack",
    "Reservoir",
    "Show",
    "Source",
    "Target",
    "Tier",
]


@value_class
class Show:
    """The units in which people see and type readings."""

    conductivity: ConductivityUnit = "mS/cm"
    temperature: Literal["C", "F"] = "C"
    volume: Literal["L", "gal"] = "L"


@value_class
class Reservoir:
    """The vessel that holds the pump; levels are read with the pump running."""

    full_l: float
    """Litres at the full mark. [L]"""
    least_l: float
    """Litres below which the pump draws air. [L]"""
    pipes_l: float | None = None
    """Litres standing in the pipes, if measured; else computed from the tiers. [L]"""
    aerated: bool = True
    """Whether an air pump runs, so that carbon dioxide leaves."""
    brim_l: float | None = None
    """Litres to the brim, for the drain-back check. [L]"""


@value_class
class Source:
    """The water used for topping up and for changes; None where it isn't known."""

    conductivity_ms_cm: float | None = None
    ph: float | None = None
    alkalinity_mg_l_caco3: float | None = None
    sodium_mg_l: float | None = None
    chloride_mg_l: float | None = None


@value_class
class Meter:
    """What the grower's meters can show."""

    ppm_scale: Literal[500, 640, 700] = 500
    """What a bare `ppm` of this meter means: ppm per mS/cm."""
    conductivity_step_ms_cm: float = 0.01
    ph_step: float = 0.1
    temperature_compensated: bool = True


@value_class
class Place:
    """Where the rack stands: for intervals and rules, never legal advice."""

    region: str | None = None
    """Free words; `UK`, `Ireland`, `EU`, `US`, `Canada`, `AU` and `NZ` have rows in the region table."""
    altitude_m: float = 0.0


@value_class
class Target:
    """What the grower wishes; None where the crops decide."""

    conductivity_ms_cm: tuple[float, float] | None = None
    ph: tuple[float, float] | None = None
    temperature_c: tuple[float, float] | None = None
    change_above_ms_cm: float | None = None
    change_every_days: int | None = None


@value_class
class Tier:
    """One level of the rack: a pipe (or pipes) filled to the lip of its overflow outlet."""

    name: str
    pipe_inside_mm: float
    length_m: float
    outlet_height_mm: float
    """Lip of the overflow above the pipe's inside bottom. [mm]"""
    outlets: int = 1
    crops: tuple[str, ...] = ()
    plants: int = 0
    pipes: int = 1
    """How many equal pipes lie on this tier."""


@value_class
class Feed:
    """One part of a feed as its label says it; exactly one of the two label amounts is given."""

    name: str
    label_ml_per_l: float | None = None
    label_g_per_l: float | None = None
    label_conductivity_ms_cm: float
    """What ALL parts together at label strength add. [mS/cm]"""
    analysis: Mapping[str, float] | None = None
    """Percent w/v (w/w for dry feeds) as printed: N_nitrate, N_ammonium, P2O5, K2O, CaO, MgO, S, …"""


@value_class
class Adjuster:
    """A bottle that moves pH."""

    name: str
    direction: Literal["down", "up"]
    reagent: str | None = None
    """`phosphoric acid`, `nitric acid`, `sulfuric acid`, `hydrochloric acid`, `citric acid`,
    `potassium hydroxide`, `potassium carbonate`, `potassium bicarbonate`; None: not known."""
    percent_w_w: float | None = None
    strength_mol_l: float | None = None


@value_class
class Measuring:
    """The smallest steps that the grower can really measure."""

    liquid_ml: float = 0.5
    powder_g: float = 0.1
    water_l: float = 0.5
    jug_l: float | None = None
    """The vessel held under an outlet when its flow is timed. [L]"""


@value_class
class Device:
    """Something with a plug."""

    name: str
    watts: float
    amps: float | None = None
    power_factor: float | None = None
    kind: str | None = None
    """`pump`, `air pump`, `light`, `fan`, `heater`, `timer`, …; None: not said."""
    count: int = 1
    timer_rating_a: float | None = None
    """The load that the timer in front of it is marked for with LED or motor loads. [A]"""


@value_class
class Mains:
    """The supply that the rack hangs on."""

    volts: float
    circuit_amps: float
    protection: str | None = None
    lead_amps: float | None = None


@value_class
class Rack:
    """All of it. Tiers stand in the order the water passes them, feeds in pouring order."""

    name: str
    reservoir: Reservoir
    show: Show = field(default_factory=Show)
    source: Source = field(default_factory=Source)
    meter: Meter = field(default_factory=Meter)
    place: Place = field(default_factory=Place)
    target: Target = field(default_factory=Target)
    tiers: tuple[Tier, ...] = ()
    feeds: tuple[Feed, ...] = ()
    adjusters: tuple[Adjuster, ...] = ()
    measuring: Measuring = field(default_factory=Measuring)
    devices: tuple[Device, ...] = ()
    mains: Mains | None = None
    people: tuple[str, ...] = ()
    """Who usually looks after it."""
    phones: Mapping[str, str] = field(default_factory=dict)
    """Numbers to print on the sheet: who -> number (`[people.phones]`)."""
    roles: Mapping[str, str] = field(default_factory=dict)
    """Person -> `newcomer`, `shown` or `grower` (`[people.roles]`); a usual one not named is a grower."""
    extra: Mapping[str, object] = field(default_factory=dict)
    """Tables of rack.toml that other parts read for themselves (`task`, `round`, …), as parsed."""
