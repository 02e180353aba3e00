"""Water and feed: what brings the reservoir to its marks and the solution to its strength."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.dose_dilution import swap_l
from tendtui.core.dose_foresee import foresee_cheaply, level_after
from tendtui.core.dose_model import TankModel
from tendtui.core.measured_amount import rounded_down, rounded_up
from tendtui.core.plan import AddWater, Drain, Pour, Step, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Feed
from tendtui.core.root import root_of
from tendtui.core.show import show_band, show_value
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "MIX_MINUTES",
    "MOST_SWAPS",
    "Way",
    "claims_said",
    "feed_pours",
    "room_for",
    "strength_way",
    "wish_over",
]

MIX_MINUTES = 15.0
"""[min] until a small recirculating rack is mixed. Source: growers' guides, 15 to 30 minutes."""

TOP_UP_BELOW = 0.90
"""Share of the full mark under which the reservoir is topped up. Source: common practice, no source."""

FED_BELOW = 0.25
"""Feed goes in with water if it would else stand in this low share of the band. Source: chosen here."""

MOST_SWAPS = 3
"""More swaps than this, or more litres drained than the reservoir holds, cost more water than a change."""


@value_class
class Way:
    """What to do about level and strength, and why."""

    steps: tuple[Step, ...] = ()
    reasons: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    change: bool = False
    """Whether only a change would help."""


def strength_way(
    model: TankModel, *, band: Band, ms_cm: float | None, ph: float | None, kept_l: float = 0.0
) -> Way:
    """Give the steps that bring level and strength right: over full, water, swaps, feed, in this order.

    Args:
        model: The tank, its level known.
        band: The wanted conductivity. [mS/cm]
        ms_cm: As read, at 25 °C; None: not read. [mS/cm]
        ph: As read; None: not read.
        kept_l: Room to leave under the full mark for what is poured after the next reading. [L]
    """
    finder = _Finder(model=model, band=band, ms_cm=ms_cm, ph=ph)
    start, reasons = _over_full(model)
    if ms_cm is None:
        water, why = _top_up(model, start, always=False, pours_l=kept_l)
        return Way(
            steps=(*start, *water),
            reasons=(*reasons, *why),
            left_out=(_("Conductivity was not read: no feed is planned."),),
        )
    steps, why = _top_up(model, start, always=ms_cm > band.high, pours_l=kept_l)
    filled = (*start, *steps)
    at_full = finder.shown(filled)
    said = (
        *reasons,
        *_strength_said(model, band, ms_cm=ms_cm, at_full_ms_cm=at_full if steps else None),
        *why,
    )
    if at_full > band.high:
        over = (*reasons, *_strength_said(model, band, ms_cm=ms_cm, at_full_ms_cm=None))
        full = _still_strong(model, at_full) if steps and ms_cm > band.high else ()
        return _too_strong(finder, filled, (*over, *full), why, at_full_ms_cm=at_full)
    if at_full < band.low or (steps and at_full < band.low + FED_BELOW * (band.high - band.low)):
        return _too_weak(finder, start, filled, said)
    return Way(steps=filled, reasons=said)


@value_class
class _Finder:
    """Finds amounts by trial in the model."""

    model: TankModel
    band: Band
    ms_cm: float | None
    ph: float | None

    def shown(self, steps: tuple[Step, ...]) -> float:
        found = foresee_cheaply(self.model, steps, ph=self.ph, ms_cm=self.ms_cm)
        share = 1.0 if not self.ms_cm else self.model.ms_cm / self.ms_cm
        return (found.conductivity_ms_cm or 0.0) * share

    @property
    def wish_ms_cm(self) -> float:
        return (self.band.low + self.band.high) / 2.0

    def feed(self, before: tuple[Step, ...]) -> tuple[Pour, ...]:
        """Give the feed that brings it from after these steps to the wish."""
        model = self.model
        if model.feed is None:
            return ()
        litres = model.litres - model.level_l + level_after(model.level_l, before)
        short = max(0.0, self.wish_ms_cm - self.shown(before))
        guess = short / model.feed.adds_ms_cm * litres
        labels = root_of(
            lambda amount: self.shown((*before, *exact_pours(model.rack.feeds, amount))) - self.wish_ms_cm,
            low=0.3 * guess,
            high=2.5 * guess + 1e-6,
            near=0.001,
        )
        return feed_pours(model, labels)


def wish_over(band: Band, *, water_ms_cm: float) -> float:
    """Give the strength aimed for: the band's middle, higher over strong water, so that feed has room.

    Args:
        band: The wanted conductivity. [mS/cm]
        water_ms_cm: Of the source water. [mS/cm]
    """
    middle = (band.low + band.high) / 2.0
    return max(middle, (water_ms_cm + band.high) / 2.0) if water_ms_cm > band.low else middle


def exact_pours(feeds: tuple[Feed, ...], labels: float) -> tuple[Pour, ...]:
    """Give each part for so many litres at label strength, not rounded."""
    return tuple(
        Pour(what=feed.name, ml=labels * feed.label_ml_per_l)
        if feed.label_ml_per_l is not None
        else Pour(what=feed.name, g=labels * (feed.label_g_per_l or 0.0))
        for feed in feeds
        if feed.label_ml_per_l or feed.label_g_per_l
    )


def feed_pours(model: TankModel, labels: float) -> tuple[Pour, ...]:
    """Give each part for so many litres at label strength, in whole marks; parts of none left out.

    Where claims about the feed contradict each other, it is what would be right by the strongest of them.
    """
    measuring = model.rack.measuring
    labels /= model.strongest_claim()
    rounded = tuple(
        replace(pour, ml=rounded_down(pour.ml, mark=measuring.liquid_ml))
        if pour.ml is not None
        else replace(pour, g=rounded_down(pour.g or 0.0, mark=measuring.powder_g))
        for pour in exact_pours(model.rack.feeds, labels)
    )
    return tuple(pour for pour in rounded if (pour.ml or 0.0) > 0.0 or (pour.g or 0.0) > 0.0)


def _over_full(model: TankModel) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    reservoir, mark = model.rack.reservoir, model.rack.measuring.water_l
    over_l = model.level_l - reservoir.full_l
    if over_l <= (0.5 * mark if model.tank.level is not None and model.tank.level.carried else 1e-9):
        return (), ()  # no eye sees the millilitres of acid that the level was carried through
    drain_l = rounded_up(over_l, mark=mark)
    if model.level_l - drain_l < reservoir.least_l:
        return (), ()
    return (Drain(litres=drain_l),), (
        _(
            "The reservoir stands {over} over its full mark: when the pump stops the pipes drain back into "
            "it."
        ).format(over=_litres(model, over_l)),
    )


def _top_up(
    model: TankModel, before: tuple[Step, ...], *, always: bool, pours_l: float
) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    reservoir = model.rack.reservoir
    level_l = level_after(model.level_l, before)
    room_l = rounded_down(reservoir.full_l - level_l - pours_l, mark=model.rack.measuring.water_l)
    if room_l <= 0.0 or not (always or level_l < TOP_UP_BELOW * reservoir.full_l):
        return (), ()
    why = []
    if level_l < reservoir.least_l:
        why.append(_("The reservoir stands under its least mark: the pump may draw air. Water first, now."))
    else:
        free_l = reservoir.full_l - level_l
        said = _("Up to the full mark there is room for {room}: water goes in first.")
        if free_l - room_l > 0.5 * model.rack.measuring.water_l:
            said = _(
                "Up to the full mark there is room for {room}; {added} of water go in, the rest is kept."
            )
        why.append(said.format(room=_litres(model, free_l), added=_litres(model, room_l)))
    return (AddWater(litres=room_l),), tuple(why)


def _strength_said(
    model: TankModel, band: Band, *, ms_cm: float, at_full_ms_cm: float | None
) -> tuple[str, ...]:
    show = model.rack.show
    words = {
        "read": show_value(ms_cm, Quantity.CONDUCTIVITY, show),
        "band": show_band(band, Quantity.CONDUCTIVITY, show),
    }
    if ms_cm < band.low:
        said = _("Conductivity {read} is under the wanted {band}.").format(**words)
    elif ms_cm > band.high:
        said = _("Conductivity {read} is over the wanted {band}.").format(**words)
    else:
        said = _("Conductivity {read} is inside the wanted {band}.").format(**words)
    if at_full_ms_cm is None:
        return (said,)
    return (
        said,
        _("With the water that goes in it would be {at_full}.").format(
            at_full=show_value(at_full_ms_cm, Quantity.CONDUCTIVITY, show)
        ),
    )


def _too_weak(
    finder: _Finder, start: tuple[Step, ...], filled: tuple[Step, ...], said: tuple[str, ...]
) -> Way:
    model = finder.model
    if model.feed is None:
        return Way(
            steps=filled,
            reasons=said,
            left_out=(_("It is too weak, and the rack file names no feed that can be dosed."),),
        )
    pours = finder.feed(filled)
    if len(pours) < len(exact_pours(model.rack.feeds, 1.0)):
        return Way(
            steps=filled,
            reasons=said,
            left_out=(
                _("What is missing is less than one mark of the tool for a part of the feed: leave it."),
            ),
        )
    pours_l = sum((pour.ml or 0.0) / 1000.0 for pour in pours)
    water, _why = _top_up(model, start, always=len(filled) > len(start), pours_l=pours_l)
    before = (*start, *water)
    over_l = level_after(model.level_l, (*before, *pours)) - model.rack.reservoir.full_l
    if over_l > 1e-9:
        room = room_for(model, before, over_l=over_l)
        if room is None:
            return Way(
                steps=filled, reasons=said, left_out=(_("Between the marks there is no room for the feed."),)
            )
        before, said = (
            room,
            (*said, _("The reservoir is full: a little is drained so that the feed has room.")),
        )
    pours = finder.feed(before)
    return Way(steps=(*before, *pours), reasons=(*said, *claims_said(model)))


def claims_said(model: TankModel) -> tuple[str, ...]:
    """Give the sentence that says why less feed goes in than the label asks for."""
    if model.strongest_claim() <= 1.0:
        return ()
    return (
        _(
            "What is said of the feed contradicts itself: as much goes in as suits the strongest claim. "
            "The rest follows the next reading."
        ),
    )


def room_for(model: TankModel, before: tuple[Step, ...], *, over_l: float) -> tuple[Step, ...] | None:
    """Give the steps with as much more drained as would run over; None where that goes under the least mark.

    Args:
        model: The tank.
        before: The steps so far.
        over_l: What would stand over the full mark. [L]
    """
    drained_l = sum(step.litres for step in before if isinstance(step, Drain))
    drain_l = round(drained_l + rounded_up(over_l, mark=model.rack.measuring.water_l), 9)
    if model.level_l - drain_l < model.rack.reservoir.least_l:
        return None
    return (Drain(litres=drain_l), *(step for step in before if not isinstance(step, Drain)))


def _still_strong(model: TankModel, at_full_ms_cm: float) -> tuple[str, ...]:
    at_full = show_value(at_full_ms_cm, Quantity.CONDUCTIVITY, model.rack.show)
    return (_("Filled to the full mark with water it would still be {at_full}.").format(at_full=at_full),)


def _too_strong(
    finder: _Finder,
    filled: tuple[Step, ...],
    said: tuple[str, ...],
    why_filled: tuple[str, ...],
    *,
    at_full_ms_cm: float,
) -> Way:
    model, band = finder.model, finder.band
    show = model.rack.show
    water = model.water.conductivity_ms_cm
    if water >= band.high:
        reservoir = model.rack.reservoir
        is_low = model.level_l < TOP_UP_BELOW * reservoir.full_l
        helps = is_low and at_full_ms_cm < (finder.ms_cm or 0.0)
        helps = helps or model.level_l < reservoir.least_l
        return Way(
            steps=filled if helps else (),
            reasons=(
                *said,
                *(why_filled if helps else ()),
                _(
                    "The source water itself reads {water}: no swap with it can bring the strength into "
                    "the band."
                ).format(water=show_value(water, Quantity.CONDUCTIVITY, show)),
            ),
            change=False,
            left_out=(_("Softer water (rain, or filtered) is needed; nothing is drained for now."),),
        )
    wish = wish_over(band, water_ms_cm=water)
    swaps = _swaps(finder, filled, wish_ms_cm=wish, at_full_ms_cm=at_full_ms_cm)
    if swaps is None:
        return Way(
            reasons=(
                *said,
                _("Swapping it down would drain more than a change does: change it instead."),
            ),
            change=True,
        )
    return Way(steps=swaps, reasons=(*said, _("Solution is drained and replaced by source water.")))


def _swaps(
    finder: _Finder, filled: tuple[Step, ...], *, wish_ms_cm: float, at_full_ms_cm: float
) -> tuple[Step, ...] | None:
    """Give drains and refills down to the wish, never under the least mark or over full; None: too many."""
    model = finder.model
    reservoir, mark = model.rack.reservoir, model.rack.measuring.water_l
    water = model.water.conductivity_ms_cm
    steps: list[Step] = [step for step in filled if isinstance(step, Drain)]
    now = finder.shown(tuple(steps))
    for swap in range(MOST_SWAPS + 1):
        level_l = level_after(model.level_l, tuple(steps))
        wanted_l = swap_l(
            tank_l=level_l + model.tank.pipes_l,
            tank_ms_cm=now,
            room_l=reservoir.full_l - level_l,
            water_ms_cm=water,
            wish_ms_cm=wish_ms_cm,
        )
        if wanted_l is None or swap == MOST_SWAPS:
            return None
        most_l = rounded_down(level_l - reservoir.least_l, mark=mark)
        drain_l = min(rounded_up(wanted_l, mark=mark), most_l)
        if steps and any(isinstance(step, AddWater) for step in steps):
            steps.append(Wait(minutes=MIX_MINUTES))
        if drain_l > 0.0:
            steps.append(Drain(litres=drain_l))
        fill_l = rounded_down(reservoir.full_l - level_l + drain_l, mark=mark)
        if fill_l > 0.0:
            steps.append(AddWater(litres=fill_l))
        now = finder.shown(tuple(steps))
        if sum(step.litres for step in steps if isinstance(step, Drain)) >= reservoir.full_l:
            return None
        if now <= finder.band.high and drain_l >= rounded_up(wanted_l, mark=mark) - 1e-9:
            return _joined(steps)
        if drain_l <= 0.0 and fill_l <= 0.0:
            return None
    del at_full_ms_cm
    return None


def _joined(steps: list[Step]) -> tuple[Step, ...]:
    """Put drains that follow each other together."""
    joined: list[Step] = []
    for step in steps:
        last = joined[-1] if joined else None
        if isinstance(step, Drain) and isinstance(last, Drain):
            joined[-1] = Drain(litres=round(last.litres + step.litres, 9))
        else:
            joined.append(step)
    return tuple(joined)


def _litres(model: TankModel, litres: float) -> str:
    return show_value(litres, Quantity.VOLUME, model.rack.show)
