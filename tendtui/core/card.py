"""Cards to hold in the hand: harvest, change day, who to ring."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tendtui.core.rack import Rack
from tendtui.core.region import Region, phone_of
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Card", "cards"]


@value_class
class Card:
    """One card, ready to print."""

    id: str
    name: str
    lines: tuple[str, ...]
    source: str


def cards(table: Mapping[str, object], rack: Rack, region: Region | None = None) -> tuple[Card, ...]:
    """Fill the packaged cards with the rack's numbers, else the region's."""
    fill = {
        "emergency": phone_of(rack, "emergency", "" if region is None else region.emergency),
        "poison": phone_of(rack, "poison", "" if region is None else region.poison),
        "wiring": _("local rules; a licensed electrician") if region is None else region.wiring,
    }
    rows = table["card"]
    return (
        tuple(_card(row, fill) for row in rows if isinstance(row, Mapping))
        if isinstance(rows, Sequence)
        else ()
    )


def _card(row: Mapping[str, object], fill: Mapping[str, str]) -> Card:
    lines = row["lines"]
    return Card(
        id=str(row["id"]),
        name=_(str(row["name"])),
        lines=tuple(_(str(line)).format(**fill) for line in lines) if isinstance(lines, Sequence) else (),
        source=_(str(row["source"])),
    )
