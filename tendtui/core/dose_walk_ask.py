"""The questions of a dose walk, with everything that stands beside them."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.band import Band
from tendtui.core.dose_slot import Slot, mark_of, read_key
from tendtui.core.dose_walk_cycle import Cycle
from tendtui.core.plan import AddWater, Drain, Plan, Pour, Read, Verdict, Wait
from tendtui.core.plan_words import expect_words, pour_words, readings_words, step_words, verdict_words
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import (
    clock,
    number_words,
    quantity_name,
    show_amount,
    show_band,
    show_value,
    unit_words,
)
from tendtui.core.walk_value import Answers
from tendtui.words import _

__all__ = [
    "any_question",
    "asked_later",
    "cut_short",
    "pour_safety",
    "pour_station",
    "read_station",
    "tool_for",
    "wait_station",
    "why_station",
]


def why_station(cycle: Cycle, rack: Rack, besides: tuple[str, ...]) -> Station:
    """Give the pause before a plan: verdict, readings, steps, what to expect, who poured today.

    Where something is to be poured, that comes first, and the reasons after it; what was assumed follows
    on `?`. Where nothing is, the reasons are what one reads.
    """
    plan, number = cycle.plan, cycle.number
    lines = [verdict_words(plan), _("Read: {readings}").format(readings=readings_words(plan, rack.show))]
    moves = any(isinstance(step, AddWater | Drain | Pour) for step in plan.steps)
    pours = moves and plan.verdict is Verdict.CORRECT
    lines += () if pours else plan.reasons
    if plan.steps and plan.verdict is Verdict.CORRECT:
        lines.append(
            _("Steps: {steps}.").format(steps="; ".join(step_words(step, rack) for step in plan.steps))
        )
    expect = expect_words(plan, rack)
    if expect:
        lines.append(_("Then the meters should show {expect}.").format(expect="; ".join(expect)))
    if pours:
        lines.append(_("Why: {reasons}").format(reasons=" ".join(plan.reasons)))
    lines += besides
    key = f"{number}-why.why"
    if plan.verdict is Verdict.CHANGE:
        return Station(
            id=f"{number}-why",
            name=_("change"),
            questions=(_change_question(key, lines, plan.cautions),),
            listed=False,
        )
    question = Question(
        key=key,
        place=_("Before you pour") if pours else _("Read again") if plan.steps else _("Done"),
        ask=_("Read it, then go on.")
        if pours or not plan.steps
        else asked_later(waits=not isinstance(plan.steps[0], Read)),
        kind=Kind.PAUSE,
        before=tuple(lines),
        safety=plan.cautions,
        why="\n".join(plan.assumed),
        may_skip=False,
        quiet=True,
    )
    return Station(id=f"{number}-why", name=_("why"), questions=(question,), listed=False)


def asked_later(*, waits: bool) -> str:
    """Say where the number is asked: under the heading "Read again" a pause would pass for its field.

    Args:
        waits: Whether what was poured has to mix first.
    """
    if waits:
        return _("Type nothing yet: the number is asked after the wait.")
    return _("Type nothing yet: the number is asked on the next page.")


def _change_question(key: str, lines: list[str], cautions: tuple[str, ...]) -> Question:
    return Question(
        key=key,
        place=_("Before you pour"),
        ask=_("Change it now?"),
        kind=Kind.CHOICE,
        before=tuple(lines),
        safety=cautions,
        choices=(
            Choice(digit="1", word="now", text=_("now: go through the change step by step")),
            Choice(
                digit="2",
                word="later",
                text=_("later: today's page says who put it off; go on with the rest"),
            ),
        ),
        may_skip=False,
        quiet=True,
    )


def pour_station(
    slot: Slot, cycle: Cycle, rack: Rack, *, shape: tuple[bool, bool], safety: tuple[str, ...]
) -> Station:
    """Give the stop of one pouring.

    Args:
        slot: The step.
        cycle: Its plan.
        rack: The tools and units.
        shape: Whether it is asked if any went in, and how much.
        safety: Lines that stand over a bottle.
    """
    match slot.step:
        case AddWater():
            return Station(
                id=slot.id, name=_("water"), questions=(_water(slot, cycle, rack),), section=_section(cycle)
            )
        case Drain():
            return Station(
                id=slot.id, name=_("drain"), questions=(_drain(slot, cycle, rack),), section=_section(cycle)
            )
        case Pour():
            asks_any, asks_amount = shape
            questions = [_label(slot, cycle, rack, safety)]
            if asks_any:
                questions.append(any_question(slot))
            if asks_amount:
                questions.append(_amount(slot, cycle, rack, safety))
            return Station(
                id=slot.id,
                name=_("pour {what}").format(what=slot.step.what),
                questions=tuple(questions),
                section=_section(cycle),
            )
        case _:
            raise ValueError("nothing is poured in this step")


def wait_station(slot: Slot, cycle: Cycle, *, until: datetime) -> Station:
    """Give the wait, as a clock time."""
    time = clock(until)
    question = Question(
        key=f"{slot.id}.wait",
        place=_("Wait"),
        ask=_("Pump running, lid on. Read again at {time}; press Enter then.").format(time=time),
        kind=Kind.PAUSE,
        before=(_("You can leave this page: the time stays on today's page."),),
        until=until,
        quiet=True,
    )
    return Station(
        id=slot.id,
        name=_("wait until {time}").format(time=time),
        questions=(question,),
        section=_section(cycle),
    )


def read_station(slot: Slot, cycle: Cycle, rack: Rack, *, early: str, scale: float) -> Station:
    """Give the readings after mixing, one question each.

    Args:
        slot: The step.
        cycle: Its plan.
        rack: The meters and units.
        early: Said where the wait was cut short.
        scale: Conductivity at 25 °C over what the meter shows; 1 where it compensates.
    """
    what = slot.step.what if isinstance(slot.step, Read) else ()
    plan = cycle.plan if cycle.foreseen is None else cycle.foreseen
    questions = tuple(_reading(slot, plan, rack, Quantity(name), early, scale) for name in what)
    return Station(id=slot.id, name=_("read again"), questions=questions, section=_section(cycle))


def any_question(slot: Slot) -> Question:
    """Ask, after an interruption between the label and the amount, whether any went in."""
    what = slot.step.what if isinstance(slot.step, Pour) else ""
    return Question(
        key=slot.any_key,
        place=what,
        ask=_("This was left between pouring and writing it down. Did any of {what} go in?").format(
            what=what
        ),
        kind=Kind.CHOICE,
        choices=(
            Choice(digit="1", word="none", text=_("none")),
            Choice(digit="2", word="all", text=_("all of it")),
            Choice(digit="3", word="part", text=_("a part: you will be asked how much")),
            Choice(
                digit="4",
                word="unknown",
                text=_("don't know: the tank is read again before anything more"),
                look=True,
            ),
        ),
        may_skip=False,
        unsettled=True,
        quiet=True,
    )


def tool_for(pour: Pour, mark: float) -> str:
    """Name the tool by the smallest step that the rack file says can be measured."""
    if pour.ml is None:
        return _("a scale that shows {mark} grams").format(mark=show_amount(mark))
    return _("your measure with marks of {mark} mL").format(mark=show_amount(mark))


def _section(cycle: Cycle) -> str:
    return f"plan-{cycle.number}"


def _reminder(cycle: Cycle, rack: Rack) -> tuple[str, ...]:
    plan, lines = cycle.plan, [_("Read: {readings}").format(readings=readings_words(cycle.plan, rack.show))]
    if cycle.is_off:
        lines.append(_("Other amounts went in than planned: what to expect is reckoned anew from them."))
        if cycle.foreseen is None:
            return tuple(lines)
        plan = cycle.foreseen
    expect = expect_words(plan, rack)[:2]
    level_l = plan.expect.level_l if cycle.is_off else None
    if expect and level_l is not None:  # the level read is no longer the one that counts
        expect = (show_value(round(level_l, 1), Quantity.LEVEL, rack.show), *expect)
    if expect:
        lines.append(_("After all steps {expect}.").format(expect="; ".join(expect)))
    return tuple(lines)


def _water(slot: Slot, cycle: Cycle, rack: Rack) -> Question:
    amount = show_value(slot.planned or 0.0, Quantity.VOLUME, rack.show)
    return Question(
        key=slot.amount_key,
        place=_("Water"),
        ask=_("Add {amount} of source water. How much really went in?").format(amount=amount),
        kind=Kind.NUMBER,
        quantity=Quantity.VOLUME,
        unit=unit_words(Quantity.VOLUME, rack.show),
        before=_reminder(cycle, rack),
        how=_("With a marked can or a hose that you stay beside; never over the full mark."),
        why=_("Water goes in before feed, so that the feed is never too strong on its way."),
        good=_("The level stands at or just under the full mark, pump running."),
        safety=(_("Keep plugs and leads dry; no hose is left running alone."),),
        whole_steps=rack.measuring.water_l,
        quiet=True,
    )


def _drain(slot: Slot, cycle: Cycle, rack: Rack) -> Question:
    amount = show_value(slot.planned or 0.0, Quantity.VOLUME, rack.show)
    return Question(
        key=slot.amount_key,
        place=_("Drain"),
        ask=_("Drain {amount} of solution. How much really came out?").format(amount=amount),
        kind=Kind.NUMBER,
        quantity=Quantity.VOLUME,
        unit=unit_words(Quantity.VOLUME, rack.show),
        before=_reminder(cycle, rack),
        how=_("By hose or jug into a marked bucket, pump running; never under the least mark."),
        why=_("What goes out makes room for what comes next; no level goes over the full mark."),
        good=_("The level stays over the least mark and the pump makes no gurgling noise."),
        safety=(_("Lift no full bucket. Keep plugs and leads dry."),),
        whole_steps=rack.measuring.water_l,
        quiet=True,
    )


def _label(slot: Slot, cycle: Cycle, rack: Rack, safety: tuple[str, ...]) -> Question:
    step = slot.step
    what = step.what if isinstance(step, Pour) else ""
    return Question(
        key=slot.label_key,
        place=what,
        ask=_("Next is {what}. Type the name from the label of the bottle in your hand.").format(what=what),
        kind=Kind.TEXT,
        expects=(what,),
        before=_reminder(cycle, rack),
        safety=safety,
        how=_("Take this bottle only; the others stay closed."),
        why=_("A wrong bottle is the mistake that costs a crop: reading the label catches it."),
        good=_("The name on the label and the name here are the same."),
        quiet=True,
    )


def _amount(slot: Slot, cycle: Cycle, rack: Rack, safety: tuple[str, ...]) -> Question:
    step = slot.step
    if not isinstance(step, Pour):
        raise TypeError("only bottles have amounts to pour")
    mark = mark_of(rack, step)
    liquid = step.ml is not None
    quantity = Quantity.LIQUID if liquid else Quantity.POWDER
    return Question(
        key=slot.amount_key,
        place=step.what,
        ask=_("Pour {amount} of {what}. How much really went in?").format(
            amount=pour_words(step), what=step.what
        ),
        kind=Kind.NUMBER,
        quantity=quantity,
        unit=unit_words(quantity, rack.show),
        before=_reminder(cycle, rack),
        safety=safety,
        how=_("With {tool}, slowly, where the water falls back, pump running.").format(
            tool=tool_for(step, mark)
        ),
        why=_("What is typed here is what the next plan starts from, also if it isn't {amount}.").format(
            amount=number_words(slot.planned or 0.0)
        ),
        good=_("The bottle is closed again before the next one is touched. 0 means nothing went in."),
        whole_steps=mark,
        unsettled=True,
        quiet=True,
    )


def _reading(slot: Slot, plan: Plan, rack: Rack, quantity: Quantity, early: str, scale: float) -> Question:
    pair = {Quantity.CONDUCTIVITY: plan.range.conductivity_ms_cm, Quantity.PH: plan.range.ph}.get(quantity)
    facts: tuple[tuple[str, str], ...] = ()
    if pair is not None:
        share, decimals = (scale, 2) if quantity is Quantity.CONDUCTIVITY else (1.0, 1)
        band = Band(low=round(pair[0] / share, decimals), high=round(pair[1] / share, decimals))
        facts = ((_("expected"), show_band(band, quantity, rack.show)),)
    return Question(
        key=read_key(slot, quantity.value),
        place=_("Read again"),
        ask=_("What is the {what} now?").format(what=quantity_name(quantity)),
        kind=Kind.NUMBER,
        quantity=quantity,
        unit=unit_words(quantity, rack.show),
        facts=facts,
        before=(early,) if early else (),
        how=_("Stir, probe two centimetres deep, wait until it stands still."),
        why=_("The next portion is reckoned from this number."),
        good=_("It stands still, and lies near what was expected."),
        quiet=True,
    )


def cut_short(answers: Answers, cycle: Cycle) -> str:
    """Say that a wait was cut short, and what that means."""
    waits = (answers.by_key.get(f"{slot.id}.wait") for slot in cycle.slots if isinstance(slot.step, Wait))
    left = next((answer for answer in waits if answer is not None and answer.reason), None)
    if left is None or left.at is None or cycle.mixed_at is None or left.at >= cycle.mixed_at:
        return ""
    return _(
        "[!] It is mixed by {until}. What is read before that is kept, but nothing is poured on it."
    ).format(until=clock(cycle.mixed_at))


def pour_safety(slot: Slot, cycle: Cycle) -> tuple[str, ...]:
    """Give the cautions of a pouring."""
    if not isinstance(slot.step, Pour):
        return ()
    what = slot.step.what
    kept = tuple(line for line in cycle.plan.cautions if line.startswith((f"{what} ", f"{what}:")))
    return (
        _("Gloves and glasses on. One bottle open at a time."),
        _("Into the reservoir only, never bottle into bottle. Cap on before you touch the next one."),
        *kept,
    )
