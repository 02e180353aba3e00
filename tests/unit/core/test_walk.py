"""The engine: what an act does to a walk."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from tendtui.core.event import Event, Note, Poured, effective
from tendtui.core.prompt import Choice, Kind, Mark, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Show
from tendtui.core.walk import (
    Act,
    Answers,
    Entry,
    Finish,
    Judgement,
    Turn,
    Walk,
    enter,
    fold,
    here,
    look_back,
    note,
    prompt,
    redo,
    skip,
    undo,
)
from tendtui.errors import OutOfTurnError, RefusedError
from tendtui.value import field, replace, value_class

NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)

PH = Question(
    key="meters.ph", place="reservoir", ask="pH?", kind=Kind.NUMBER, quantity=Quantity.PH, same="6.1"
)
ROOTS = Question(
    key="Top.roots",
    place="Top",
    ask="What do you see?",
    kind=Kind.CHOICE,
    after="Last time: white (Mon).",
    choices=(
        Choice(digit="1", word="white", text="white"),
        Choice(digit="2", word="slime", text="slimy", look=True, advice="Lift that plant out today."),
        Choice(digit="4", word="else", text="something else", ask_text=True),
        Choice(digit="5", word="could-not-look", text="could not look", skips=True),
    ),
)
POUR = Question(
    key="pour.ml",
    place="reservoir",
    ask="Poured?",
    kind=Kind.NUMBER,
    quantity=Quantity.LIQUID,
    may_skip=False,
)
PAUSE = Question(key="pause.seen", place="", ask="Go on?", kind=Kind.PAUSE)


@value_class(kw_only=False)
class SmallScript:
    """Four questions; above pH 8 is unusual, above 1000 mL is refused, a pour makes an event."""

    kind: str = "small"
    title: str = "SMALL"
    show: Show = field(default_factory=Show)
    meter: Meter = field(default_factory=Meter)

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        return (
            Station(id="meters", name="pH", questions=(PH,), section="meters"),
            Station(id="pause", name="", questions=(PAUSE,), section="meters", listed=False),
            Station(id="Top", name="Top", questions=(ROOTS,), section="tiers"),
            Station(id="pour", name="pour", questions=(POUR,), section="pour"),
        )

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        if question is PH and value > 8.0:
            return Judgement(again="8 is far from the last pH.")
        return Judgement(notice="above the band" if question is PH and value > 6.5 else "")

    def near(self, question: Question, first: float, second: float) -> bool:
        return abs(first - second) <= 0.2

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        return "No bottle holds that." if typed.value is not None and typed.value > 1000.0 else ""

    def found(self, station: Station, answers: Answers) -> str:
        return answers.by_key[station.questions[0].key].typed

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        if question is not POUR or not entry.value:
            return ()
        return (Poured(id="", seq=0, at=entry.at, what="Feed A", ml=entry.value),)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        return Finish()


SCRIPT = SmallScript()
EMPTY = Walk(kind="small", id="w1", began=NOW, by="Mo")
Step = Callable[[Walk], Turn]


def put(key: str, typed: str, *, same: bool = False) -> Step:
    return lambda walk: enter(walk, SCRIPT, key=key, typed=typed, now=NOW, by="Mo", same=same)


def leave(key: str, reason: str = "no-time") -> Step:
    return lambda walk: skip(walk, SCRIPT, key=key, reason=reason, now=NOW, by="Mo")


def back(walk: Walk) -> Turn:
    return look_back(walk, SCRIPT, now=NOW, by="Mo")


def takeback(walk: Walk) -> Turn:
    return undo(walk, SCRIPT, now=NOW, by="Mo")


def walked(*steps: Step) -> Walk:
    walk = EMPTY
    for step in steps:
        walk = step(walk).walk
    return walk


def logged(*steps: Step) -> tuple[Event, ...]:
    walk, events = EMPTY, list[Event]()
    for step in steps:
        turn = step(walk)
        walk = turn.walk
        events += [replace(event, seq=len(events) + n) for n, event in enumerate(turn.events)]
    return tuple(e for e in effective(events) if not (isinstance(e, Note) and e.replaces))


def poured(*steps: Step) -> list[float | None]:
    return [event.ml for event in logged(*steps) if isinstance(event, Poured)]


def asked(walk: Walk) -> str | None:
    place = here(walk, SCRIPT)
    return None if place is None else place[1].key


THREE = (put("meters.ph", "6.1"), put("pause.seen", ""), put("Top.roots", "1"))


def test_an_answer_leads_to_the_next_question() -> None:
    assert asked(EMPTY) == "meters.ph"
    assert asked(walked(put("meters.ph", "6.1"))) == "pause.seen"
    assert asked(walked(*THREE, put("pour.ml", "5"))) is None


def test_a_key_for_another_question_changes_nothing() -> None:
    with pytest.raises(OutOfTurnError, match=r"Top\.roots is not the question asked now; meters\.ph is"):
        put("Top.roots", "1")(EMPTY)
    with pytest.raises(OutOfTurnError, match="nothing is"):
        put("meters.ph", "6.1")(walked(*THREE, put("pour.ml", "5")))


def test_an_unusual_value_is_measured_again() -> None:
    turn = put("meters.ph", "9.1")(EMPTY)
    assert turn.notice == "[!] 8 is far from the last pH."
    shown = prompt(turn.walk, SCRIPT)
    assert shown is not None
    assert (shown.question.key, shown.first) == ("meters.ph", "9.1")
    assert shown.notice == "[!] 8 is far from the last pH."


@pytest.mark.parametrize(
    ("second", "doubt", "look", "notice"),
    [
        ("6.1", False, False, "pH: the second counts. Both are kept."),
        ("9.0", False, True, "[!] pH: twice the same. It is taken as true and marked."),
        (
            "8.2",
            True,
            True,
            "[!] pH: two readings that don't agree. The second is kept with a mark; measure it again later.",
        ),
    ],
)
def test_the_second_reading_settles_it(second: str, doubt: bool, look: bool, notice: str) -> None:
    turn = put("meters.ph", second)(walked(put("meters.ph", "9.1")))
    answer = fold(turn.walk.entries).by_key["meters.ph"]
    assert (answer.value, answer.first) == (float(second), 9.1)
    assert (answer.doubt, answer.look, turn.notice) == (doubt, look, notice)


def test_a_first_reading_left_without_its_second_is_kept() -> None:
    answer = fold(walked(put("meters.ph", "9.1"), leave("meters.ph")).entries).by_key["meters.ph"]
    assert (answer.value, answer.first, answer.reason) == (None, 9.1, "no-time")


def test_a_refused_answer_says_why() -> None:
    with pytest.raises(RefusedError) as refused:
        put("pour.ml", "1001")(walked(*THREE))
    assert str(refused.value).strip() == "No bottle holds that."


def test_a_pause_takes_nothing_but_enter() -> None:
    with pytest.raises(RefusedError, match=r"Here is nothing to type\. Press Enter to go on\."):
        put("pause.seen", "6.1")(walked(put("meters.ph", "6.1")))


def test_what_was_seen_last_time_is_said_after_the_answer() -> None:
    turn = put("Top.roots", "2")(walked(*THREE[:2]))
    assert turn.notice == "[!] Lift that plant out today. Last time: white (Mon)."


def test_could_not_look_counts_as_not_done() -> None:
    walk = walked(*THREE[:2], put("Top.roots", "5"))
    answer = fold(walk.entries).by_key["Top.roots"]
    assert (answer.word, answer.reason) == ("", "could-not-look")


def test_same_is_only_what_was_offered() -> None:
    assert fold(walked(put("meters.ph", "6.1", same=True)).entries).by_key["meters.ph"].same
    assert not fold(walked(put("meters.ph", "6.2", same=True)).entries).by_key["meters.ph"].same


def test_going_back_loses_nothing_and_enter_goes_on() -> None:
    walk = walked(*THREE, back)
    assert asked(walk) == "Top.roots"
    shown = prompt(walk, SCRIPT)
    assert shown is not None
    assert shown.answered == "white"
    assert shown.recent == ("pH: 6.1", "Top: white")
    turn = put("Top.roots", "")(walk)
    assert (asked(turn.walk), turn.said) == ("pour.ml", "Kept as it was.")
    assert fold(turn.walk.entries).by_key == fold(walked(*THREE).entries).by_key


def test_there_is_nothing_before_the_first_question() -> None:
    with pytest.raises(RefusedError, match="This is the first question"):
        back(EMPTY)


def test_a_pour_typed_anew_is_logged_once() -> None:
    steps = (*THREE, put("pour.ml", "50"), back, put("pour.ml", "5"))
    assert poured(*steps) == [5.0]


def test_undo_of_a_correction_brings_the_older_pour_back() -> None:
    steps = (*THREE, put("pour.ml", "50"), back, put("pour.ml", "5"), takeback)
    assert poured(*steps) == [50.0]
    assert fold(walked(*steps).entries).value("pour.ml") == 50.0
    assert poured(*steps, takeback) == []


def test_a_pour_corrected_to_nothing_is_taken_out_and_can_come_back() -> None:
    steps = (*THREE, put("pour.ml", "50"), back, put("pour.ml", "0"))
    assert poured(*steps) == []
    assert poured(*steps, takeback) == [50.0]


def test_undo_says_what_it_takes_back() -> None:
    turn = takeback(walked(*THREE, put("pour.ml", "50")))
    assert turn.said == "Taken back: reservoir, 50 millilitres. This changes the diary, not the water."
    assert takeback(walked(put("meters.ph", "6.1"), leave("pause.seen"))).said == (
        "Taken back: not done: no time."
    )
    assert takeback(walked(*THREE[:2])).said == "Taken back: going on."
    again = redo(walked(*THREE), SCRIPT, section="meters", now=NOW, by="Mo").walk
    assert takeback(again).said == "Taken back: doing this part again."


def test_undo_passes_over_having_looked_back() -> None:
    walk = walked(*THREE, back, back, takeback)
    assert fold(walk.entries) == fold(walked(*THREE[:2]).entries)


def test_there_is_nothing_to_undo_in_a_new_walk() -> None:
    with pytest.raises(RefusedError, match="There is nothing to undo"):
        takeback(EMPTY)


def test_a_pour_cannot_be_left_out() -> None:
    with pytest.raises(RefusedError, match=r"This one can't be left out\. Answer it, or pause\."):
        leave("pour.ml")(walked(*THREE))


def test_a_section_done_again_forgets_its_answers_but_not_what_was_poured() -> None:
    walk = walked(*THREE, put("pour.ml", "50"))
    again = redo(walk, SCRIPT, section="meters", now=NOW, by="Mo")
    assert asked(again.walk) == "meters.ph"
    assert fold(again.walk.entries).word("Top.roots") == "white"
    with pytest.raises(RefusedError, match="nothing here to do again"):
        redo(walk, SCRIPT, section="pour", now=NOW, by="Mo")


def test_notes_on_a_station_add_up() -> None:
    walk = note(EMPTY, SCRIPT, text="pump hums", now=NOW, by="Mo").walk
    walk = note(walk, SCRIPT, text="lid was off", now=NOW, by="Ash").walk
    assert fold(walk.entries).notes == {"meters": "pump hums; lid was off"}
    shown = prompt(walk, SCRIPT)
    assert shown is not None
    assert shown.note == "pump hums; lid was off"
    assert (
        note(walked(*THREE, put("pour.ml", "5")), SCRIPT, text="x", now=NOW, by="Mo").walk.entries[-1].key
        == ""
    )


def test_the_list_shows_where_one_stands() -> None:
    shown = prompt(walked(put("meters.ph", "9.1"), put("meters.ph", "9.1"), put("pause.seen", "")), SCRIPT)
    assert shown is not None
    assert shown.stage == "station 2 of 3, question 1 of 1"
    assert [(row.mark, row.name, row.found) for row in shown.rows] == [
        (Mark.LOOK, "pH", "9.1"),
        (Mark.HERE, "Top", ""),
        (Mark.OPEN, "pour", ""),
    ]
    assert shown.recent == ("pH: 9.1",)


def test_a_skipped_station_is_marked_not_done() -> None:
    shown = prompt(walked(leave("meters.ph"), put("pause.seen", "")), SCRIPT)
    assert shown is not None
    assert shown.rows[0].mark is Mark.NOT_DONE
    in_pause = prompt(walked(leave("meters.ph")), SCRIPT)
    assert in_pause is not None
    assert in_pause.stage == ""


def test_a_finished_walk_has_no_prompt() -> None:
    assert prompt(walked(*THREE, put("pour.ml", "5")), SCRIPT) is None


def test_an_empty_field_is_an_answer_where_one_may_not_know() -> None:
    unknown = replace(PH, optional=True)

    class Asking(SmallScript):
        def stations(self, answers: Answers) -> tuple[Station, ...]:
            return (Station(id="meters", name="pH", questions=(unknown,)),)

    turn = enter(EMPTY, Asking(), key="meters.ph", typed=" ", now=NOW, by="Mo")
    assert fold(turn.walk.entries).word("meters.ph") == "unknown"


def test_a_text_is_read_against_the_label() -> None:
    label = Question(key="label.name", place="", ask="Label?", kind=Kind.TEXT, expects=("Feed A",))

    class Asking(SmallScript):
        def stations(self, answers: Answers) -> tuple[Station, ...]:
            return (Station(id="label", name="label", questions=(label,)),)

    turn = enter(EMPTY, Asking(), key="label.name", typed="feed a", now=NOW, by="Mo")
    assert fold(turn.walk.entries).text("label.name") == "Feed A"


def test_a_number_without_a_quantity_is_a_fault_of_the_script() -> None:
    bare = Question(key="bare.n", place="", ask="?", kind=Kind.NUMBER)

    class Asking(SmallScript):
        def stations(self, answers: Answers) -> tuple[Station, ...]:
            return (Station(id="bare", name="bare", questions=(bare,)),)

    with pytest.raises(ValueError, match=r"bare\.n asks for a number"):
        enter(EMPTY, Asking(), key="bare.n", typed="1", now=NOW, by="Mo")


def test_a_first_reading_is_done_again_with_its_section() -> None:
    walk = redo(walked(put("meters.ph", "9.1")), SCRIPT, section="meters", now=NOW, by="Mo").walk
    assert fold(walk.entries) == fold(())


def test_a_look_back_at_a_question_that_is_gone_asks_the_first_open_one() -> None:
    walk = walked(*THREE, back)
    gone = replace(walk, entries=(*walk.entries[:-1], replace(walk.entries[-1], key="gone.q")))
    assert asked(gone) == "pour.ml"


def test_a_reason_is_said_in_words() -> None:
    shown = prompt(walked(leave("meters.ph"), put("pause.seen", ""), put("Top.roots", "5"), back), SCRIPT)
    assert shown is not None
    assert shown.recent == ("pH: no time", "Top: could not look")
    assert shown.answered == "could not look"


def test_an_undo_with_nothing_before_it_is_harmless() -> None:
    stray = Entry(key="x", act=Act.UNDO, at=NOW)
    assert fold((stray,)) == fold(())
