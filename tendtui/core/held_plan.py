"""A plan as somebody reads it who may not dose alone: what is held, what can be done now, what is asked."""

from __future__ import annotations

from tendtui.core.bands import Bands
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Amounts, Plan, Ranges, Read, Step, Verdict, Wait
from tendtui.core.plan_table import plan_json, steps_json
from tendtui.core.plan_words import readings_words, step_words
from tendtui.core.prompt import Choice, Kind, Question
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.ring import ring_grower
from tendtui.core.role import Role, held_steps, role_of, safe_steps
from tendtui.core.show import quantity_name, show_band, show_number, show_value, unit_words
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = [
    "HeldPlan",
    "held_table",
    "held_words",
    "pause_question",
    "stopped_table",
    "told_question",
    "water_question",
]

_PUMP_SHARE = 0.25
"""Share of the way from the least mark to the full one up to which plain water is added to a weak or worn
solution, so that the pump is covered until a grower comes. Common practice, no source."""


@value_class
class HeldPlan:
    """What a newcomer may do of a plan."""

    rack: Rack
    plan: Plan
    bottle_l: float | None = None
    """Water left in the day's own bottle; None: there is none. [L]"""
    bands: Bands | None = None
    """What the rack is kept at; None: only the plan's own reasons are said."""
    leak: bool = False
    """Whether the readings speak of a leak: it is found before anything goes in."""

    @property
    def water_l(self) -> float:
        """Give the water to add: the day's bottle, else what the plan says; never over the mark. [L].

        A solution that is weak already, or is to be changed, or runs out somewhere, gets only what the pump
        needs.
        """
        level, reservoir = self.plan.readings.level_l, self.rack.reservoir
        if level is None:
            return 0.0
        wanted = self.bottle_l
        if wanted is None and self.is_spared:
            wanted = reservoir.least_l + _PUMP_SHARE * (reservoir.full_l - reservoir.least_l) - level
        elif wanted is None:
            wanted = sum(s.litres for s in safe_steps(self.plan, Role.NEWCOMER) if isinstance(s, AddWater))
        room_l = reservoir.full_l - level
        return rounded_down(max(0.0, min(wanted, room_l)), mark=self.rack.measuring.water_l)

    @property
    def is_spared(self) -> bool:
        """Whether plain water would do no good: it is weak already, about to be thrown away, or runs out."""
        read = self.plan.readings.conductivity_ms_cm
        weak = read is not None and self.bands is not None and read < self.bands.conductivity.band.low
        return self.plan.verdict is Verdict.CHANGE or weak or self.leak

    @property
    def held(self) -> str:
        """What waits for the grower, in words; empty: nothing does."""
        if self.plan.verdict is Verdict.CHANGE:
            return _("the water is to be changed")
        return "; ".join(step_words(step, self.rack) for step in self.held_steps)

    @property
    def held_steps(self) -> tuple[Step, ...]:
        """Give what is poured, drained or added by the grower; of a change all of it."""
        held = held_steps(self.plan, Role.NEWCOMER)
        if self.plan.verdict is Verdict.CHANGE:
            return self.plan.steps
        return tuple(
            step
            for step in self.plan.steps
            if step in held or (self.is_spared and isinstance(step, AddWater))
        )

    @property
    def reads_only(self) -> bool:
        """Whether the water has to be read before anything else is said."""
        return bool(self.plan.steps) and all(isinstance(step, Read | Wait) for step in self.plan.steps)

    @property
    def why(self) -> tuple[str, ...]:
        """What is off, what is held, and what can be done now; never how the grower will do it."""
        held, water_l = self.held, self.water_l
        lines = [*self.leak_lines, *self.off]
        if held:
            lines += [
                _("That is for the grower: {what}.").format(what=held),
                _("It is kept for the grower, who sees it first thing. Leave those bottles shut."),
            ]
        else:
            lines.append(self.nothing_held)
        if water_l > 0.0 and self.is_spared and self.bottle_l is None:
            lines.append(_("What you can do now: a little plain water, so that the pump stays covered."))
        elif water_l > 0.0 and self.bottle_l is None:
            lines.append(_("What you can do now: plain water, up to the full mark."))
        elif water_l > 0.0:
            lines.append(_("What you can do now: today's bottle, up to the full mark."))
        else:
            lines += self.no_water
        return tuple(lines)

    @property
    def nothing_held(self) -> str:
        """Say that none of the grower's bottles is wanted."""
        if self.bottle_l is None:
            return _("Nothing is to be poured from a bottle today.")
        return _("No feed and no acid is wanted today.")

    @property
    def no_water(self) -> tuple[str, ...]:
        """Say why no water is to go in, where somebody might think so."""
        if self.bottle_l == 0.0:
            return (_("Today's bottle is poured already; the next one waits for its own day."),)
        if self.leak:
            return (_("Add no water before the leak is found."),)
        if self.held and self.is_spared:
            return (_("Add no water either: it would make the feed weaker, or be thrown away."),)
        return ()

    @property
    def leak_lines(self) -> tuple[str, ...]:
        """Say what comes before everything where the readings speak of a leak."""
        if not self.leak:
            return ()
        first = _("[!] The readings speak of a leak. First the floor, by the drill Water on the floor.")
        return first, ring_grower(self.rack)

    @property
    def place(self) -> str:
        """Give the heading: whom it is for, where something is held; this one pours nothing else."""
        if not self.held:
            return _("Today's water")
        growers = [who for who in self.rack.people if role_of(self.rack, who) is Role.GROWER]
        return _("For {who}").format(who=growers[0]) if len(growers) == 1 else _("For the grower")

    @property
    def off(self) -> tuple[str, ...]:
        """What is not as it should be, in words."""
        if self.bands is None or self.plan.verdict is not Verdict.CORRECT:
            return self.plan.reasons
        rows = (
            (Quantity.CONDUCTIVITY, self.plan.readings.conductivity_ms_cm, self.bands.conductivity.band),
            (Quantity.PH, self.plan.readings.ph, self.bands.ph.band),
        )
        show = self.rack.show
        return tuple(
            _("The {what} was read as {read}; wanted is {band}.").format(
                what=quantity_name(quantity),
                read=show_number(value, quantity, show)
                if quantity is Quantity.PH
                else show_value(value, quantity, show),
                band=show_band(band, quantity, show),
            )
            for quantity, value, band in rows
            if value is not None and not band.holds(value)
        )


def held_words(told: HeldPlan) -> tuple[str, ...]:
    """Give the whole of it as plain lines, for a call that keeps nothing."""
    rack, held = told.rack, told.held
    lines = [_("Read: {readings}").format(readings=readings_words(told.plan, rack.show))]
    lines += [*told.leak_lines, *told.off]
    if told.reads_only:
        lines += ["", _("Meters first; every bottle stays shut. Steps, in this order:")]
        lines += [f"  {n}. {step_words(step, rack)}" for n, step in enumerate(told.plan.steps, start=1)]
        return tuple(lines)
    if held:
        lines += ["", _("That is for the grower: {what}.").format(what=held)]
        lines.append(_("Leave those bottles shut, and ring the grower."))
        lines += [f"  {who}: {number}" for who, number in rack.phones.items()]
    else:
        lines.append(told.nothing_held)
    if told.water_l > 0.0:
        slowly = _("Slowly, five litres at a time. Stop at the full mark, also if some is left.")
        lines += ["", _("What you can do now:"), f"  {water_words(told)} {slowly}"]
    else:
        lines += told.no_water
    lines += [
        "",
        _("This call keeps nothing. The round does, and holds the rest for the grower: tendtui round"),
    ]
    return tuple(lines)


def held_table(told: HeldPlan) -> dict[str, object]:
    """Give the table that `dose --json --by` prints: what may be done in `steps`, the rest in `held`.

    Nothing is promised of readings after a part of a plan.
    """
    plan = told.plan
    steps = plan.steps if told.reads_only else (AddWater(litres=told.water_l),) if told.water_l else ()
    whole = not told.held_steps and steps == plan.steps
    part = plan if whole else replace(plan, expect=Amounts(), range=Ranges())
    return {
        **plan_json(replace(part, steps=steps)),
        "held": steps_json(() if told.reads_only else told.held_steps),
    }


def stopped_table(plan: Plan, stop: str) -> dict[str, object]:
    """Give the table that `dose --json` prints while a stop finding stands: no step, all of it in `held`.

    Args:
        plan: What would be poured.
        stop: What bars it, in a sentence; it stands under `stop`, and first among the reasons.
    """
    part = replace(plan, steps=(), reasons=(stop, *plan.reasons), expect=Amounts(), range=Ranges())
    return {**plan_json(part), "held": steps_json(plan.steps), "stop": stop}


def water_words(told: HeldPlan) -> str:
    """Say what water may go in."""
    ask = (
        _("Add {amount} of plain water.")
        if told.bottle_l is None
        else _("Pour today's bottle, about {amount}.")
    )
    return ask.format(amount=show_value(told.water_l, Quantity.VOLUME, told.rack.show))


def pause_question(key: str, lines: tuple[str, ...], *, place: str, ask: str = "") -> Question:
    """Give a page to read before anything is done.

    Args:
        key: Of the question.
        lines: What is to be read.
        place: The heading.
        ask: What the page asks for; empty: that it be read.
    """
    return Question(
        key=key,
        place=place,
        ask=ask or _("Read it, then go on."),
        kind=Kind.PAUSE,
        before=lines,
        may_skip=False,
        quiet=True,
    )


def water_question(key: str, told: HeldPlan) -> Question:
    """Ask what plain water really went in."""
    show = told.rack.show
    ask = (
        _("Add {amount} of plain water. How much really went in?")
        if told.bottle_l is None
        else _("Pour today's bottle, about {amount}. How much really went in?")
    )
    return Question(
        key=key,
        place=_("Water"),
        ask=ask.format(amount=show_value(told.water_l, Quantity.VOLUME, show)),
        kind=Kind.NUMBER,
        quantity=Quantity.VOLUME,
        unit=unit_words(Quantity.VOLUME, show),
        where=_("the reservoir, where the water comes back in"),
        how=_("Slowly, five litres at a time. Stop at the full mark, also if some is left."),
        why=_("Plants drink plain water; the pump needs water over its mouth."),
        good=_("The level stands at or just under the full mark, pump running."),
        safety=(_("Keep plugs and leads dry; no hose is left running alone."),),
        whole_steps=told.rack.measuring.water_l,
        quiet=True,
    )


def told_question(key: str, told: HeldPlan) -> Question:
    """Ask whether the grower knows."""
    numbers = tuple(f"{who}: {number}" for who, number in told.rack.phones.items())
    return Question(
        key=key,
        place=_("Tell the grower"),
        ask=_("Have you told the grower?"),
        kind=Kind.CHOICE,
        before=(*_to_say(told), *numbers),
        choices=(
            Choice(digit="1", word="rang", text=_("yes, we spoke")),
            Choice(digit="2", word="wrote", text=_("I wrote a message")),
            Choice(digit="3", word="not-reached", text=_("could not reach anybody"), look=True),
        ),
        may_skip=False,
    )


def _to_say(told: HeldPlan) -> tuple[str, ...]:
    """Give what the grower needs to hear to decide: the readings, and what the program reckons."""
    read = _("Tell what you read: {readings}.").format(readings=readings_words(told.plan, told.rack.show))
    leak = (_("The readings speak of a leak."),) if told.leak else ()
    return (*leak, read, _("The program reckons: {what}. Ask what is to be done.").format(what=told.held))
