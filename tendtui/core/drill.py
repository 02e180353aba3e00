"""Drills for the bad hour, with this rack's own litres, marks and names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tendtui.core.happening import happening_words
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.region import Region, phone_of
from tendtui.core.ring import ring_grower
from tendtui.core.safety_sum import rinse_litres
from tendtui.core.show import show_value
from tendtui.core.tier_volume import brim_full_litres, drain_back, litres_in_pipes
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Drill", "drill_list", "drill_named", "drills"]


@value_class
class Drill:
    """One drill, ready to print."""

    id: str
    name: str
    key: str
    """The digit that opens it from the list of drills."""
    first: str
    """What comes before everything else."""
    ring: str
    """Whom to ring, with the numbers."""
    steps: tuple[str, ...]
    log: str
    """What the note about it is called (`Note.about`), so that the tasks after it are due."""
    source: str

    @property
    def lines(self) -> tuple[str, ...]:
        """Give it as it is read: first things first, whom to ring, then the steps."""
        steps = (f"{n}. {step}" for n, step in enumerate(self.steps, start=1))
        return (self.first, self.ring, "", *steps, "", self.source)


def drill_list(found: Iterable[Drill]) -> tuple[str, ...]:
    """Give every drill with its digit and what comes first in it, and whom to ring."""
    found = tuple(found)
    lines = [line for drill in found for line in (f"  {drill.key}  {drill.name}", f"     {drill.first}")]
    return (*lines, found[0].ring) if found else ()


def drill_named(word: str, found: Iterable[Drill]) -> Drill | None:
    """Find a drill by its digit, or by a word of its name or of what it is for; None: there is none such.

    Args:
        word: As typed, in the person's language or in English.
        found: All drills.
    """
    typed = " ".join(word.replace("-", " ").split()).casefold()
    if not typed:
        return None
    for drill in found:
        names = (drill.name, drill.id, drill.log, happening_words(drill.log))
        if typed == drill.key or any(typed in name.replace("-", " ").casefold() for name in names):
            return drill
    return None


def drills(table: Mapping[str, object], rack: Rack, region: Region | None = None) -> tuple[Drill, ...]:
    """Fill the packaged drills with the rack's figures.

    Args:
        table: The packaged table.
        rack: The rack; its phone numbers win over the region's.
        region: For the numbers to ring; None: not known.
    """
    rows = table["drill"]
    fill = _figures(rack, region)
    return (
        tuple(_drill(row, fill) for row in rows if isinstance(row, Mapping))
        if isinstance(rows, Sequence)
        else ()
    )


def _drill(row: Mapping[str, object], fill: Mapping[str, str]) -> Drill:
    steps = row["steps"]
    return Drill(
        id=str(row["id"]),
        name=_(str(row["name"])),
        key=str(row["key"]),
        first=_(str(row["first"])).format(**fill),
        ring=fill["ring"],
        steps=tuple(_(str(step)).format(**fill) for step in steps) if isinstance(steps, Sequence) else (),
        log=str(row["log"]),
        source=_(str(row["source"])),
    )


def _figures(rack: Rack, region: Region | None) -> dict[str, str]:
    def litres(value_l: float) -> str:
        return show_value(value_l, Quantity.VOLUME, rack.show)

    back = drain_back(rack)
    names = [tier.name for tier in rack.tiers]
    heaviest = max(rack.tiers, key=brim_full_litres, default=None)
    pump = next((device.name for device in rack.devices if device.kind == "pump"), _("the pump"))
    emergency = phone_of(rack, "emergency", "" if region is None else region.emergency)
    return {
        "ring": " ".join(
            (ring_grower(rack), _("Fire, shock, somebody hurt: {number}.").format(number=emergency))
        ),
        "back_usual": litres(back.estimate_l),
        "back_worst": litres(back.worst_l),
        "pipes": litres(litres_in_pipes(rack)),
        "full": litres(rack.reservoir.full_l),
        "least": litres(rack.reservoir.least_l),
        "third": litres(rack.reservoir.full_l / 3.0),
        "tiers": ", ".join(names) or _("every tier"),
        "first_tier": names[0] if names else _("the top tier"),
        "heaviest": _("every pipe")
        if heaviest is None
        else _("{tier} holds {kg:.0f} kg of water").format(tier=heaviest.name, kg=brim_full_litres(heaviest)),
        "pump": pump,
        "rinse": litres(rinse_litres(minutes=15.0)),
        "emergency": emergency,
        "poison": phone_of(rack, "poison", "" if region is None else region.poison),
    }
