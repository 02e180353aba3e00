"""A plan as plain lines: what a person reads without a screen."""

from __future__ import annotations

from tendtui.core.band import Band
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Read, Step, Verdict, Wait
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.show import number_words, quantity_name, show_amount, show_band, show_value
from tendtui.words import _, n_

__all__ = ["expect_words", "plan_words", "pour_words", "readings_words", "step_words", "verdict_words"]


def plan_words(plan: Plan, rack: Rack) -> tuple[str, ...]:
    """Give the whole plan, a line each."""
    lines = [verdict_words(plan), _("Read: {readings}").format(readings=readings_words(plan, rack.show))]
    lines += [f"  {reason}" for reason in plan.reasons]
    if plan.steps:
        lines += ["", _("Steps, in this order:")]
        lines += [f"  {n}. {step_words(step, rack)}" for n, step in enumerate(plan.steps, start=1)]
    expect = expect_words(plan, rack)
    if expect:
        lines += ["", _("Then the meters should show:")]
        lines += [f"  {line}" for line in expect]
    if plan.cautions:
        lines += ["", _("Be careful:")]
        lines += [f"  {line}" for line in plan.cautions]
    if plan.assumed:
        lines += ["", _("Taken for granted:")]
        lines += [f"  {line}" for line in plan.assumed]
    return tuple(lines)


def verdict_words(plan: Plan) -> str:
    """Give the verdict in a sentence."""
    match plan.verdict:
        case Verdict.LEAVE:
            return _("Leave it: nothing is to be poured now.")
        case Verdict.CHANGE:
            return _("Change the solution.")
        case _:
            if plan.steps and all(isinstance(step, Read | Wait) for step in plan.steps):
                return _("Read again before anything is poured.")
            return _("Correct it.")


def readings_words(plan: Plan, show: Show) -> str:
    """Give the readings a plan stands on, with what is missing."""
    rows = (
        (Quantity.LEVEL, plan.readings.level_l),
        (Quantity.CONDUCTIVITY, plan.readings.conductivity_ms_cm),
        (Quantity.PH, plan.readings.ph),
        (Quantity.TEMPERATURE, plan.readings.temperature_c),
    )
    said = []
    for quantity, value in rows:
        if value is None:
            said.append(_("no {what}").format(what=quantity_name(quantity)))
            continue
        shown = show_value(value, quantity, show)
        worked_out = quantity is Quantity.LEVEL and plan.level_worked_out
        said.append(_("{figure} (worked out)").format(figure=shown) if worked_out else shown)
    return ", ".join(said)


def step_words(step: Step, rack: Rack) -> str:
    """Give a step in words and figures."""
    show = rack.show
    match step:
        case AddWater(litres=litres):
            return _("add {amount} of source water").format(amount=show_value(litres, Quantity.VOLUME, show))
        case Drain(litres=litres):
            return _("drain {amount}").format(amount=show_value(litres, Quantity.VOLUME, show))
        case Pour():
            return _("pour {amount} of {what}").format(amount=pour_words(step), what=step.what)
        case Wait(minutes=minutes):
            many = round(minutes)
            said = n_("wait {n} minute, pump running", "wait {n} minutes, pump running", many)
            return said.format(n=many)
        case Read(what=what):
            return _("read again: {what}").format(
                what=", ".join(quantity_name(Quantity(name)) for name in what)
            )


def pour_words(pour: Pour) -> str:
    """Give the amount in figures and in words: `32.5 millilitres (thirty-two and a half)`."""
    amount = pour.ml if pour.ml is not None else pour.g or 0.0
    many = 1 if amount == 1.0 else 2
    unit = n_("millilitre", "millilitres", many) if pour.ml is not None else n_("gram", "grams", many)
    return f"{show_amount(amount)} {unit} ({number_words(amount)})"


def expect_words(plan: Plan, rack: Rack) -> tuple[str, ...]:
    """Give what to expect and between which values, nine times in ten."""
    show, expect, ranges = rack.show, plan.expect, plan.range
    rows = (
        (Quantity.CONDUCTIVITY, "", expect.conductivity_ms_cm, ranges.conductivity_ms_cm, 4),
        (Quantity.PH, "", expect.ph, ranges.ph, 1),
        (Quantity.PH, _(" by tomorrow"), expect.ph_tomorrow, ranges.ph_tomorrow, 1),
    )
    lines = []
    for quantity, when, value, pair, decimals in rows:
        if value is None:
            continue
        line = show_value(round(value, decimals), quantity, show) + when
        if pair is not None:
            band = Band(low=round(pair[0], decimals), high=round(pair[1], decimals))
            line += _(", nine times in ten {band}").format(band=show_band(band, quantity, show))
        lines.append(line)
    return tuple(lines)
