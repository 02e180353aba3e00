"""The daily round: the stops along the water, how their answers are judged, and what it leaves in the log.

`round_script` makes it. The round chains into the dose (`Finish.then`), the dose into the leaving list.
Nothing is answered or ticked for the person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime

from tendtui.core.band import Band
from tendtui.core.bands import Bands
from tendtui.core.event import Event, Reading
from tendtui.core.habit import Habit, habit_of, questioned_share, widen_of
from tendtui.core.judge import cannot_be, judge, near
from tendtui.core.looks import ELSE, NOT_LOOKED, RoundWords, answer_seen, asks_of, name_of, seen_words
from tendtui.core.mixing import MIXED_AFTER, that_mix
from tendtui.core.prompt import Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Rack, Show
from tendtui.core.reason import reasons
from tendtui.core.role import Role, role_of
from tendtui.core.round_finding import found_in, stop_seen
from tendtui.core.round_reading import DOSED, at_25, log_key, round_reading
from tendtui.core.round_stations import RoundFacts, round_stations, timed_now
from tendtui.core.show import clock, show_number, show_value
from tendtui.core.walk_value import Answer, Answers, Entry, Finish, Judgement, Walk
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["RoundScript", "round_script"]

_MOST_BETWEEN_PAUSES = 9
"""Questions; about 90 seconds of answering. Source: checklist practice in aviation and surgery (five to nine
items a list, Gawande 2009; number from memory)."""

_LEAST_BEFORE_PAUSE = 3
"""A pause after one or two answers is only in the way."""

_HOT_C = 26.0
"""[°C] Where no crop table is given. Common practice, no source; roots of leafy crops rot soon above it."""

_CLEARLY_LESS = 0.75
"""Share of the outlet above; timing by hand differs by a tenth. Common practice, no source."""


_MIXED = frozenset({Quantity.CONDUCTIVITY, Quantity.PH})


def _no_signs(_reading: Reading) -> tuple[tuple[str, str], ...]:
    return ()


def _no_doubts(_reading: Reading) -> tuple[str, ...]:
    return ()


def round_script(
    *,
    rack: Rack,
    events: Iterable[Event],
    began: datetime,
    words: RoundWords,
    bands: Bands | None = None,
    warned: Mapping[str, str] | None = None,
    signs_with: Callable[[Reading], tuple[tuple[str, str], ...]] = _no_signs,
    doubts_with: Callable[[Reading], tuple[str, ...]] = _no_doubts,
    by: str = "",
) -> RoundScript:
    """Make the round of a day.

    Args:
        rack: What there is to look at.
        events: Those that still count, in time order; those after `began` don't change what is asked.
        began: When the walk began.
        words: From `tendtui/data/round.toml`.
        bands: What the crops want; None: only what rack.toml wishes.
        warned: Tier -> what today's page says of its outlet: its flow is timed, and the warning stands there.
        signs_with: Gives the patterns that speak once the round's own reading is among the others.
        doubts_with: Gives the quantities that moved so far that they are read twice before a dose.
        by: Who began it: whoever isn't the grower is asked about the floor before anything is touched.
    """
    every = tuple(events)
    known = tuple(event for event in every if event.at <= began)
    widen = widen_of(rack)
    habits = {q.value: habit_of(known, q, now=began, widen=widen) for q in DOSED}
    for tier in rack.tiers:
        habits[f"flow.{tier.name}"] = habit_of(known, Quantity.FLOW, tier.name, now=began, widen=widen)
    facts = RoundFacts(
        rack=rack,
        events=known,
        began=began,
        words=words,
        bands=_wanted(rack, bands),
        hot_c=_HOT_C if bands is None else bands.hot_c,
        habits=habits,
        looks_first=role_of(rack, by) is not Role.GROWER,
        warned=warned or {},
    )
    return RoundScript(
        facts=facts,
        stops=round_stations(facts),
        signs_with=signs_with,
        doubts_with=doubts_with,
        poured_at=max((poured.at for poured in that_mix(every)), default=None),
    )


@value_class
class RoundScript:
    """What the round asks; see `tendtui.core.walk_value.Script`."""

    facts: RoundFacts
    stops: tuple[Station, ...]
    signs_with: Callable[[Reading], tuple[tuple[str, str], ...]] = _no_signs
    """What the readings together say once the round's own is among them: what, and what to do."""
    doubts_with: Callable[[Reading], tuple[str, ...]] = _no_doubts
    """What is read twice before anything is poured on it."""
    poured_at: datetime | None = None
    """When something last went in, before the round or beside it."""
    kind: str = "round"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("ROUND")

    @property
    def show(self) -> Show:
        """The person's units."""
        return self.facts.rack.show

    @property
    def meter(self) -> Meter:
        """What the meters can show."""
        return self.facts.rack.meter

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops, with a pause where a part of the way is done."""
        walked: list[Station] = []
        since: list[Station] = []
        pauses = 0
        if self._stopped_first(answers):
            return self.stops[:1]
        for plain, stop in zip(self.stops, self._stops(answers), strict=True):
            if _pause_before(plain, since):  # where pauses stand doesn't depend on what was answered
                pauses += 1
                walked.append(self._pause(pauses, since, answers))
                since = []
            since.append(plain)
            walked.append(stop)
        return tuple(walked)

    def _stopped_first(self, answers: Answers) -> bool:
        """Say whether the look before anything is touched forbids to touch it."""
        first = {station.id for station in self.facts.words.stations if station.first}
        seen = {key: answer for key, answer in answers.by_key.items() if key.partition(".")[0] in first}
        return any(
            (told := answer_seen(key, answer.word, self.facts.words)) is not None and told.severity == "stop"
            for key, answer in seen.items()
        )

    def _stops(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stops, with the timing of an outlet that has just looked weak."""
        stops = []
        for stop in self.stops:
            timed = timed_now(stop, self.facts, answers.word(f"{stop.name}.flow"))
            if timed is not None:
                first, *rest = stop.questions
                stop = replace(stop, questions=(first, timed, *rest))
            stops.append(stop)
        return tuple(stops)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Judge a reading beside its band, its past, and the outlet above."""
        quantity = question.quantity
        if quantity is None:
            return Judgement()
        judged = judge(
            at_25(self.meter, question, value, answers),
            quantity=quantity,
            band=self.facts.bands.get(quantity),
            habit=self.facts.habits.get(log_key(question), Habit(quantity=quantity)),
            show=self.show,
            meter=self.meter,
            reservoir=self.facts.rack.reservoir,
            jug_l=question.jug_l,
        )
        return (
            judged
            if judged.again or quantity is not Quantity.FLOW
            else self._beside_above(question, value, answers)
        )

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether a second reading confirms the first."""
        return question.quantity is not None and near(
            first, second, quantity=question.quantity, meter=self.meter
        )

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse a level that the reservoir can't hold, and what is read before the solution is mixed."""
        del answers
        if typed.value is None or question.quantity is None:
            return ""
        mixed_at = None if self.poured_at is None else self.poured_at + MIXED_AFTER
        if (
            question.quantity in _MIXED
            and mixed_at is not None
            and mixed_at - MIXED_AFTER <= typed.at < mixed_at
        ):
            zone = typed.at.tzinfo
            return _(
                "Something went in at {poured}, and isn't mixed yet. It is {now}; read at {until}. "
                "If you can't wait, press x and say why"
            ).format(
                poured=clock((mixed_at - MIXED_AFTER).astimezone(zone)),
                now=clock(typed.at),
                until=clock(mixed_at.astimezone(zone)),
            )
        return cannot_be(
            typed.value, quantity=question.quantity, reservoir=self.facts.rack.reservoir, show=self.show
        )

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was found at a stop."""
        told = ((q, answers.by_key.get(q.key)) for q in station.questions)
        said = [self._told(q, answer, answers) for q, answer in told if answer is not None]
        return ", ".join(each for each in said if each)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Open a finding where what was seen must not be forgotten; the round itself is logged at its end."""
        del answers
        return found_in(question, entry, self.facts.words)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the round as one reading, and go on to the dose; a round that may not begin leaves none."""
        if self._stopped_first(answers):
            ended = _("[!] Stop: {what}. The round begins once somebody has said what was done about it.")
            return Finish(said=(ended.format(what=stop_seen(answers, self.facts.words)),))
        stops = self._stops(answers)
        reading = round_reading(walk, stops, answers, meter=self.meter, now=now)
        once = tuple(name for name in self.doubts_with(reading) if name not in reading.first)
        reading = replace(reading, doubt=tuple(dict.fromkeys((*reading.doubt, *once))))
        signs = self.signs_with(reading)
        stop = stop_seen(answers, self.facts.words)
        told = (f"[!] {what}. {do}".strip() for what, do in signs)
        said = (*self.summary(stops, answers), *told, *self._too_often())
        if stop:
            stopped = _("[!] Stop: {what}. Nothing is poured until today's page says what was done about it.")
            return Finish(events=(reading,), said=(*said, stopped.format(what=stop)))
        context: dict[str, object] = {"round_began": walk.began}
        if signs:
            context["signs"] = [f"[!] {what}." for what, _do in signs]
        return Finish(events=(reading,), then="dose", context=context, said=said)

    def summary(self, stops: Iterable[Station], answers: Answers) -> tuple[str, ...]:
        """Say what was found, what is odd, and what is still open."""
        stops = tuple(stops)
        found = [f"{s.name}: {said}" for s in stops if (said := self._done_there(s, answers))]
        odd = [said for s in stops for q in s.questions if (said := self._odd(q, answers))]
        left = [
            _("Not done: {what} ({why}).").format(what=self._name(q), why=_reason(answer))
            for s in stops
            for q in s.questions
            if (answer := answers.by_key.get(q.key)) is not None and answer.reason
        ]
        return (*found, *odd, *left)

    def _pause(self, number: int, since: list[Station], answers: Answers) -> Station:
        summary = self.summary(since, answers)
        question = Question(
            key=f"pause-{number}.seen",
            place=_("pause"),
            ask=_("This part is done."),
            kind=Kind.PAUSE,
            before=summary,
            may_skip=False,
            quiet=True,
        )
        return Station(
            id=f"pause-{number}",
            name=_("pause"),
            questions=(question,),
            section=since[-1].section,
            listed=False,
        )

    def _told(self, question: Question, answer: Answer, answers: Answers) -> str:
        if answer.reason:
            return _("{what} not done").format(what=self._name(question))
        if answer.value is not None and question.quantity is not None:
            show = show_number if question.quantity is Quantity.PH else show_value
            told = show(at_25(self.meter, question, answer.value, answers), question.quantity, self.show)
            return f"{told} [!]" if answer.doubt else told
        if answer.word == ELSE:
            return answer.text
        return self._shorts(question).get(answer.word, ("", ""))[1]

    def _done_there(self, station: Station, answers: Answers) -> str:
        done = {k: a for k, a in answers.by_key.items() if not a.reason}
        return self.found(station, Answers(by_key=done)) if done else ""

    def _odd(self, question: Question, answers: Answers) -> str:
        answer = answers.by_key.get(question.key)
        if answer is None or answer.reason:
            return ""
        if answer.doubt:
            return _("[!] {place}: two readings that don't agree; measure it again later.").format(
                place=self._name(question)
            )
        if answer.value is not None:
            judged = self.judge(question, answer.value, answers)
            twice = _("[!] {place}: unusual, and measured twice the same.").format(place=self._name(question))
            return twice if judged.again else judged.notice
        if not answer.look:
            return ""
        said = answer.text or self._shorts(question).get(answer.word, ("", ""))[1]
        return f"[!] {self._name(question)}: {said}"

    def _shorts(self, question: Question) -> Mapping[str, tuple[str, str]]:
        asks = asks_of(question.key, self.facts.words)
        return {word: said for ask in asks for word, said in seen_words(ask).items()}

    def _name(self, question: Question) -> str:
        tiers = (tier.name for tier in self.facts.rack.tiers)
        return name_of(question.key, self.facts.words, tiers=tiers)

    def _beside_above(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Say where an outlet gives clearly less than the one above it: its pipe is filling, or leaking."""
        names = [tier.name for tier in self.facts.rack.tiers]
        name = question.key.rpartition(".")[0]
        place = names.index(name) if name in names else 0
        above = answers.value(f"{names[place - 1]}.flow") if place else None
        if above is None or value >= _CLEARLY_LESS * above:
            return Judgement()
        said = _(
            "[!] {name} gives clearly less than {above} above it ({flow}). "
            "Is this pipe filling, or wet outside?"
        )
        flow = show_number(above, Quantity.FLOW, self.show)
        return Judgement(notice=said.format(name=name, above=names[place - 1], flow=flow), look=True)

    def _too_often(self) -> tuple[str, ...]:
        if questioned_share(self.facts.events) <= 0.1:
            return ()
        return (
            _(
                "More than one answer in ten was asked about lately. If the limits are too narrow for this "
                "rack, put widen = 1.5 under [round] in rack.toml."
            ),
        )


def _pause_before(stop: Station, since: list[Station]) -> bool:
    asked = sum(len(station.questions) for station in since)
    if asked < _LEAST_BEFORE_PAUSE:
        return False
    return stop.section != since[-1].section or asked + len(stop.questions) > _MOST_BETWEEN_PAUSES


def _reason(answer: Answer) -> str:
    texts = {choice.word: choice.text for choice in reasons()} | {NOT_LOOKED: _("could not look")}
    return answer.text or texts.get(answer.reason, answer.reason)


def _wanted(rack: Rack, bands: Bands | None) -> Mapping[Quantity, Band]:
    if bands is not None:
        return {
            Quantity.CONDUCTIVITY: bands.conductivity.band,
            Quantity.PH: bands.ph.band,
            Quantity.TEMPERATURE: bands.temperature.band,
        }
    pairs = {
        Quantity.CONDUCTIVITY: rack.target.conductivity_ms_cm,
        Quantity.PH: rack.target.ph,
        Quantity.TEMPERATURE: rack.target.temperature_c,
    }
    return {q: Band(low=pair[0], high=pair[1]) for q, pair in pairs.items() if pair is not None}
