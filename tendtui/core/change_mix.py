"""Pouring the fresh mix: each part by its bottle's name, the amount scaled to the water really filled in."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.event import Event, Poured
from tendtui.core.fresh_mix import FreshMix
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Pour
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack, Show
from tendtui.core.show import number_words, show_amount, show_value, unit_words
from tendtui.core.walk_value import Answers, Entry, Judgement
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["MixQuestions"]

Facts = tuple[tuple[str, str], ...]
_OFF_SHARE = 0.10
"""How far a poured amount may stand from the plan before it is keyed again, if over one mark as well."""


@value_class
class MixQuestions:
    """Makes the pouring stations of a mix and takes their answers."""

    rack: Rack
    mix: FreshMix | None

    @property
    def planned_water_l(self) -> float | None:
        """Give the litres of water that the mix begins with; None without a mix. [L]."""
        steps = () if self.mix is None else self.mix.steps
        water = [step.litres for step in steps if isinstance(step, AddWater)]
        return sum(water) if water else None

    @property
    def pours(self) -> tuple[Pour, ...]:
        """Give the bottles in pouring order."""
        steps = () if self.mix is None else self.mix.steps
        return tuple(step for step in steps if isinstance(step, Pour))

    def amount(self, pour: Pour, answers: Answers) -> float:
        """Give the amount for the water really filled in, on the measuring tool's marks."""
        planned_l, filled_l = self.planned_water_l, answers.value("fill.litres")
        share = filled_l / planned_l if planned_l and filled_l else 1.0
        whole = pour.g if pour.ml is None else pour.ml
        return rounded_down((whole or 0.0) * share, mark=self._mark(pour))

    def stations(self, answers: Answers, facts: Facts) -> tuple[Station, ...]:
        """Give one station for each bottle."""
        return tuple(self._station(n, pour, answers, facts) for n, pour in enumerate(self.pours, start=1))

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Want an amount keyed once more that is far from the plan."""
        pour = self._pour_of(question.key)
        if pour is None:
            return Judgement()
        planned, mark = self.amount(pour, answers), self._mark(pour)
        if abs(value - planned) <= max(mark, _OFF_SHARE * planned) + 1e-9:
            return Judgement()
        again = _("The plan says {planned}, you typed {value}. Key once more what really went in.")
        return Judgement(
            again=again.format(planned=show_amount(planned), value=show_amount(value)), look=True
        )

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log what was poured."""
        pour = self._pour_of(question.key)
        if pour is None or entry.value is None:
            return ()
        poured = Poured(
            id="",
            seq=0,
            at=entry.at,
            by=entry.by,
            what=pour.what,
            ml=None if pour.ml is None else entry.value,
            g=entry.value if pour.ml is None else None,
            planned=self.amount(pour, answers),
        )
        return (poured,)

    def expected(self, show: Show) -> Mapping[Quantity, Facts]:
        """Give what the meters should show once mixed."""
        if self.mix is None or not self.mix.stages:
            return {}
        last = self.mix.stages[-1].expect
        values = {
            Quantity.LEVEL: last.level_l,
            Quantity.CONDUCTIVITY: last.conductivity_ms_cm,
            Quantity.PH: last.ph,
        }
        return {
            quantity: ((_("expected"), _("about {value}").format(value=show_value(value, quantity, show))),)
            for quantity, value in values.items()
            if value is not None
        }

    def _station(self, n: int, pour: Pour, answers: Answers, facts: Facts) -> Station:
        amount, quantity = self.amount(pour, answers), Quantity.POWDER if pour.ml is None else Quantity.LIQUID
        unit = unit_words(quantity, self.rack.show)
        place = _("reservoir, stirred")
        name = Question(
            key=f"pour.{n}.name",
            place=place,
            ask=_("Type the name on the bottle in your hand."),
            kind=Kind.TEXT,
            expects=(pour.what,),
            before=(_("Next: {bottle}").format(bottle=pour.what),),
            safety=_pour_lines(),
            facts=facts,
            may_skip=False,
            quiet=True,
        )
        ask = _("Pour {n} {unit} ({words}) of {bottle}. What really went in?").format(
            n=show_amount(amount), unit=unit, words=number_words(amount), bottle=pour.what
        )
        poured = Question(
            key=f"pour.{n}.amount",
            place=place,
            ask=ask,
            kind=Kind.NUMBER,
            quantity=quantity,
            unit=unit,
            safety=_pour_lines(),
            facts=((_("planned"), show_amount(amount)), *facts),
            whole_steps=self._mark(pour),
            quiet=True,
        )
        return Station(id=f"pour.{n}", name=pour.what, questions=(name, poured), section="mix")

    def _pour_of(self, key: str) -> Pour | None:
        parts = key.split(".")
        if len(parts) != 3 or parts[0] != "pour" or parts[2] != "amount":
            return None
        return self.pours[int(parts[1]) - 1]

    def _mark(self, pour: Pour) -> float:
        return self.rack.measuring.powder_g if pour.ml is None else self.rack.measuring.liquid_ml


def _pour_lines() -> tuple[str, ...]:
    return (
        _("One bottle open at a time, into the full reservoir, never bottle into bottle."),
        _("Stir, rinse the jug or syringe, cap on, before the next."),
    )
