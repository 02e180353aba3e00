"""A dose taken up by somebody who may not go on with it: one page that says whose it is."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.event import Event
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.rack import Meter, Rack, Show
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["OthersDoseScript"]


@value_class
class OthersDoseScript:
    """A dose that somebody began who may, taken up by somebody who may not: nothing goes on here."""

    rack: Rack
    began_by: str
    kind: str = "dose"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("DOSE")

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.rack.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.rack.meter

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the one page that says whose dose it is."""
        del answers
        question = Question(
            key="others.dose",
            place=_("Not yours"),
            ask=_("Pause here and ring the grower."),
            kind=Kind.PAUSE,
            before=(
                _("{who} began this dose and has not finished it.").format(
                    who=self.began_by or _("The grower")
                ),
                *(f"{who}: {number}" for who, number in self.rack.phones.items()),
            ),
            may_skip=False,
            quiet=True,
        )
        return (Station(id="others", name=_("not yours"), questions=(question,), listed=False),)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """There is no number here."""
        del question, value, answers
        return Judgement()

    def near(self, question: Question, first: float, second: float) -> bool:
        """There is no number here."""
        del question
        return first == second

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse to go on."""
        del question, typed, answers
        return _("This dose is for whoever began it, or the grower. Pause here")

    def found(self, station: Station, answers: Answers) -> str:
        """Nothing is found here."""
        del station, answers
        return ""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Nothing happens here."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """It doesn't end here."""
        del walk, answers, now
        return Finish()
