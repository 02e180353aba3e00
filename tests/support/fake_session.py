"""A session in memory over the real engine of walks: what the screens are tested against.

Its rack is invented; every name in it is hostile to whatever takes text for markup.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from tendtui.core import walk as engine
from tendtui.core.band import Band
from tendtui.core.correction import corrected
from tendtui.core.event import Event, Note, Poured, Reading, effective
from tendtui.core.finding import Finding
from tendtui.core.learn_course import course_of
from tendtui.core.looks import RoundWords, round_words
from tendtui.core.printed_page import PrintedPage
from tendtui.core.prompt import Choice, Kind, Prompt, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Feed, Meter, Rack, Reservoir, Show, Tier
from tendtui.core.slow_list import FILES, SlowList, slow_list
from tendtui.core.state import Person, State
from tendtui.core.today import Item, TierNow, Today
from tendtui.core.trend import Trends, trends_of
from tendtui.core.walk import Answers, Entry, Finish, Judgement, Turn, Walk
from tendtui.errors import HeldError, NoRackError, StateError
from tendtui.session.walking import KEPT
from tendtui.store.data_file import read_data
from tendtui.value import field, replace, value_class

NASTY = "pump [/ A] 3"
AT = datetime(2026, 11, 25, 7, 52, tzinfo=UTC)

LOOKS = (
    Choice(digit="1", word="cream-firm", text="white or cream, firm"),
    Choice(digit="2", word="tan", text="tan tips, still firm", look=True),
    Choice(digit="3", word="brown", text="brown or slimy, on one plant or more", look=True),
    Choice(
        digit="4",
        word="other",
        text="something else - you will be asked to say what",
        look=True,
        ask_text=True,
    ),
    Choice(digit="5", word="unseen", text="could not look"),
)


def fake_rack(tiers: int = 3) -> Rack:
    """Give a rack whose names look like markup."""
    return Rack(
        name=f"Rack {NASTY}",
        reservoir=Reservoir(full_l=60.0, least_l=30.0),
        tiers=tuple(
            Tier(
                name=f"{NASTY}.{n}",
                pipe_inside_mm=80,
                length_m=1.6,
                outlet_height_mm=45,
                crops=(f"[b]{n}",),
                plants=7,
            )
            for n in range(tiers)
        ),
        feeds=(Feed(name=f"Feed {NASTY}", label_ml_per_l=2.0, label_conductivity_ms_cm=1.5),),
        people=("Mo", f"Ash {NASTY}"),
    )


def _number(key: str, place: str, ask: str, quantity: Quantity, unit: str, **more: object) -> Question:
    question = Question(
        key=key,
        place=place,
        ask=ask,
        kind=Kind.NUMBER,
        quantity=quantity,
        unit=unit,
        facts=(("last time", "2.0 (Mon)"), ("usual", "1.6 to 2.4")),
        where="at the reservoir",
        how="hold the probe still until the number stands",
        why="the dose rests on it",
        good="in the band",
    )
    return replace(question, **more)


@value_class(kw_only=False)
class FakeScript:
    """Eight stations: meters, three tiers with a look each, a pause, a pour, words."""

    rack: Rack
    kind: str = "round"
    title: str = "Round"
    numbers_only: int = 0
    """So many readings and nothing else, for typing ahead."""

    @property
    def show(self) -> Show:
        return self.rack.show

    @property
    def meter(self) -> Meter:
        return self.rack.meter

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        if self.numbers_only:
            return tuple(
                Station(
                    id=f"r{n}",
                    name=f"reading {n}",
                    questions=(
                        _number(
                            f"r{n}.value", f"reading {n}", "What is it?", Quantity.FLOW, "litres a minute"
                        ),
                    ),
                )
                for n in range(self.numbers_only)
            )
        meters = (
            Station(
                id="level",
                name="level",
                questions=(
                    _number(
                        "level.value",
                        "reservoir",
                        "Where does the water stand?",
                        Quantity.LEVEL,
                        "litres",
                        same="46",
                    ),
                ),
            ),
            Station(
                id="ec",
                name="conductivity",
                questions=(
                    _number(
                        "ec.value",
                        "reservoir",
                        "What does the meter show?",
                        Quantity.CONDUCTIVITY,
                        "millisiemens",
                    ),
                ),
            ),
            Station(
                id="ph",
                name="pH",
                questions=(_number("ph.value", "reservoir", "What does the meter show?", Quantity.PH, "pH"),),
            ),
        )
        pause = Station(
            id="pause",
            name="",
            listed=False,
            questions=(
                Question(
                    key="pause.seen",
                    place="PAUSE",
                    ask="The meters are done.",
                    kind=Kind.PAUSE,
                    may_skip=False,
                    before=("Found: 46 litres.", "[!] Nothing odd."),
                ),
            ),
        )
        tiers = tuple(
            Station(
                id=tier.name,
                name=tier.name,
                questions=(
                    _number(
                        f"{tier.name}.flow",
                        tier.name,
                        "Cup under its outlet for one minute. How much water?",
                        Quantity.FLOW,
                        "litres a minute",
                    ),
                    Question(
                        key=f"{tier.name}.roots",
                        place=tier.name,
                        ask="Look at the roots. What do you see?",
                        kind=Kind.CHOICE,
                        choices=LOOKS,
                        quiet=True,
                        where="the two pots nearest the outlet",
                        how="lift the pot a hand's width, look at the tips, smell, set it back",
                        why="roots show trouble days before the leaves do",
                        good="white or cream, firm, no smell",
                    ),
                ),
            )
            for tier in self.rack.tiers
        )
        feed = self.rack.feeds[0].name
        dose = Station(
            id="dose",
            name="dose",
            questions=(
                Question(
                    key="dose.name",
                    place="dose",
                    ask="Label of the bottle in your hand?",
                    kind=Kind.TEXT,
                    quiet=True,
                    expects=(feed,),
                    safety=("Gloves and glasses on.", "One bottle open at a time."),
                ),
                _number(
                    "dose.poured",
                    "dose",
                    f"POUR 32.5 millilitres of {feed}",
                    Quantity.LIQUID,
                    "millilitres",
                    quiet=True,
                    safety=("Cap on before you touch the next one.",),
                ),
            ),
        )
        return (*meters, pause, *tiers, dose)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        if question.quantity is Quantity.FLOW and value < 0.5 and not self.numbers_only:
            return Judgement(again="That is a tenth of last time. Is the point where you want it?", look=True)
        return Judgement()

    def near(self, question: Question, first: float, second: float) -> bool:
        return abs(first - second) < 0.1

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        if question.expects and typed.text not in question.expects:
            return f"That is not {question.expects[0]}. Put it back and take the right bottle."
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        told = [answers.by_key[q.key] for q in station.questions if q.key in answers.by_key]
        return ", ".join(answer.typed or answer.word or answer.reason for answer in told)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        if question.key == "dose.poured":
            return (
                Poured(id="", seq=0, at=entry.at, by=entry.by, what=self.rack.feeds[0].name, ml=entry.value),
            )
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        reading = Reading(
            id=f"{walk.id}-end",
            seq=0,
            at=now,
            by=walk.by,
            level_l=answers.value("level.value"),
            conductivity_ms_cm=answers.value("ec.value"),
            ph=answers.value("ph.value"),
            source="round",
        )
        return Finish(events=(reading,), said=("The round is finished.", f"[!] Look at {NASTY} tomorrow."))


@value_class(kw_only=False)
class FakeOutcome:
    prompt: Prompt | None
    said: tuple[str, ...] = ()


@value_class(frozen=False, kw_only=False)
class FakeSession:
    """The verbs of a session, kept in memory; `fail` makes the next saves fail, `slow_s` makes them slow."""

    rack_of: Rack | None = field(default_factory=fake_rack)
    by: str = "Mo"
    at: datetime = AT
    events: tuple[Event, ...] = ()
    older: tuple[Event, ...] = ()
    troubles: list[str] = field(default_factory=list)
    state: State = field(default_factory=State)
    numbers_only: int = 0
    fail: int = 0
    held_by: str = ""
    silenced: dict[str, str] = field(default_factory=dict)
    rack_for_walks: Rack | None = None
    slow_s: float = 0.0
    stale: bool = False
    gate: threading.Event | None = None

    @property
    def rack(self) -> Rack:
        if self.rack_of is None:
            raise NoRackError("there is no rack yet", "Run: tendtui setup")
        return self.rack_of

    def now(self) -> datetime:
        return self.at

    def forget(self) -> None:
        pass

    @property
    def diary(self) -> tuple[Event, ...]:
        return self.events

    def diary_before(self, at: datetime) -> tuple[Event, ...]:
        older, self.older = self.older, ()
        return older

    def findings(self) -> tuple[Finding, ...]:
        return (Finding(file="rack.toml", line=7, what=f"{NASTY} has no length", do="Write length_m."),)

    def pages(self) -> tuple[PrintedPage, ...]:
        lines = (f"First {NASTY}", "", "1. Dry your hands.", "2. Power off at the board.")
        drill = PrintedPage(
            id="cut", name=f"Cut {NASTY}", about="drill", lines=lines, digit="1", log="power-cut"
        )
        return (drill, replace(drill, id="load", name="Load", about="amps", digit="", log=""))

    def ahead_page(self, name: str) -> PrintedPage:
        return PrintedPage(
            id=name, name=f"{name} {NASTY}", about="days", lines=(f"IF {NASTY}", " Thu 26  4 to 4.7")
        )

    def trends(self) -> Trends:
        strength = Band(low=1.4, high=1.8)
        return trends_of(
            course_of(self.rack, (*self.older, *self.events)), self.at, {Quantity.CONDUCTIVITY: strength}
        )

    def task_names(self) -> Mapping[str, str]:
        return {"meter": f"Check {NASTY}"}

    def person(self, by: str | None = None) -> Person:
        return self.state.people.get(self.by if by is None else by, Person())

    def today(self, by: str | None = None) -> Today:
        return Today(
            at=self.at,
            rack=self.rack.name,
            by=self.by,
            water_days=12,
            left_open=(
                Item(
                    what=f"Dose of {NASTY}",
                    because="nobody wrote if it was poured",
                    opens="walk:dose",
                    mark="[!]",
                ),
            ),
            due=(Item(what="Round", because="last one Mon 07:40", opens="walk:round"),),
            later=(Item(what="Change day", because="every 21 days, now 12", opens="walk:change"),),
            last_round=("Mon 07:40, Ash: 7 of 8 stations", f"pH 6.1  1.38 mS/cm  {NASTY}"),
            level_l=46.0,
            full_l=60.0,
            least_l=30.0,
            words=(f"Roots at {NASTY} close the outlet slowly.",),
            tiers=tuple(
                TierNow(
                    name=t.name,
                    crops=t.crops,
                    plants=t.plants,
                    litres=5,
                    fill=0.5,
                    flow_l_min=2.0,
                    flow_usual_l_min=None,
                )
                for t in self.rack.tiers
            ),
        )

    def hold(self) -> None:
        if self.held_by:
            raise HeldError(f"the folder is in use ({self.held_by})", "Wait until it is done there.")

    def let_go(self) -> None:
        pass

    def start(self, kind: str, *, by: str, context: Mapping[str, object] | None = None) -> FakeOutcome:
        self.by = by
        if kind not in self.state.walks:
            walk = Walk(kind=kind, id=f"id-{kind}", began=self.at, by=by)
            self.state = replace(self.state, walks={**self.state.walks, kind: walk})
        return self.resume(kind)

    def resume(self, kind: str) -> FakeOutcome:
        return FakeOutcome(engine.prompt(self.state.walks[kind], self.script(kind)))

    def script(self, kind: str) -> FakeScript:
        return FakeScript(rack=self.rack_for_walks or self.rack, kind=kind, numbers_only=self.numbers_only)

    def left_for(self, kind: str) -> timedelta:
        return timedelta(minutes=22)

    def is_stale(self, kind: str) -> bool:
        return self.stale

    def enter(self, kind: str, *, key: str, typed: str, same: bool = False) -> FakeOutcome:
        turn = engine.enter(
            self.state.walks[kind],
            self.script(kind),
            key=key,
            typed=typed,
            now=self.at,
            by=self.by,
            same=same,
        )
        return self._commit(kind, turn)

    def skip(self, kind: str, *, key: str, reason: str, text: str = "") -> FakeOutcome:
        turn = engine.skip(
            self.state.walks[kind],
            self.script(kind),
            key=key,
            reason=reason,
            text=text,
            now=self.at,
            by=self.by,
        )
        return self._commit(kind, turn)

    def note(self, kind: str, *, text: str) -> FakeOutcome:
        walk = self.state.walks[kind]
        return self._commit(kind, engine.note(walk, self.script(kind), text=text, now=self.at, by=self.by))

    def undo(self, kind: str) -> FakeOutcome:
        return self._commit(
            kind, engine.undo(self.state.walks[kind], self.script(kind), now=self.at, by=self.by)
        )

    def look_back(self, kind: str) -> FakeOutcome:
        return self._commit(
            kind, engine.look_back(self.state.walks[kind], self.script(kind), now=self.at, by=self.by)
        )

    def leave(self, kind: str) -> None:
        walk = self.state.walks.get(kind)
        if walk is not None and not walk.entries and kind not in KEPT:
            self.state = replace(self.state, walks={k: w for k, w in self.state.walks.items() if k != kind})

    def redo(self, kind: str) -> FakeOutcome:
        turn = engine.redo(self.state.walks[kind], self.script(kind), section="", now=self.at, by=self.by)
        return self._commit(kind, turn)

    def round_words(self) -> RoundWords:
        return round_words(read_data("round"))

    def slow_list(self) -> SlowList:
        slow = slow_list({name: read_data(name) for name in FILES}, self.rack, self.events, {}, self.at)
        dues = tuple(
            replace(due, task=replace(due.task, silenced=self.silenced.get(due.task.id, "")))
            for due in slow.dues
        )
        return replace(slow, dues=dues)

    def held_elsewhere(self) -> str:
        return self.held_by

    def silence_task(self, task_id: str, reason: str) -> None:
        self.silenced[task_id] = reason

    def restore_task(self, task_id: str) -> None:
        del self.silenced[task_id]

    def add_note(self, text: str) -> None:
        note = Note(id=f"note-{len(self.events)}", seq=0, at=self.at, by=self.by, text=text)
        self.events = (*self.events, note)

    def correct(self, event_id: str, changes: Mapping[str, str]) -> None:
        event = next(event for event in self.events if event.id == event_id)
        new = replace(corrected(event, changes, rack=self.rack, by=self.by), id=f"{event_id}+")
        self.events = effective((*self.events, new))

    def set_form(self, by: str, form: str) -> None:
        self.state = replace(self.state, people={**self.state.people, by: Person(form=form)})

    def _commit(self, kind: str, turn: Turn) -> FakeOutcome:
        if self.gate is not None:
            self.gate.wait()
        if self.slow_s:
            time.sleep(self.slow_s)
        if self.fail:
            self.fail -= 1
            raise StateError("the disk is full", "Make room and try again.", file="state.toml")
        walks, script = {**self.state.walks, kind: turn.walk}, self.script(kind)
        shown = engine.prompt(turn.walk, script, notice=turn.notice, said=turn.said)
        events: tuple[Event, ...] = turn.events
        said: tuple[str, ...] = ()
        if shown is None:
            finish = script.finish(turn.walk, engine.fold(turn.walk.entries), self.at)
            events, said = (*events, *finish.events), finish.said
            del walks[kind]
            self.finished = turn.walk
        self.events = effective((*self.events, *events))
        self.state = replace(self.state, walks=walks)
        return FakeOutcome(shown, said)


def a_note(text: str = NASTY) -> Note:
    return Note(id="note-1", seq=1, at=AT, by="Mo", text=text)
