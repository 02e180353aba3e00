"""Crops of the rack that the crop table doesn't know."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.crops import crops_from, find_crop, nearest_crops
from tendtui.core.finding import Finding
from tendtui.core.rack import Rack
from tendtui.store.fields import Faults
from tendtui.words import _

__all__ = ["crop_findings"]


def crop_findings(facts: Mapping[str, object], rack: Rack, *, data: bytes, file: str) -> tuple[Finding, ...]:
    """Tell crops for which the bands of crops in general stand in.

    Args:
        facts: The crop table.
        rack: The rack as read.
        data: The bytes that it was read from, for the lines.
        file: The rack's file, as the reader knows it.
    """
    table = crops_from(facts)
    faults = Faults(file=file, text=data)
    for number, tier in enumerate(rack.tiers):
        for crop in tier.crops:
            if find_crop(crop, table) is not None:
                continue
            near = nearest_crops(crop, table)
            meant = _("Was {crop} meant?").format(crop=_(" or ").join(near)) if near else ""
            own = _("Or write the bands that it wants under [target].")
            faults.add(
                ("tier", number, "crops"),
                _("{crop} is not in the crop table; the bands of crops in general stand in").format(
                    crop=crop
                ),
                f"{meant} {own}" if meant else _("Write the bands that it wants under [target]."),
                severity="advice",
            )
    return tuple(faults.found)
