"""Saying that something happened: a power cut, a leak, a new device; the tasks that follow are then due."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from tendtui.core.event import Event, Note
from tendtui.core.finding_follow import stop_said
from tendtui.core.happening import GROUPS, SAID, happening_words
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.rack import Rack
from tendtui.core.rack_script import RackScript
from tendtui.core.ring import ring_grower
from tendtui.core.task import Task
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import field, value_class
from tendtui.words import _

__all__ = ["HappenedScript", "happened_script"]

_GROUP, _WHAT, _MORE = "happened.group", "happened.what", "happened.more"


@value_class
class HappenedScript(RackScript):
    """The walk that logs one happening."""

    tasks: tuple[Task, ...]
    """Tasks that speak, to name those that follow."""
    about: str = ""
    """What happened, where a drill was open; empty: it is asked."""
    drills: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """What happened -> key and name of the drill for it."""
    stops: Mapping[str, object] = field(default_factory=dict)
    """What happened -> the task under which a stop stands until somebody closes it."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return f"happened:{self.about}" if self.about else "happened"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("IT HAPPENED")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Ask what sort of thing, which one, and for words to it."""
        questions: list[Question] = []
        if not self.about:
            questions.append(self._group())
            questions += [self._what(int(answers.word(_GROUP)))] if answers.word(_GROUP) else []
        if self._about(answers):
            questions.append(self._more(self._about(answers)))
        return (Station(id="happened", name=_("what happened"), questions=tuple(questions)),)

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was chosen."""
        del station
        return happening_words(self._about(answers)) if self._about(answers) else ""

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log it with the last answer."""
        if question.key != _MORE:
            return ()
        about = self._about(answers)
        text = entry.text or happening_words(about)
        note = Note(id="", seq=0, at=entry.at, by=entry.by, text=text, about=about)
        return (note, *stop_said(about, text, at=entry.at, by=entry.by, stops=self.stops))

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Name the tasks that are due now because of it."""
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        about = self._about(answers)
        then = "renewed" if about == "new-meter" else None  # which one: its lessons start afresh
        stop = self._stop(about)
        due = [task.what for task in self.tasks if about in task.on and not task.silenced]
        if not due:
            said = (*stop, _("It stands in the diary."), *self._drill(about))
            return Finish(events=notes, then=then, said=said)
        kept = _("It stands in the diary. Due because of it, on today's page or under all tasks:")
        return Finish(events=notes, then=then, said=(*stop, *self._drill(about), kept, *due))

    def _about(self, answers: Answers) -> str:
        return self.about or answers.word(_WHAT)

    def _stop(self, about: str) -> tuple[str, ...]:
        if about not in self.stops:
            return ()
        held = _(
            "[!] Stop: hands out of the water until somebody says on today's page what was done about it."
        )
        return held, ring_grower(self.rack)

    def _drill(self, about: str) -> tuple[str, ...]:
        """Name the drill for it; nothing where one came from that very page."""
        if self.about or about not in self.drills:
            return ()
        key, name = self.drills[about]
        return (_("What to do now is in the drill {name}: press d, then {key}.").format(name=name, key=key),)

    # questions

    def _group(self) -> Question:
        names = (
            _("power, plugs, lamps"),
            _("water"),
            _("bottles, fumes, somebody hurt by them"),
            _("something new"),
            _("plants, weather, days away"),
        )
        choices = (Choice(digit=str(n), word=str(n), text=name) for n, name in enumerate(names, start=1))
        return self._choice(_GROUP, _("What has it to do with?"), choices)

    def _what(self, group: int) -> Question:
        choices = (
            Choice(digit=str(n), word=about, text=happening_words(about))
            for n, about in enumerate(GROUPS[group - 1], start=1)
        )
        return self._choice(_WHAT, _("What happened?"), choices)

    def _more(self, about: str) -> Question:
        return Question(
            key=_MORE,
            place=_("rack"),
            ask=_("Anything to add? Enter alone keeps it as it is."),
            kind=Kind.TEXT,
            facts=((_("kept as"), happening_words(about)),),
            optional=True,
            may_skip=False,
        )

    def _choice(self, key: str, ask: str, choices: Iterable[Choice]) -> Question:
        return Question(
            key=key, place=_("rack"), ask=ask, kind=Kind.CHOICE, choices=tuple(choices), may_skip=False
        )


def happened_script(
    kind: str,
    *,
    rack: Rack,
    tasks: Iterable[Task],
    drills: Mapping[str, object] | None = None,
    stops: Mapping[str, object] | None = None,
) -> HappenedScript:
    """Make the walk.

    Args:
        kind: `happened`, or `happened:<about>` where it is known what happened.
        rack: The rack.
        tasks: All tasks.
        drills: The packaged drills, to name the one for what happened.
        stops: What happened -> the task under which a stop stands then.
    """
    about = kind.partition(":")[2]
    rows = (drills or {}).get("drill")
    by_log: dict[str, tuple[str, str]] = {}
    for row in rows if isinstance(rows, list) else ():
        by_log.setdefault(str(row["log"]), (str(row["key"]), _(str(row["name"]))))
    return HappenedScript(
        rack=rack,
        tasks=tuple(tasks),
        about=about if about in SAID else "",
        drills=by_log,
        stops=stops or {},
    )
