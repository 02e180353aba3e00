"""A dose taken up by somebody who may not go on with it: one page that says whose it is."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.event import Event
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.rack_script import RackScript
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["OthersDoseScript"]


@value_class
class OthersDoseScript(RackScript):
    """A dose that somebody began who may, taken up by somebody who may not: nothing goes on here."""

    began_by: str
    kind: str = "dose"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("DOSE")

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
