"""What can be written down and still can't be: full below least, a lip above its pipe, two of one name."""

from __future__ import annotations

from tendtui.store.fields import Fields
from tendtui.store.rack_words import REAGENTS
from tendtui.words import _

__all__ = [
    "sense_adjuster",
    "sense_mains",
    "sense_reservoir",
    "sense_source",
    "sense_target",
    "sense_tier",
    "sense_whole",
]

_RESERVED = ("water", "drained")
"""What the log calls water added and solution drained; no bottle can be called that."""


def sense_reservoir(row: Fields, *, full_l: float, least_l: float, brim_l: float | None) -> None:
    """Compare the marks with each other."""
    if full_l <= least_l:
        row.fault(
            "full_L",
            _("the full mark ({full:g} L) is not above the least mark ({least:g} L)").format(
                full=full_l, least=least_l
            ),
            _("Measure both again: full is up to the full mark, least is where the pump begins to draw air."),
        )
    if brim_l is not None and brim_l < full_l:
        row.fault(
            "brim_L",
            _("the brim ({brim:g} L) is below the full mark ({full:g} L)").format(brim=brim_l, full=full_l),
            _("Write the litres up to the edge, or take the line out."),
        )


def sense_tier(row: Fields, *, inside_mm: float, length_m: float, lip_mm: float) -> None:
    """Compare the lip with the pipe, and both with what pipes are like."""
    if lip_mm > inside_mm:
        row.fault(
            "outlet_height_mm",
            _("the outlet's lip ({lip:g} mm) is above the pipe's inside top ({inside:g} mm)").format(
                lip=lip_mm, inside=inside_mm
            ),
            _("Measure from the pipe's inside bottom up to the lip; it is less than the bore."),
        )
    elif lip_mm == inside_mm or lip_mm == 0.0:
        row.fault(
            "outlet_height_mm",
            _("the outlet's lip is at the very edge of the pipe, so it runs full or empty"),
            _("Measure from the pipe's inside bottom up to the lip."),
            severity="warning",
        )
    if inside_mm < 15.0:
        row.fault(
            "pipe_inside_mm",
            _("a bore of {mm:g} mm is very narrow").format(mm=inside_mm),
            _("Write it in millimetres; {wide:g} if you meant centimetres.").format(wide=inside_mm * 10),
            severity="warning",
        )
    if length_m > 30.0:
        row.fault(
            "length_m",
            _("a length of {m:g} m is very long").format(m=length_m),
            _("Write it in metres."),
            severity="warning",
        )


def sense_adjuster(row: Fields, *, direction: str, reagent: str | None) -> None:
    """See that an acid lowers and an alkali raises."""
    if reagent is None or REAGENTS[reagent] == direction:
        return
    row.fault(
        "direction",
        _("{reagent} moves pH {way}, not {direction}").format(
            reagent=reagent, way=REAGENTS[reagent], direction=direction
        ),
        _("Correct the direction or the reagent; poured the wrong way it does harm."),
    )


def sense_source(row: Fields, *, conductivity_ms_cm: float | None) -> None:
    """See that the source water could be watered with."""
    _other_unit(row, "conductivity_mS_cm", conductivity_ms_cm)


def sense_target(
    row: Fields,
    *,
    conductivity_ms_cm: tuple[float, float] | None,
    change_above_ms_cm: float | None,
) -> None:
    """Compare the limits with each other."""
    if conductivity_ms_cm is None:
        return
    _other_unit(row, "conductivity_mS_cm", conductivity_ms_cm[1])
    if change_above_ms_cm is not None and change_above_ms_cm <= conductivity_ms_cm[1]:
        row.fault(
            "change_above_mS_cm",
            _("the solution would be changed while it is still inside its band"),
            _("Write a limit above {high:g}.").format(high=conductivity_ms_cm[1]),
            severity="warning",
        )


def sense_mains(row: Fields, *, volts: float, circuit_amps: float) -> None:
    """See that the supply is one that houses have."""
    if not (100.0 <= volts <= 130.0 or 200.0 <= volts <= 250.0):
        row.fault(
            "volts",
            _("{volts:g} V is not what a house has").format(volts=volts),
            _("Write 230, 240, 120 or 100, as the meter cupboard or a plug's type plate says."),
            severity="warning",
        )
    if not 1.0 <= circuit_amps <= 63.0:
        row.fault(
            "circuit_amps",
            _("{amps:g} A is not what a socket's circuit has").format(amps=circuit_amps),
            _("Write what stands on the circuit's breaker or fuse."),
            severity="warning",
        )


def sense_whole(top: Fields) -> None:
    """Compare the tables with each other."""
    tiers = top.rows("tier")
    if not tiers:
        top.faults.add(
            ("tier",),
            _("no tier is described"),
            _("Add [[tier]] tables in the order the water passes them."),
            severity="warning",
        )
    _one_of_each(tiers, _("Two tiers can't share a name; call one of them something else."))
    bottles = (*top.rows("feed"), *top.rows("adjuster"))
    _one_of_each(bottles, _("Two bottles can't share a name; call one of them something else."))
    _one_of_each(top.rows("device"), _("Call one of them something else."))
    for row in bottles:
        if str(row.table.get("name", "")).strip().casefold() in _RESERVED:
            row.fault(
                "name",
                _("the log needs this name for itself"),
                _("Call the bottle something else."),
            )
    _one_total(top.rows("feed"))


def _one_of_each(rows: tuple[Fields, ...], do: str) -> None:
    first: dict[str, str] = {}
    for row in rows:
        name = row.table.get("name")
        if not isinstance(name, str) or not name.strip():
            continue
        folded = name.strip().casefold()
        if folded in first:
            row.fault("name", _("the name {name} stands here a second time").format(name=first[folded]), do)
        first.setdefault(folded, name.strip())


def _one_total(feeds: tuple[Fields, ...]) -> None:
    totals = [row.table.get("label_conductivity_mS_cm") for row in feeds]
    first = next((total for total in totals if isinstance(total, int | float)), None)
    for row, total in zip(feeds, totals, strict=True):
        if isinstance(total, int | float) and total != first:
            row.fault(
                "label_conductivity_mS_cm",
                _("the parts of one feed say different totals ({first} and {other})").format(
                    first=first, other=total
                ),
                _("Write on every part what all parts together add at label strength."),
                severity="warning",
            )


def _other_unit(row: Fields, key: str, value: float | None) -> None:
    if value is not None and value > 10.0:
        row.fault(
            key,
            _("{value:g} mS/cm is salt water").format(value=value),
            _("Write it in mS/cm: {less:g} if it was read in µS/cm.").format(less=value / 1000),
            severity="warning",
        )
