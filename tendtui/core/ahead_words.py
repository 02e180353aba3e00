"""What lies ahead and what was learned, as lines to read."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time

from tendtui.core.figure import figure_name, figures_of
from tendtui.core.forecast import Days, Outlook
from tendtui.core.forecast_change import ChangeAhead
from tendtui.core.forecast_stock import BottleLeft
from tendtui.core.learned import Learning, lessons
from tendtui.core.pattern_view import View
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.salts_left import Unused
from tendtui.core.show import date_words, show_amount, show_number, show_value
from tendtui.words import _, n_

__all__ = ["ahead_lines", "held_lines", "soon_lines", "taught_lines"]

SOON_DAYS = 14.0
"""A bottle that lasts less is marked: time to order (common practice, no source)."""

LEAST_OVER_MG_L = 1.0
"""Less of a nutrient left over isn't said. [mg/L] (chosen here)"""

LEAST_GATHERED_MS_CM = 0.02
"""Less than this a meter hardly shows. [mS/cm] (chosen here)"""


def ahead_lines(
    view: View,
    outlook: Outlook,
    change: ChangeAhead | None,
    *,
    unused: Unused,
    left: Sequence[BottleLeft],
    past: Sequence[tuple[str, date]],
) -> tuple[str, ...]:
    """Say what happens if nobody does anything, when the change is due, what the bottles last.

    Args:
        view: The course, and the bands.
        outlook: Days until something leaves its limit.
        change: When a change is due, and why.
        unused: Salts that nobody eats.
        left: What is left in each bottle.
        past: Buffers and standards past their date.
    """
    show = view.course.rack.show
    parts = (
        (_("IF NOBODY DOES ANYTHING"), _untouched(outlook, show)),
        (_("CHANGE DAY"), _change(change)),
        (_("SALTS THAT NOBODY EATS, since the last change"), _salts(unused, show)),
        (_("BOTTLES"), _bottles(left, view.course.rack)),
        (_("BUFFERS AND STANDARDS"), _past(past, view.course.rack)),
    )
    lines: list[str] = []
    for title, told in parts:
        lines += ["", title, *told] if lines else [title, *told]
    return tuple(lines)


def soon_lines(left: Sequence[BottleLeft], past: Sequence[tuple[str, date]], rack: Rack) -> tuple[str, ...]:
    """Say which bottles end soon and which buffers are past their date, for today's page.

    Args:
        left: What is left in each bottle.
        past: Buffers and standards past their date.
        rack: The rack.
    """
    told = (*_bottles(left, rack), *_past(past, rack))
    return tuple(line for line in told if line.startswith("[!]"))


def taught_lines(rack: Rack, learning: Learning) -> tuple[str, ...]:
    """Say what was learned, what is held by hand, and how to hold, free or forget a figure.

    Args:
        rack: The rack.
        learning: What was learned of it.
    """
    told = lessons(rack, learning) or (
        _("Nothing yet: a few pourings with readings before and after teach it."),
    )
    held = held_lines(learning)
    how = (
        _("Every dose counts on these figures. Nothing of this can be lost: the diary gives it again."),
        "",
        _("BY HAND: the key k on this page, or"),
        _('Keep a figure as it is:  tendtui learned --hold "NAME"'),
        _('Let it learn again:      tendtui learned --free "NAME"'),
        _('Learn it anew from now:  tendtui learned --forget "NAME"'),
        _('A new bottle or meter:   tendtui record "renewed=BOTTLE", or the key r'),
        "",
        _("NAMES"),
        *(f"{name}:  {figure_name(name)}" for name in figures_of(rack)),
    )
    return (*told, *(["", *held] if held else []), "", *how)


def held_lines(learning: Learning) -> tuple[str, ...]:
    """Say what is held by hand, and what was forgotten and when.

    Args:
        learning: What was learned.
    """
    held = [
        _("Held by hand, learns nothing more: {name}").format(name=figure_name(name))
        for name in learning.frozen
    ]
    fresh = [
        _("Forgotten by hand {day}, learned anew since: {name}").format(
            name=figure_name(name), day=date_words(at)
        )
        for name, at in learning.reset.items()
    ]
    return (*held, *fresh)


def _untouched(outlook: Outlook, show: Show) -> tuple[str, ...]:
    told = []
    if outlook.litres_day is not None and outlook.litres_day_range is not None:
        low, high = outlook.litres_day_range
        told.append(
            _("The plants drink about {litres} a day ({low} to {high}).").format(
                litres=show_value(outlook.litres_day, Quantity.VOLUME, show),
                low=show_number(low, Quantity.VOLUME, show),
                high=show_number(high, Quantity.VOLUME, show),
            )
        )
    for days, words in (
        (outlook.least_level, _("The pump draws air {when}.")),
        (outlook.conductivity, _("The strength leaves its band {when}.")),
        (outlook.ph, _("pH leaves its band {when}.")),
    ):
        if days is not None:
            told.append(words.format(when=_in_days(days)))
    return tuple(told) or (_("Too little is known yet: a few rounds with level, conductivity and pH."),)


def _in_days(days: Days) -> str:
    if days.value < 0.5:
        return _("now or today")
    if days.high is not None and round(days.low) == round(days.high):
        return n_("in {n} day", "in {n} days", round(days.value)).format(n=round(days.value))
    about = n_("in about {n} day", "in about {n} days", round(days.value)).format(n=round(days.value))
    if days.high is None:
        return about + " " + _("({low} or more)").format(low=round(days.low))
    return about + " " + _("({low} to {high})").format(low=round(days.low), high=round(days.high))


def _change(change: ChangeAhead | None) -> tuple[str, ...]:
    if change is None:
        return (_("Not known yet."),)
    if change.days.value < 0.5:
        return (_("[!] Due now: {because}.").format(because=change.because.rstrip(".")),)
    is_sure = change.days.high is not None and round(change.days.low) == round(change.days.high)
    words = _("{day}, {when}: {because}.") if is_sure else _("About {day}, {when}: {because}.")
    told = words.format(
        day=date_words(change.on), when=_in_days(change.days), because=change.because.rstrip(".")
    )
    return (told,)


def _salts(unused: Unused, show: Show) -> tuple[str, ...]:
    told = [
        _("{litres} of source water went in; its own salts alone would read {strength}.").format(
            litres=show_value(unused.water_l, Quantity.VOLUME, show),
            strength=show_value(unused.ballast_ms_cm, Quantity.CONDUCTIVITY, show),
        )
    ]
    named = [
        _("{salt} about {mg:.0f} mg/L").format(salt=salt, mg=mg)
        for salt, mg in ((_("sodium"), unused.sodium_mg_l), (_("chloride"), unused.chloride_mg_l))
        if mg is not None
    ]
    if named:
        told.append(_("In the tank now: {salts}.").format(salts=", ".join(named)))
    over = [
        _("{salt} about {mg:.0f} mg/L").format(salt=_nutrient(name), mg=mg)
        for name, mg in unused.surplus_mg_l.items()
        if mg >= LEAST_OVER_MG_L
    ]
    if over:
        told.append(_("Of the feed the plants leave over: {salts}.").format(salts=", ".join(over)))
    if unused.gathered_ms_cm >= LEAST_GATHERED_MS_CM:
        told.append(
            _(
                "All that was left over since the change makes about {strength} of what the meter shows."
            ).format(strength=show_value(unused.gathered_ms_cm, Quantity.CONDUCTIVITY, show))
        )
    if unused.sodium_mg_l is None:
        told.append(_("Sodium and chloride: put sodium_mg_L and chloride_mg_L into [source] of rack.toml."))
    return tuple(told)


def _nutrient(name: str) -> str:
    names = {
        "P": _("phosphorus"),
        "K": _("potassium"),
        "Ca": _("calcium"),
        "Mg": _("magnesium"),
        "S": _("sulfur"),
    }
    return names.get(name, name)


def _bottles(left: Sequence[BottleLeft], rack: Rack) -> tuple[str, ...]:
    dry = {feed.name for feed in rack.feeds if feed.label_g_per_l is not None}
    lines = [_bottle(bottle, "g" if bottle.what in dry else "mL") for bottle in left]
    if any(bottle.left is None for bottle in left):
        lines.append(_("What a bottle held stands in rack.toml, [stock]; without it no days can be told."))
    return tuple(lines) or (_("There are none."),)


def _bottle(bottle: BottleLeft, unit: str) -> str:
    used = _("{what}: {used} {unit} a day lately").format(
        what=bottle.what, used=show_amount(bottle.used_day, decimals=1), unit=unit
    )
    if bottle.left is None:
        return used
    rest = _("{left} {unit} left").format(left=show_amount(bottle.left, decimals=0), unit=unit)
    if bottle.days is None:
        return f"{used}, {rest}"
    days = n_("lasts {n} day", "lasts {n} days", int(bottle.days)).format(n=int(bottle.days))
    mark = "[!] " if bottle.days < SOON_DAYS else ""
    return f"{mark}{used}, {rest}, {days}"


def _past(past: Sequence[tuple[str, date]], rack: Rack) -> tuple[str, ...]:
    if past:
        return tuple(
            _("[!] {what} is past its date, {day} {year}. A buffer too old makes a good meter lie.").format(
                what=what, day=date_words(datetime.combine(day, time(12))), year=day.year
            )
            for what, day in past
        )
    if rack.extra.get("use_by"):
        return (_("None is past its date."),)
    return (_("Their dates can stand in rack.toml, [use_by]; then a late one is named here."),)
