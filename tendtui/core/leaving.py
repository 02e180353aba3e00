"""The leaving list: the last steps, after the goal is reached, which are forgotten for that very reason."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timedelta

from tendtui.core.event import Event, Poured, Reading
from tendtui.core.habit import value_in
from tendtui.core.looks import (
    ELSE,
    RoundWords,
    StationWords,
    choices_of,
    look_is_odd,
    name_of,
    seen_words,
)
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.rack_script import RackScript
from tendtui.core.round_reading import DOSED
from tendtui.core.show import clock, show_value
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["LeavingScript", "leaving_script"]

_A_ROUND = timedelta(hours=3)
"""How far back the summary looks where the walk doesn't say when the round began."""


def leaving_script(
    *,
    rack: Rack,
    events: Iterable[Event],
    began: datetime,
    words: RoundWords,
    context: Mapping[str, object],
    following: Callable[[], tuple[str, ...]] = tuple,
    signs_now: Callable[[], tuple[str, ...]] | None = None,
) -> LeavingScript:
    """Make the leaving list.

    Args:
        rack: The rack that one leaves.
        events: Those that still count, in time order.
        began: When this walk began.
        words: From `tendtui/data/round.toml`.
        context: The walk's; `round_began` tells from when on the summary counts.
        following: Gives what comes next, each a sentence ("Next round: tomorrow."); asked at the end only.
        signs_now: Gives what the readings say at the end; what the round said and is settled, is left out.
    """
    signs = context.get("signs")
    since = context.get("round_began")
    start = since if isinstance(since, datetime) else began - _A_ROUND
    today = tuple(event for event in events if event.at >= start)
    return LeavingScript(
        rack=rack,
        today=today,
        words=words,
        signs=tuple(str(sign) for sign in signs) if isinstance(signs, list | tuple) else (),
        following=following,
        signs_now=signs_now,
    )


@value_class
class LeavingScript(RackScript):
    """What the leaving list asks; see `tendtui.core.walk_value.Script`."""

    today: tuple[Event, ...]
    """What happened since the round began."""
    words: RoundWords
    signs: tuple[str, ...] = ()
    """What the readings together say, found at the end of the round."""
    following: Callable[[], tuple[str, ...]] = tuple
    signs_now: Callable[[], tuple[str, ...]] | None = None
    kind: str = "leaving"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("BEFORE YOU LEAVE")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the five things to look at; caps come from the bottles, which may not have been out."""
        del answers
        return tuple(self._station(words) for words in self.words.leaving)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse that no bottle was out where one was poured from."""
        del answers
        bottles = _bottles(self.today)
        if question.key == "caps.seen" and typed.word == "not-used" and bottles:
            return _("Poured from today: {names}. Look where it stands and whether its cap is on").format(
                names=", ".join(bottles)
            )
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was found."""
        key = station.questions[0].key
        answer = answers.by_key.get(key)
        if answer is None:
            return ""
        if answer.reason:
            return _("not looked at")
        if answer.word == ELSE:
            return answer.text
        return self._shorts(station.id).get(answer.word, ("", ""))[1]

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Nothing yet: the list is one entry of the log, made at its end."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the looks in the log, and say what was found, what was done, what is next."""
        reading = Reading(
            id="",
            seq=0,
            at=now,
            by=walk.by,
            looks={_look_key(key): a.word for key, a in answers.by_key.items() if a.word},
            not_done={_look_key(key): a.reason for key, a in answers.by_key.items() if a.reason},
            notes=_notes(answers),
            source="round",
        )
        left = [
            f"[!] {station.name}: {self.found(station, answers)}"
            for station in self.stations(answers)
            if (answer := answers.by_key.get(station.questions[0].key)) and (answer.look or answer.reason)
        ]
        said = (
            *self._found_today(),
            *self._done_today(),
            *left,
            *self._signs_left(),
            *self._next_looks(),
            *self.following(),
        )
        return Finish(events=(reading,), said=said)

    def _signs_left(self) -> tuple[str, ...]:
        """Give what the round's readings said and later ones did not settle."""
        if not self.signs or self.signs_now is None:
            return self.signs
        now = self.signs_now()
        return tuple(sign for sign in self.signs if sign in now)

    def _station(self, words: StationWords) -> Station:
        ask = words.asks[0]
        question = Question(
            key=f"{words.id}.{ask.id}",
            place=_(words.name),
            ask=_(ask.ask),
            kind=Kind.CHOICE,
            choices=choices_of(ask.seen, self.words),
            where=_(ask.where),
            how=_(ask.how),
            why=_(ask.why),
            good=_(ask.good),
            quiet=True,
        )
        return Station(id=words.id, name=_(words.name), questions=(question,), section="leaving")

    def _shorts(self, station: str) -> Mapping[str, tuple[str, str]]:
        asks = (s.asks[0] for s in self.words.leaving if s.id == station)
        return {word: said for ask in asks for word, said in seen_words(ask).items()}

    def _found_today(self) -> tuple[str, ...]:
        """Say the figures of the water as they were found, and what was read after something was done."""
        first: dict[Quantity, float] = {}
        last: dict[Quantity, float] = {}
        for reading in (event for event in self.today if isinstance(event, Reading)):
            for quantity in DOSED:
                value = value_in(reading, quantity)
                if value is not None and reading.source == "dose":
                    last[quantity] = value
                elif value is not None:
                    first.setdefault(quantity, value)
        said = ((_("Found: {figures}."), first), (_("Read at the end: {figures}."), last))
        return tuple(line.format(figures=self._figures(values)) for line, values in said if values)

    def _figures(self, values: Mapping[Quantity, float]) -> str:
        return ", ".join(show_value(value, quantity, self.show) for quantity, value in values.items())

    def _done_today(self) -> tuple[str, ...]:
        poured = [event for event in self.today if isinstance(event, Poured)]
        if not poured:
            return (_("Done: nothing was poured."),)
        return tuple(
            _("Done {clock}: {what}.").format(clock=clock(event.at), what=self._poured(event))
            for event in poured
        )

    def _next_looks(self) -> tuple[str, ...]:
        """Say what this round leaves to be measured, looked at or done."""
        read = [event for event in self.today if isinstance(event, Reading)]
        doubts = [self._name(self._doubt_key(key)) for key in _in_doubt(read)]
        odd = [
            self._name(key)
            for e in read
            for key, word in e.looks.items()
            if not key.startswith("leaving.") and look_is_odd(key, word, self.words)
        ]
        open_ = [self._name(key) for e in read for key in e.not_done if not key.startswith("leaving.")]
        lines = (
            (_("Next, before anything is poured: measure again {names}."), doubts),
            (_("Next, on tomorrow's round: look again at {names}."), odd),
            (_("Left out today, asked again on the next round: {names}."), open_),
        )
        return tuple(line.format(names="; ".join(dict.fromkeys(names))) for line, names in lines if names)

    def _doubt_key(self, key: str) -> str:
        """Give the question of a quantity's name in the log: `flow.Top` is `Top.flow`."""
        quantity, _dot, tier = key.partition(".")
        if tier:
            return f"{tier}.{quantity}"
        stations = {ask.quantity: s.id for s in self.words.stations for ask in s.asks}
        return f"{stations.get(quantity, quantity)}.{quantity}"

    def _name(self, key: str) -> str:
        return name_of(key, self.words, tiers=(tier.name for tier in self.rack.tiers))

    def _poured(self, event: Poured) -> str:
        if event.litres is not None:
            amount = show_value(event.litres, Quantity.VOLUME, self.show)
            return (
                _("{amount} drained").format(amount=amount)
                if event.what == "drained"
                else _("{amount} of water added").format(amount=amount)
            )
        quantity = Quantity.LIQUID if event.ml is not None else Quantity.POWDER
        amount = show_value(event.ml if event.ml is not None else event.g or 0.0, quantity, self.show)
        return _("{amount} of {bottle}").format(amount=amount, bottle=event.what)


def _in_doubt(readings: Iterable[Reading]) -> tuple[str, ...]:
    """Give what the newest reading of it leaves in doubt; a later one without a doubt settles it."""
    doubted: dict[str, bool] = {}
    for reading in readings:
        doubted |= dict.fromkeys((q.value for q in DOSED if value_in(reading, q) is not None), False)
        doubted |= dict.fromkeys((f"flow.{tier}" for tier in reading.flow_l_min), False)
        doubted |= dict.fromkeys(reading.doubt, True)
    return tuple(key for key, is_doubted in doubted.items() if is_doubted)


def _bottles(events: tuple[Event, ...]) -> tuple[str, ...]:
    poured = (e for e in events if isinstance(e, Poured) and e.litres is None)
    return tuple(dict.fromkeys(event.what for event in poured))


def _look_key(key: str) -> str:
    return f"leaving.{key.partition('.')[0]}"


def _notes(answers: Answers) -> Mapping[str, str]:
    said = {f"leaving.{station}": text for station, text in answers.notes.items() if station}
    for key, answer in answers.by_key.items():
        if answer.text:
            station = _look_key(key)
            said[station] = "; ".join(filter(None, (said.get(station, ""), answer.text)))
    return said
