"""What the walks on a set-up rack have alike; a walk writes down only where it differs."""

from __future__ import annotations

from tendtui.core.prompt import Question
from tendtui.core.rack import Meter, Rack, Show
from tendtui.core.walk_value import Answers, Entry, Judgement
from tendtui.value import value_class

__all__ = ["RackScript"]


@value_class
class RackScript:
    """The rack's units and meters; no number is judged, none need be read twice, no answer is refused."""

    rack: Rack

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.rack.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.rack.meter

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Judge nothing."""
        del question, value, answers
        return Judgement()

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether a second reading confirms the first: only the same does."""
        del question
        return first == second

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse nothing as a whole: what a question itself refuses doesn't come this far."""
        del question, typed, answers
        return ""
