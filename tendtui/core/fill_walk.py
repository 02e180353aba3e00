"""The first fill: plain water, leaks, real litres, one stop of the pump, marks; then the first feed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tendtui.core.event import Event, Note
from tendtui.core.fill_log import checks_done, poured_at, water_logged, water_read
from tendtui.core.not_filled import FILLED, NOT_FILLED
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.setup_ask import Asks
from tendtui.core.setup_check import confirms, judgement_of
from tendtui.core.setup_fill import (
    ABOVE_GURGLE_L,
    FillFound,
    filled_before,
    found_in,
    weight_said,
)
from tendtui.core.show import clock, show_number, show_value
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["FillScript"]

_WATCH = timedelta(minutes=15)
"""How long dryness and drain-back are watched. Source: the safety list's pump-off test."""

_FAR_FROM_SAID = 0.1
"""Share by which litres by the jug may differ from the mark said in the set-up. Source: chosen here; a mark
that is a tenth off makes each dose a tenth off."""

_FAR_FROM_SAID_L = 1.0
"""The same in litres, for small reservoirs: a jug's count is hardly closer. [L] Source: chosen here."""

_LOOKS: Mapping[str, tuple[str, ...]] = {
    "fill.checked": ("no",),
    "fill.weight": ("no",),
    "fill.flow": ("over", "none"),
    "fill.leak": ("weeps", "runs"),
    "fill.leak2": ("weeps", "runs"),
    "fill.room": ("close", "over"),
    "fill.stands": ("emptied",),
    "fill.marks": ("later",),
}
"""Answers that mark their station for another look."""


@value_class
class FillScript(RackScript):
    """Walks the first fill of a rack."""

    asks: Asks
    checks: tuple[str, ...] = ()
    """Safety checks before the first start that nobody has walked yet, in words."""
    check_ids: tuple[str, ...] = ()
    """Their tasks, which one answer says were looked at."""
    past: tuple[Event, ...] = ()
    """Effective events from before the walk, in time order: a fill that leaked is logged already."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "fill"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("FIRST FILL")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops in order; where it isn't safe to go on, the rest is not asked."""
        checked = ("fill.checked",) if self.checks else ()
        if answers.word("fill.checked") == "no":
            return (self._station("before", _("Before any water"), ("fill.ready", *checked), answers),)
        before = ("fill.ready", *checked, "fill.weight")
        made = [self._station("before", _("Before any water"), before, answers)]
        if answers.word("fill.weight") == "no":
            return tuple(made)
        leak = ["fill.leak"]
        if answers.word("fill.leak") in ("weeps", "runs"):
            leak += ["fill.mend", "fill.leak2"]
        made += [
            self._station(
                "litres", _("Litres by the jug"), ("fill.full", "fill.flow", "fill.pipes"), answers
            ),
            self._station("leaks", _("Leaks"), tuple(leak), answers),
        ]
        if not found_in(self.rack, answers).tight:
            return (*made, self._end(answers))
        made += [
            self._station(
                "stop",
                _("One stop of the pump"),
                ("fill.stop", "fill.stopped", "fill.room", "fill.stands"),
                answers,
            ),
            self._station("marks", _("Marks"), ("fill.gurgle", "fill.brim", "fill.marks"), answers),
            self._station(
                "water",
                _("The water as it is"),
                ("fill.conductivity", "fill.ph", "fill.temperature"),
                answers,
            ),
            self._end(answers),
        ]
        return tuple(made)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask again for counted litres far from the computed ones."""
        if question.key == "fill.full":
            return self._as_said(value, self.rack.reservoir.full_l)
        if question.key == "fill.pipes":
            return self._counted(value, found_in(self.rack, answers).computed_l)
        return judgement_of(question, value, answers, asks=self.asks)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the number typed again is the one typed before."""
        del question
        return confirms(first, second)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse what can't be, with what to do; dry counts only once it was watched for long enough."""
        value = typed.value
        watched = value is not None or typed.word == "dry"
        if watched and question.until is not None and typed.at < question.until:
            return _("It is {now}; look at {until}. A leak is said at once").format(
                now=clock(typed.at.astimezone(question.until.tzinfo)), until=clock(question.until)
            )
        if value is None:
            return ""
        bounds = self.asks[question.key].bounds
        if bounds is not None and not bounds[0] <= value <= bounds[1]:
            return _(self.asks[question.key].refused)
        return self._refused(question.key, value, answers.value("fill.full") or self.rack.reservoir.full_l)

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was found there."""
        told = []
        for question in station.questions:
            answer = answers.by_key.get(question.key)
            if answer is None:
                continue
            if answer.value is not None and question.quantity is not None:
                told.append(show_value(answer.value, question.quantity, self.show))
            elif question.choices:
                told.append(next((c.text for c in question.choices if c.word == answer.word), ""))
        return ", ".join(text for text in told if text)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Leave nothing in the log before the end: a fill that was broken off is begun anew."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Give what was counted to rack.toml and the log; feed only into a rack that is tight."""
        if answers.word("fill.checked") == "no":
            said = _("Not filled: the safety checks before the first start come first.")
            return Finish(
                events=(self._note(walk, now, (said,), about=NOT_FILLED),),
                then="task:safety-first",
                said=(
                    _(
                        "[!] Don't plug anything in. The checks come now; the first fill waits on "
                        "today's page."
                    ),
                ),
            )
        if answers.word("fill.weight") == "no":
            said = _("Not filled: nobody is sure that it bears the weight.")
            return Finish(
                events=(self._note(walk, now, (said,), about=NOT_FILLED),),
                said=(
                    _(
                        "[!] Don't fill it. Fewer pipes, a stronger frame, the reservoir on the ground: "
                        "ask somebody who builds."
                    ),
                ),
            )
        found = found_in(self.rack, answers)
        told = found.sentences(self.rack, self.show)
        changes = found.changes(self.rack)
        about = FILLED if found.is_good else NOT_FILLED
        return Finish(
            events=(
                self._note(walk, now, told, about=about),
                *checks_done(self.check_ids, answers, by=walk.by),
                *water_logged(found, self.past, at=poured_at(answers) or now, by=walk.by),
                *water_read(found, answers, at=now, by=walk.by),
            ),
            then="dose" if found.is_good and self.rack.feeds else None,
            context={"changes": changes} if changes else {},
            said=(*told, self._next(found)),
        )

    # pieces

    def _station(self, station: str, name: str, keys: tuple[str, ...], answers: Answers) -> Station:
        return Station(
            id=station,
            name=name,
            questions=tuple(self._question(key, answers) for key in keys),
            section=station,
        )

    def _question(self, key: str, answers: Answers) -> Question:
        question = self.asks[key].question(key, self.show, same=self._from_last_time(key))
        looks = _LOOKS.get(key, ())
        return replace(
            question,
            choices=tuple(replace(choice, look=choice.word in looks) for choice in question.choices),
            before={"fill.weight": weight_said(self.rack), "fill.checked": self.checks}.get(key, ()),
            until=_after(answers, key),
            quiet=True,
        )

    def _from_last_time(self, key: str) -> str:
        """Give what `=` puts in for pipes that stand full from the fill before."""
        pipes_l = self.rack.reservoir.pipes_l
        if key != "fill.pipes" or pipes_l is None or filled_before(self.past) is None:
            return ""
        return show_number(pipes_l, Quantity.VOLUME, self.show)

    def _end(self, answers: Answers) -> Station:
        before = found_in(self.rack, answers).sentences(self.rack, self.show)
        question = self.asks["fill.seen"].question("fill.seen", self.show, before=before)
        return Station(id="fill-end", name="", questions=(question,), listed=False)

    def _counted(self, value: float, expected_l: float) -> Judgement:
        if expected_l <= 0.0 or 0.5 * expected_l <= value <= 2.0 * expected_l:
            return Judgement()
        return Judgement(
            again=_(
                "{value} is far from the {expected} that were worked out. Count again, and type it again."
            ).format(
                value=show_value(value, Quantity.VOLUME, self.show),
                expected=show_value(expected_l, Quantity.VOLUME, self.show),
            )
        )

    def _as_said(self, value: float, said_l: float) -> Judgement:
        """Ask again for litres of the jug that aren't those of the mark: each dose rests on them."""
        if abs(value - said_l) <= max(_FAR_FROM_SAID * said_l, _FAR_FROM_SAID_L):
            return Judgement()
        return Judgement(
            again=_(
                "{value} counted by the jug, but {said} said for the full mark. Look at both, and type the "
                "litres that went in again: they go before what was said."
            ).format(
                value=show_value(value, Quantity.VOLUME, self.show),
                said=show_value(said_l, Quantity.VOLUME, self.show),
            )
        )

    def _refused(self, key: str, value: float, full_l: float) -> str:
        full = show_value(full_l, Quantity.LEVEL, self.show)
        if key == "fill.full" and value <= self.rack.reservoir.least_l:
            return _(
                "The full mark must stand above the least mark ({least}). Fill on, or change the marks."
            ).format(least=show_value(self.rack.reservoir.least_l, Quantity.LEVEL, self.show))
        if key == "fill.gurgle" and value + ABOVE_GURGLE_L >= full_l:
            return _(
                "A pump that gurgles so near the full mark ({full}) can't be tended: set it deeper, or fill "
                "higher. Type the litres left in the reservoir."
            ).format(full=full)
        if key == "fill.brim" and value <= full_l:
            return _("The brim must lie above the full mark ({full}). Type what it holds to the rim.").format(
                full=full
            )
        if key == "fill.stopped" and value < full_l - 0.05 * full_l:
            return _(
                "Stopped, it can't stand below the full mark ({full}) unless it leaks. Read it again."
            ).format(full=full)
        return ""

    def _note(self, walk: Walk, now: datetime, said: tuple[str, ...], *, about: str) -> Note:
        text = " ".join((_("First fill."), *said))
        return Note(id="", seq=0, at=now, by=walk.by, text=text, about=about)

    def _next(self, found: FillFound) -> str:
        if not found.is_good:
            return _("Next: mend that, then walk the first fill again.")
        if not self.rack.feeds:
            return _("Next: describe the feed (change the rack), then the first dose.")
        return _("Next: the first feed.")


def _after(answers: Answers, key: str) -> datetime | None:
    """Give the clock time before which a watch isn't over."""
    begun = {"fill.leak": "fill.pipes", "fill.leak2": "fill.mend", "fill.stopped": "fill.stop"}.get(key, "")
    answer = answers.by_key.get(begun)
    return None if answer is None or answer.at is None else answer.at + _WATCH
