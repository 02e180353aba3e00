"""Amps and watts against circuit, lead and timer: the sum, its limit, and who says so."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.finding import Finding
from tendtui.core.rack import Device, Rack
from tendtui.core.region import Region
from tendtui.value import value_class
from tendtui.words import _

__all__ = [
    "Sum",
    "amps_of",
    "continuous_load_fits",
    "inrush_a",
    "is_mains",
    "leakage_budget_ma",
    "load_findings",
    "load_sums",
    "reel_bears",
    "share_of_rating_a",
    "trips_before_freezing",
    "watts_at",
]

CONTINUOUS_FACTOR = 1.25
"""Weight of a load of three hours or more. Source: NEC 210.19(A)(1), 210.20(A), repeated by trade pages."""
LED_INRUSH = (40.0, 100.0)
"""Gulp of LED drivers, times the running current. Source: lighting makers' notes, repeated by others."""
MOTOR_INRUSH = 6.0
"""The same of a motor. Source: a switch maker's guide, repeated by others."""
LEAKAGE_SHARE = 0.30
"""Standing leakage as a share of a trip switch's rating. Source: BS 7671:2018 531.3.2 (memory)."""
LET_GO_MA = 6.0
"""[mA] At which hands begin to lock. Source: NIOSH 98-131 (1998), as reproduced."""
_OWN_SOCKET = ("heater", "dehumidifier", "chiller", "fridge")
"""Straight into a wall socket. Source: US Fire Administration, appliance and electrical fire safety."""
_FULL_SHARE = 1.0


@value_class
class Sum:
    """One sum as it is shown: what, the figures, what they mean, who says so."""

    what: str
    shown: str
    verdict: str
    """`green`, `amber`, `red`, or empty where there is nothing to judge."""
    words: str
    source: str


def amps_of(device: Device, *, volts: float) -> float:
    """Give what all of this device draw: the label's amps, else watts / volts / power factor. [A].

    A driver of poor power factor draws far more than watts / volts; without a figure it counts as 1.
    """
    if device.amps is not None:
        return device.amps * device.count
    return device.watts * device.count / volts / (device.power_factor or 1.0)


def watts_at(*, rating_a: float, volts: float, share: float = _FULL_SHARE) -> float:
    """Give the watts that a rating carries, or a share of it [W].

    Args:
        rating_a: Of lead, socket, fuse or circuit. [A]
        volts: Of the mains. [V]
        share: What of it counts.
    """
    return rating_a * share * volts


def share_of_rating_a(*, rating_a: float, share: float) -> float:
    """Give a share of a rating [A].

    Args:
        rating_a: Of lead, socket or circuit. [A]
        share: 0.8 by the rule for loads of three hours or more in North America, elsewhere our margin.
    """
    return rating_a * share


def continuous_load_fits(*, continuous_a: float, other_a: float, rating_a: float) -> bool:
    """Say whether 1.25 x continuous + other stays within the rating.

    Args:
        continuous_a: Loads of three hours or more: lights, pumps. [A]
        other_a: The rest of the circuit. [A]
        rating_a: Of the circuit. [A]

    Source:
        NEC 210.19(A)(1), 210.20(A).
    """
    return continuous_a * CONTINUOUS_FACTOR + other_a <= rating_a


def inrush_a(*, run_a: float, count: int = 1, times: float) -> float:
    """Give the current of the first instant [A].

    Args:
        run_a: Running current of one. [A]
        count: How many start together.
        times: Multiple: 40 to 100 for LED drivers, 6 for motors.
    """
    return count * run_a * times


def reel_bears(*, load_w: float, wound_w: float) -> bool:
    """Say whether a reel left wound bears the load; it is unwound all the same.

    Args:
        load_w: On it. [W]
        wound_w: Its plate's figure for wound. [W]
    """
    return load_w <= wound_w


def trips_before_freezing(*, trip_ma: float) -> bool:
    """Say whether a trip switch acts below the current at which a hand can't let go.

    Args:
        trip_ma: What it trips at. [mA]

    Source:
        NIOSH 98-131 (1998), as reproduced: 6 to 16 mA.
    """
    return trip_ma < LET_GO_MA


def leakage_budget_ma(*, rating_ma: float) -> float:
    """Give the standing leakage that a trip switch bears without tripping for nothing [mA].

    Args:
        rating_ma: What it trips at. [mA]
    """
    return rating_ma * LEAKAGE_SHARE


def load_sums(rack: Rack, region: Region | None) -> tuple[Sum, ...]:
    """Give the sums for this rack: total load, the smallest link, each timer's gulp."""
    if rack.mains is None or not rack.devices:
        return ()
    return (_total(rack, region), *_timers(rack))


def load_findings(rack: Rack, region: Region | None, *, file: str = "rack.toml") -> tuple[Finding, ...]:
    """Give what can't be or is too much: a strange voltage, a device or a sum too big for the circuit."""
    if rack.mains is None:
        return ()
    findings: list[Finding] = []
    volts, rating_a = rack.mains.volts, _smallest_a(rack)
    if not is_mains(volts=volts):
        usual = _("120 or 230") if region is None else f"{region.volts:g}"
        what = _("{volts:g} volts is no mains voltage").format(volts=volts)
        do = _("Read it on a device's plate; usual where you are: {usual}.").format(usual=usual)
        return (Finding(file=file, key="mains.volts", what=what, do=do, severity="warning"),)
    if region is not None and abs(volts - region.volts) > 0.15 * region.volts:
        what = _("{volts:g} volts is not what {region} has ({usual:g})").format(
            volts=volts, region=region.name, usual=region.volts
        )
        do = _("Look at [mains] and [place]; never use a device made for another voltage.")
        findings.append(Finding(file=file, key="mains.volts", what=what, do=do, severity="warning"))
    for device in rack.devices:
        draws_a = amps_of(device, volts=volts)
        if draws_a > rating_a:
            what = _("{name} draws {amps:.1f} A, more than the {rating:g} A of its supply").format(
                name=device.name, amps=draws_a, rating=rating_a
            )
            do = _("Do not plug it in there; ask a licensed electrician for a circuit of its own.")
            findings.append(
                Finding(file=file, key=f"device.{device.name}", what=what, do=do, severity="warning")
            )
    total = _total(rack, region)
    if total.verdict == "red" and not findings:
        findings.append(
            Finding(
                file=file,
                key="mains.circuit_amps",
                what=_("the rack's load is too much: {shown}").format(shown=total.shown),
                do=total.words,
                severity="warning",
            )
        )
    return tuple(findings)


def _total(rack: Rack, region: Region | None) -> Sum:
    if rack.mains is None:
        raise ValueError("no mains, no sum")
    volts, rating_a = rack.mains.volts, _smallest_a(rack)
    on_lead = [device for device in rack.devices if device.kind not in _OWN_SOCKET]
    total_a = sum(amps_of(device, volts=volts) for device in rack.devices)
    total_w = sum(device.watts * device.count for device in rack.devices)
    share = 0.8 if region is None else min(region.continuous_share, region.margin_share)
    limit_a = share_of_rating_a(rating_a=rating_a, share=share)
    is_rule = region is not None and region.continuous_share < _FULL_SHARE
    verdict = "green" if total_a <= limit_a else "red" if is_rule or total_a > rating_a else "amber"
    parts = " + ".join(_part(device, volts) for device in rack.devices)
    shown = _(
        "{parts} = {watts:g} W, {amps:.2f} A at {volts:g} V; limit {limit:.1f} A, {share:.0f} % of {rating:g}"
    )
    source = _("80 % is our margin (judgement); the region isn't set") if region is None else region.rule
    return Sum(
        what=_("load on the circuit"),
        shown=shown.format(
            parts=parts,
            watts=total_w,
            amps=total_a,
            volts=volts,
            limit=limit_a,
            share=100 * share,
            rating=rating_a,
        ),
        verdict=verdict,
        words=_load_words(verdict, has_big=len(on_lead) < len(rack.devices)),
        source=source,
    )


def _part(device: Device, volts: float) -> str:
    each = f"{device.watts:g} W" if device.amps is None else f"{device.amps * volts:.0f} VA"
    return f"{device.name} {each}" if device.count == 1 else f"{device.count} x {device.name} {each}"


def _load_words(verdict: str, *, has_big: bool) -> str:
    words = {
        "green": _("Fine."),
        "amber": _("Under the rating, over the margin: add nothing more here."),
        "red": _("Too much: unplug something today, and ask an electrician for another circuit."),
    }[verdict]
    if has_big:
        words += " " + _("Heaters and the like go straight into a wall socket of their own.")
    return words


def _timers(rack: Rack) -> Iterable[Sum]:
    volts = 230.0 if rack.mains is None else rack.mains.volts
    for device in rack.devices:
        if device.timer_rating_a is None:
            continue
        total_a = amps_of(device, volts=volts)
        is_motor = device.kind in ("pump", "fan", "air pump")
        low, high = (MOTOR_INRUSH, MOTOR_INRUSH) if is_motor else LED_INRUSH
        fits = total_a <= device.timer_rating_a
        gulp = _("{low:.0f} A") if is_motor else _("{low:.0f} to {high:.0f} A")
        shown = _(
            "{name}: {amps:.2f} A running, {gulp} at the first instant; timer marked {mark:g} A"
        ).format(
            name=device.name,
            amps=total_a,
            gulp=gulp.format(
                low=inrush_a(run_a=total_a, times=low), high=inrush_a(run_a=total_a, times=high)
            ),
            mark=device.timer_rating_a,
        )
        yield Sum(
            what=_("timer of {name}").format(name=device.name),
            shown=shown,
            verdict="green" if fits else "red",
            words=_("The mark must be for LED or motor loads, not for heaters. Stagger tiers by a minute.")
            if fits
            else _("Over the timer's mark: take it out and switch by hand until it is replaced."),
            source=_("lighting and switch makers' notes; a test standard exists (NEMA 410)"),
        )


def _smallest_a(rack: Rack) -> float:
    if rack.mains is None:
        raise ValueError("no mains, no rating")
    lead_a = rack.mains.lead_amps
    return rack.mains.circuit_amps if lead_a is None else min(lead_a, rack.mains.circuit_amps)


def is_mains(*, volts: float) -> bool:
    """Say whether any house has this voltage.

    Args:
        volts: 100 in Japan to 250 with tolerance. [V]

    Source:
        IEC 60038 (memory).
    """
    return 90.0 <= volts <= 130.0 or 200.0 <= volts <= 260.0
