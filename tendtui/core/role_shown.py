"""The dose as somebody walks it who was shown how: all of it but a change, which is the grower's."""

from __future__ import annotations

from tendtui.core.dose_walk import DoseScript
from tendtui.core.event import Event, Note
from tendtui.core.prompt import Question
from tendtui.core.role import HELD_CHANGE
from tendtui.core.walk_value import Answers, Entry
from tendtui.value import fields, value_class
from tendtui.words import _

__all__ = ["ShownDoseScript", "as_shown"]


@value_class
class ShownDoseScript(DoseScript):
    """A dose in which a change that a new reading asks for is held for the grower."""

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse to go into a change, beside what is refused to everybody."""
        if question.key.endswith("-why.why") and typed.word == "now":
            return _("Changing the water is for the grower. Answer 2, and ring; it is kept for them")
        return DoseScript.refuse(self, question, typed, answers)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log a change as held for the grower, and all else as it is logged for everybody."""
        if question.key.endswith("-why.why") and entry.word == "later":
            held = _("the water is to be changed")
            return (Note(id="", seq=0, at=entry.at, by=entry.by, text=held, about=HELD_CHANGE),)
        return DoseScript.events(self, question, entry, answers)


def as_shown(script: DoseScript) -> ShownDoseScript:
    """Give the dose of somebody who was shown how."""
    return ShownDoseScript(**{f.name: getattr(script, f.name) for f in fields(script)})
