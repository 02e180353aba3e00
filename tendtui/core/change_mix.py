"""Pouring the fresh mix: each bottle's amount, its name, the pour and the stir, one after the other."""

from __future__ import annotations

from tendtui.core.dose_slot import Slot
from tendtui.core.dose_walk_ask import any_question, tool_for
from tendtui.core.event import Event, Note, Poured
from tendtui.core.fresh_mix import FreshMix
from tendtui.core.measured_amount import rounded_down
from tendtui.core.plan import AddWater, Drain, Pour, Step, Wait
from tendtui.core.plan_words import pour_words
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_amount, unit_words
from tendtui.core.walk_value import Answers, Entry, Judgement
from tendtui.value import replace, value_class
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
    left: frozenset[str] = frozenset()
    """Stations left between the bottle's name and the amount: whether any went in is asked first."""

    @property
    def steps(self) -> tuple[Step, ...]:
        """Give what is planned; nothing without a mix."""
        return () if self.mix is None else self.mix.steps

    @property
    def planned_water_l(self) -> float | None:
        """Give the litres of the refill; None without a mix. [L]."""
        water = [step.litres for step in self.steps if isinstance(step, AddWater)]
        return water[-1] if water else None

    @property
    def rinse_l(self) -> float | None:
        """Give the litres with which pipes full of strong old solution are rinsed first; None: not at all."""
        water = [step.litres for step in self.steps if isinstance(step, AddWater)]
        return water[0] if len(water) > 1 else None

    @property
    def pours(self) -> tuple[Pour, ...]:
        """Give the bottles in pouring order."""
        return tuple(step for step in self.steps if isinstance(step, Pour))

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
        pour = self._pour_of(question.key, "amount")
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
        asked = self._pour_of(question.key, "any")
        if asked is not None and entry.word == "all":
            return (self._poured(asked, entry, answers, amount=self.amount(asked, answers)),)
        if asked is not None and entry.word == "unknown":
            said = _("Nobody knows how much {what} went in.").format(what=asked.what)
            return (Note(id="", seq=0, at=entry.at, by=entry.by, text=said),)
        pour = self._pour_of(question.key, "amount")
        if pour is None or entry.value is None:
            return ()
        return (self._poured(pour, entry, answers, amount=entry.value),)

    def done(self, answers: Answers) -> tuple[Step, ...]:
        """Give the steps as they were really done; as planned where nobody said otherwise.

        The reservoir is emptied and wiped: all that stood in it is gone, whatever the bucket showed.
        """
        made: list[Step] = []
        waters = [answers.value("rinse.litres")] if self.rinse_l is not None else []
        waters.append(answers.value("fill.litres"))
        for step in self.steps:
            match step:
                case AddWater(litres=planned_l):
                    made.append(AddWater(litres=waters.pop(0) or planned_l))
                case Pour():
                    made.append(self._really(step, answers))
                case Drain() | Wait():
                    made.append(step)
                case _:  # pragma: no cover - a change holds no reading
                    continue
        return tuple(made)

    def _really(self, pour: Pour, answers: Answers) -> Pour:
        n = self.pours.index(pour) + 1
        answer = answers.by_key.get(f"pour.{n}.amount")
        if answer is None:
            amount = 0.0 if answers.word(f"pour.{n}.any") == "none" else self.amount(pour, answers)
        else:
            amount = answer.value or 0.0
        return replace(pour, ml=amount) if pour.ml is not None else replace(pour, g=amount)

    def _poured(self, pour: Pour, entry: Entry, answers: Answers, *, amount: float) -> Poured:
        return Poured(
            id="",
            seq=0,
            at=entry.at,
            by=entry.by,
            what=pour.what,
            ml=None if pour.ml is None else amount,
            g=amount if pour.ml is None else None,
            planned=self.amount(pour, answers),
        )

    def _station(self, n: int, pour: Pour, answers: Answers, facts: Facts) -> Station:
        amount = self.amount(pour, answers)
        now = replace(pour, ml=amount) if pour.ml is not None else replace(pour, g=amount)
        questions = [self._name(n, now, facts)]
        if f"pour.{n}" in self.left or answers.done(f"pour.{n}.any"):
            questions.append(any_question(Slot(id=f"pour.{n}", step=now, planned=amount)))
        if answers.word(f"pour.{n}.any") not in ("all", "unknown"):
            questions.append(self._amount(n, now, facts))
        stir = Question(
            key=f"pour.{n}.stir",
            place=_("reservoir"),
            ask=_("Stir it in. Rinse jug or syringe, cap on. Then the next.")
            if n < len(self.pours)
            else _("Stir it in. Rinse jug or syringe, cap on."),
            kind=Kind.PAUSE,
            facts=facts,
            may_skip=False,
            quiet=True,
        )
        return Station(
            id=f"pour.{n}",
            name=_("pour {what}").format(what=pour.what),
            questions=(*questions, stir),
            section="mix",
        )

    def _name(self, n: int, pour: Pour, facts: Facts) -> Question:
        before = _("Bottle {n} of {many}: {amount} of {bottle}.").format(
            n=n, many=len(self.pours), amount=pour_words(pour), bottle=pour.what
        )
        return Question(
            key=f"pour.{n}.name",
            place=_("reservoir, full of water"),
            ask=_("Type the name on the bottle in your hand."),
            kind=Kind.TEXT,
            expects=(pour.what,),
            before=(before,),
            safety=_pour_lines(),
            facts=facts,
            why=_("A wrong bottle is the mistake that costs a crop: reading the label catches it."),
            may_skip=False,
            quiet=True,
        )

    def _amount(self, n: int, pour: Pour, facts: Facts) -> Question:
        quantity = Quantity.POWDER if pour.ml is None else Quantity.LIQUID
        planned = show_amount((pour.g if pour.ml is None else pour.ml) or 0.0)
        ask = _("Pour {amount} of {bottle}. What really went in?")
        return Question(
            key=f"pour.{n}.amount",
            place=_("reservoir, full of water"),
            ask=ask.format(amount=pour_words(pour), bottle=pour.what),
            kind=Kind.NUMBER,
            quantity=quantity,
            unit=unit_words(quantity, self.rack.show),
            safety=_pour_lines(),
            facts=((_("planned"), planned), *facts),
            how=_("With {tool}, slowly, into the water, all round.").format(
                tool=tool_for(pour, self._mark(pour))
            ),
            whole_steps=self._mark(pour),
            unsettled=True,
            quiet=True,
        )

    def _pour_of(self, key: str, asked: str) -> Pour | None:
        parts = key.split(".")
        if len(parts) != 3 or parts[0] != "pour" or parts[2] != asked:
            return None
        return self.pours[int(parts[1]) - 1]

    def _mark(self, pour: Pour) -> float:
        return self.rack.measuring.powder_g if pour.ml is None else self.rack.measuring.liquid_ml


def _pour_lines() -> tuple[str, ...]:
    return (
        _("One bottle open at a time, into the full reservoir, never bottle into bottle."),
        _("The next part only once this one is stirred in: neat parts turn to sludge."),
    )
