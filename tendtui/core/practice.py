"""The practice round: the daily round on a copy of the rack, with two planted faults and a fair report.

Nothing of it reaches the diary, and nothing is poured.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.looks import TIMED
from tendtui.core.practice_cards import Card, cards_for
from tendtui.core.prompt import Kind, Question, Station, called
from tendtui.core.rack import Meter, Show
from tendtui.core.round import RoundScript
from tendtui.core.walk_value import Answer, Answers, Entry, Finish, Judgement, Walk
from tendtui.value import field, replace, value_class
from tendtui.words import _, n_

__all__ = ["PracticeScript", "practice_script"]


def practice_script(
    inner: RoundScript, *, data: Mapping[str, object], hot_c: float, seed: str, run: int = 0
) -> PracticeScript:
    """Make the practice round.

    Args:
        inner: The round of this rack.
        data: The tables of `practice.toml`.
        hot_c: Water as warm as this is acted on the same day. [°C]
        seed: Who practises: each begins elsewhere.
        run: How often they have practised: the next time both faults are others.
    """
    questions = [question for stop in inner.stops for question in stop.questions]
    number = sum((n + 1) * ord(letter) for n, letter in enumerate(seed))
    return PracticeScript(
        inner=inner,
        cards=cards_for(questions, facts=inner.facts, data=data, hot_c=hot_c, seed=number, run=run),
    )


@value_class
class PracticeScript:
    """What the practice round asks; see `tendtui.core.walk_value.Script`."""

    inner: RoundScript
    cards: Mapping[str, Card] = field(default_factory=dict)
    kind: str = "practice"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("PRACTICE")

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.inner.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.inner.meter

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops of the round, each question with its card, and a page that says what this is."""
        stops = tuple(
            replace(
                stop,
                questions=tuple(
                    self._with_card(question)
                    for question in stop.questions
                    if not question.key.endswith(f".{TIMED}")  # the cards hold no jug
                ),
            )
            for stop in self.inner.stations(answers)
        )
        return (_opening(), *stops)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Judge as the round does."""
        return self.inner.judge(question, value, answers)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Confirm as the round does."""
        return self.inner.near(question, first, second)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse as the round does."""
        return self.inner.refuse(question, typed, answers)

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was found as the round does."""
        return self.inner.found(station, answers)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[()]:
        """Nothing is logged."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave nothing behind but a fair report."""
        del walk, now
        return Finish(said=self.report(answers))

    def report(self, answers: Answers) -> tuple[str, ...]:
        """Say which faults were found, which were missed and why they matter, and what else was misread."""
        planted = [card for card in self.cards.values() if card.fault]
        found = [card for card in planted if self._is_right(card, answers)]
        said = [
            n_(
                "You found {n} of {many} planted faults.",
                "You found {n} of {many} planted faults.",
                len(found),
            ).format(n=len(found), many=len(planted))
        ]
        for card in planted:
            head = _("Found, {place}") if card in found else _("Missed, {place}")
            said.append(f"{head.format(place=self._place(card))}: {_whole(card.see)} {card.fault}")
            if card in found and not self._is_exact(card, answers):
                said.append(self._better(card))
        wrong = [card for card in self.cards.values() if not card.fault and not self._is_right(card, answers)]
        said += [self._wrong(card, answers) for card in wrong]
        right = sum(self._is_exact(card, answers) for card in self.cards.values())
        said.append(_("{right} of {many} answers fit their card.").format(right=right, many=len(self.cards)))
        said.append(
            _("That is a clean round. You can do the real one.")
            if right == len(self.cards)
            else _("Do it again when you like: other faults are planted then.")
        )
        said.append(_("Nothing of this is in the diary, and nothing is to be poured."))
        return tuple(said)

    def _with_card(self, question: Question) -> Question:
        card = self.cards.get(question.key)
        if card is None:
            return question
        # what was seen last time on the real rack has no place here
        return replace(question, before=(card.see, *question.before), after="", same="")

    def _is_right(self, card: Card, answers: Answers) -> bool:
        answer = answers.by_key.get(card.key)
        if answer is None or answer.reason:
            return False
        if card.value is not None:
            return answer.value is not None and abs(answer.value - card.value) <= card.tolerance
        return answer.word == card.word or bool(card.fault and answer.look)

    def _is_exact(self, card: Card, answers: Answers) -> bool:
        """Say whether the answer is the very one of the card, not another that asks for a look too."""
        if card.value is not None:
            return self._is_right(card, answers)
        answer = answers.by_key.get(card.key)
        return answer is not None and not answer.reason and answer.word == card.word

    def _better(self, card: Card) -> str:
        """Name the answer that says it exactly."""
        questions = (q for stop in self.inner.stops for q in stop.questions if q.key == card.key)
        fits = next((c.text for q in questions for c in q.choices if c.word == card.word), card.word)
        return _("You saw that something was wrong; what says it exactly is: {answer}.").format(answer=fits)

    def _wrong(self, card: Card, answers: Answers) -> str:
        answer = answers.by_key.get(card.key, Answer())
        place = self._place(card)
        if answer.reason:
            return _("Left out, {place}. On a real round say why, and it stays open.").format(place=place)
        if card.value is not None:
            return _("Misread, {place}: {see} You typed {typed}.").format(
                place=place, see=_whole(card.see), typed=answer.typed
            )
        return _("False alarm, {place}: {see} All was well there.").format(place=place, see=_whole(card.see))

    def _place(self, card: Card) -> str:
        """Name the question as the rest of the program does: `temperature`, `Creek, roots`."""
        return next(
            (called(q) for stop in self.inner.stops for q in stop.questions if q.key == card.key), card.key
        )


def _whole(card: str) -> str:
    """End a card's words as a sentence, so that others can follow."""
    return card if card.endswith((".", "!", "?", "…")) else f"{card}."


def _opening() -> Station:
    question = Question(
        key="practice.start",
        place=_("Practice"),
        ask=_("Read it, then go on."),
        kind=Kind.PAUSE,
        before=(
            _("This is a copy of your rack. Nothing you type here reaches the diary."),
            _(
                "Each question has a card that says what you would see, hear or read. Answer as if you "
                "stood there."
            ),
            _("Two faults are planted. At the end you read which ones you found."),
        ),
        may_skip=False,
        quiet=True,
    )
    return Station(id="practice", name=_("practice"), questions=(question,), listed=False)
