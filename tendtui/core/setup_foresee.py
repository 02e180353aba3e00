"""What a rack will be like once changes are written, as far as its bands go."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.rack import Rack, Tier
from tendtui.value import replace

__all__ = ["as_changed"]

_BANDS = {"conductivity_mS_cm": "conductivity_ms_cm", "ph": "ph", "temperature_C": "temperature_c"}
"""Key of `[target]` -> its field."""


def as_changed(rack: Rack, changes: Mapping[str, object]) -> Rack:
    """Give the rack with its crops, plants and bands as changes by dotted place will make them.

    Measures are left as they are, and of a tier that is added they are made up: bands don't rest on them.
    """
    tiers = list(rack.tiers)
    target = rack.target
    for place, value in changes.items():
        part, _dot, rest = place.partition(".")
        number, _dot, key = rest.partition(".")
        if part == "tier":
            tiers = _with_tier(tiers, int(number), key, value)
        elif part == "target" and rest in _BANDS:
            band = None if not isinstance(value, list) else (float(value[0]), float(value[1]))
            target = replace(target, **{_BANDS[rest]: band})
    return replace(rack, tiers=tuple(tiers), target=target)


def _with_tier(tiers: list[Tier], n: int, key: str, value: object) -> list[Tier]:
    if not key:
        return [tier for number, tier in enumerate(tiers) if number != n]
    if n == len(tiers):
        tiers = [*tiers, Tier(name="", pipe_inside_mm=1.0, length_m=1.0, outlet_height_mm=0.5)]
    if key == "crops" and isinstance(value, list):
        tiers[n] = replace(tiers[n], crops=tuple(str(crop) for crop in value))
    if key == "plants" and isinstance(value, int):
        tiers[n] = replace(tiers[n], plants=value)
    return tiers
