"""An absence as lines to read: the answer, day by day, what to do before, what can't be promised."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time

from tendtui.core.absence import Absence, Alone
from tendtui.core.band import Band
from tendtui.core.cover import Leaving
from tendtui.core.forecast import DayAhead
from tendtui.core.forecast_change import ChangeAhead
from tendtui.core.learned_words import thirst_percent
from tendtui.core.pattern_view import View
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import date_words, show_number, show_value, unit_words, weekday
from tendtui.words import _, n_

__all__ = ["absence_lines"]

_FEW_DAYS = 10
"""Fewer days than this teach a rack's thirst only roughly. (chosen here)"""


def absence_lines(
    absence: Absence,
    view: View,
    *,
    before: Sequence[Leaving] = (),
    change: ChangeAhead | None = None,
    open_signs: Sequence[str] = (),
) -> tuple[str, ...]:
    """Say all of it, plainly.

    Args:
        absence: The days.
        view: What it was made from.
        before: What is always done before leaving, by day.
        change: When the solution is to be changed, and why.
        open_signs: What the readings say is wrong now.
    """
    show = view.course.rack.show
    if not absence.days:
        return (_("Nothing can be said yet: one round with a level is needed first."),)
    parts = (
        ((), _answer(absence, view)),
        ((_("DAY BY DAY, if nobody pours anything"),), _table(absence, view, show)),
        ((_("BEFORE YOU GO"),), _to_do(absence, view, before, change, open_signs)),
        ((_("IF SOMEBODY STANDS IN"),), _stand_in(absence, show)),
        ((_("WHAT CAN'T BE PROMISED"),), _unsure(view)),
    )
    lines: list[str] = []
    for title, told in parts:
        lines += ["", *title, *told] if lines else [*title, *told]
    return tuple(lines)


def _answer(absence: Absence, view: View) -> tuple[str, ...]:
    first, last = absence.days[0].ahead.day, absence.last
    least = show_value(view.course.rack.reservoir.least_l, Quantity.LEVEL, view.course.rack.show)
    count = (last - first).days + 1
    span = _("{first} to {last}, {days}").format(
        first=_date(first), last=_date(last), days=n_("{n} day", "{n} days", count).format(n=count)
    )
    match absence.answer:
        case "yes":
            told = _("Yes, from a full mark: nine times in ten there are more than {least} left at the end.")
        case "perhaps":
            told = _(
                "Perhaps: the water should last, but once in ten times it is under {least} from {early} on. "
                "Have somebody look that day."
            )
        case "no":
            told = _(
                "Not without somebody who tops up: about {dry} it is under {least} and the pump draws air, "
                "perhaps as early as {early}."
            )
    return (
        f"{span}.",
        told.format(least=least, early=_maybe(absence.dry_early), dry=_maybe(absence.dry_on)),
    )


def _table(absence: Absence, view: View, show: Show) -> tuple[str, ...]:
    heads = (_("day"), _("drunk"), _("level"), _("strength"), _("pH"))
    rows = [heads, *(_row(day, view, show) for day in absence.days)]
    wide = [max(len(row[n]) for row in rows) for n in range(len(heads))]
    units = _(
        "Level in {level}, strength in {strength}, as they stand at night; nine times in ten inside these "
        "ranges. ! is where the middle of it leaves its band."
    ).format(level=unit_words(Quantity.LEVEL, show), strength=unit_words(Quantity.CONDUCTIVITY, show))
    drawn = ("  ".join(cell.ljust(wide[n]) for n, cell in enumerate(row)).rstrip() for row in rows)
    end = () if absence.dry_on is None else (_("After that the pump draws air: nothing more is foreseen."),)
    return (*(f" {row}" for row in drawn), *end, units)


def _row(alone: Alone, view: View, show: Show) -> tuple[str, ...]:
    day, least = alone.ahead, view.course.rack.reservoir.least_l
    at = datetime.combine(day.day, time(12))
    whole = show.volume == "L"  # a tenth of a litre would be a claim; a gallon is large
    levels = [round(level) if whole else level for level in (day.level_low_l, day.level_l)]
    return (
        f"{weekday(at)} {at.day}",
        _range(day.litres, day.litres_high, Quantity.VOLUME, show),
        _range(levels[0], levels[1], Quantity.LEVEL, show) + ("!" if day.level_l < least else ""),
        _strength_range(day, view.conductivity, show),
        _ph_range(alone.ph, view.ph, show),
    )


def _strength_range(day: DayAhead, band: Band | None, show: Show) -> str:
    value = day.conductivity_ms_cm
    if value is None:
        return "?"
    high = max(value, day.conductivity_high_ms_cm or 0.0)
    mark = "!" if band is not None and not band.holds(value) else ""
    return _range(value, high, Quantity.CONDUCTIVITY, show) + mark


def _ph_range(ph: tuple[float, float, float] | None, band: Band | None, show: Show) -> str:
    if ph is None:
        return "?"
    value, low, high = ph
    mark = "!" if band is not None and not band.holds(value) else ""
    return _range(round(low, 1), round(high, 1), Quantity.PH, show) + mark


def _range(low: float, high: float, quantity: Quantity, show: Show) -> str:
    one, other = show_number(low, quantity, show), show_number(high, quantity, show)
    return one if one == other else f"{one}-{other}"


def _to_do(
    absence: Absence,
    view: View,
    before: Sequence[Leaving],
    change: ChangeAhead | None,
    open_signs: Sequence[str],
) -> tuple[str, ...]:
    show, last = view.course.rack.show, absence.last
    told = [_("[!] Settle this first: {what}").format(what=what) for what in open_signs]
    if change is not None and change.on.date() <= last:
        told.append(
            _("[!] A change falls due {day} ({because}): make it two or three days before you go.").format(
                day=_date(change.on.date()), because=change.because
            )
        )
    told.append(
        _("On the morning you go, fill to the full mark, {full}. The days above count on it.").format(
            full=show_value(view.course.rack.reservoir.full_l, Quantity.LEVEL, show)
        )
    )
    told += [*_strength_words(absence, view, show), *_ph_words(absence, view, show)]
    for leaving in before:
        late = _(" (late: now)") if leaving.late else ""
        told.append(f"{_date(leaving.day)}{late}: {' '.join(leaving.what)}")
    return tuple(told)


def _strength_words(absence: Absence, view: View, show: Show) -> tuple[str, ...]:
    if absence.strong_on is None or view.conductivity is None:
        return ()
    if absence.leave_ms_cm is not None:
        words = _(
            "Water goes faster than salt: the strength is over its band about {day}. "
            "Leave with {strength} or less at the full mark."
        )
        strength = show_value(absence.leave_ms_cm, Quantity.CONDUCTIVITY, show)
        return (words.format(day=_date(absence.strong_on), strength=strength),)
    words = _(
        "The strength is over its band about {day}, also if you leave at its low end: "
        "only water poured meanwhile keeps it."
    )
    return (words.format(day=_date(absence.strong_on)),)


def _ph_words(absence: Absence, view: View, show: Show) -> tuple[str, ...]:
    if absence.leave_ph is None or view.ph is None:
        return ()
    leave = show_number(round(absence.leave_ph, 1), Quantity.PH, show)
    told = [_("Leave with pH {ph}; the days above count on that too.").format(ph=leave)]
    if absence.ph_out_on is not None:
        told.append(
            _(
                "By its habit pH is out of its band about {day}. Plants bear that for some days; a stand-in "
                "doesn't pour acid or alkali."
            ).format(day=_date(absence.ph_out_on))
        )
    return tuple(told)


def _stand_in(absence: Absence, show: Show) -> tuple[str, ...]:
    bottles = absence.bottles
    most = max((bottle.litres for bottle in bottles.days), default=0.0)
    origin = {
        "forecast": _("by this rack's own thirst, and a third more"),
        "spans": _("by its last two weeks, and a third more"),
        "plants": _("by the number of plants only, and a third more: nobody measured yet"),
    }[bottles.origin]
    return (
        _("Plain water, up to {most} a day and {all} in all, {origin}.").format(
            most=show_value(most, Quantity.VOLUME, show),
            all=show_value(bottles.whole_l, Quantity.VOLUME, show),
            origin=origin,
        ),
        _("Never over the full mark, and never from the feed and acid bottles."),
        _("Feed can be mixed into the day's bottles before you go: tendtui cover asks for it."),
        _("The sheet for them: tendtui sheet --html > sheet.html"),
    )


def _unsure(view: View) -> tuple[str, ...]:
    thirst = view.learning.thirst
    if thirst is None:
        known = _(
            "This rack's own thirst isn't known yet: the litres are what such plants drink elsewhere; it may "
            "be half or double that. A week of levels in the diary mends it."
        )
    else:
        words = n_(
            "Thirst was seen on {n} day here{few}. One degree warmer adds {percent:.0f} %.",
            "Thirst was seen on {n} days here{few}. One degree warmer adds {percent:.0f} %.",
            thirst.count,
        )
        few = _(", which is few") if thirst.count < _FEW_DAYS else ""
        known = words.format(n=thirst.count, few=few, percent=thirst_percent(thirst, view.course.rack.show))
    return (
        known,
        _("The warmth is taken to stay as it was lately. A heat wave is not foreseen here."),
        _("A leak, a power cut, a pump that stops or an outlet that closes: no forecast sees them coming."),
        _("pH and strength wander from day to day; their ranges hold nine times in ten, not always."),
    )


def _date(day: date) -> str:
    return date_words(datetime.combine(day, time(12)))


def _maybe(day: date | None) -> str:
    return "" if day is None else _date(day)
