"""Laws of the engine and of the entry of numbers."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from tendtui.core.entry import LIMITS, read_choice, read_number, read_text
from tendtui.core.looks import round_words
from tendtui.core.prompt import Kind
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Rack, Reservoir, Show, Tier
from tendtui.core.round import round_script
from tendtui.core.show import show_number
from tendtui.core.units import UNITS
from tendtui.core.walk import Act, Walk, enter, fold, here, live_entries, look_back, note, redo, skip, undo
from tendtui.errors import OutOfTurnError, RefusedError
from tendtui.value import replace

NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
RACK = Rack(
    name="Porch",
    reservoir=Reservoir(full_l=60.0, least_l=30.0),
    tiers=(Tier(name="Top", pipe_inside_mm=80, length_m=1.2, outlet_height_mm=50, plants=4),),
)
SCRIPT = round_script(
    rack=RACK,
    events=(),
    began=NOW,
    words=round_words(tomllib.loads(Path("tendtui/data/round.toml").read_text(encoding="utf-8"))),
)
EMPTY = Walk(kind="round", id="w", began=NOW, by="Mo")
KEYS = tuple(q.key for s in SCRIPT.stations(fold(())) for q in s.questions)

typed = st.sampled_from(["", "1", "3", "6.1", "46", "4 fluff", "1,420", "nan", "9.9", "2 L/min", "0,5", "x"])
acts = st.one_of(
    st.tuples(st.just("enter"), typed),
    st.tuples(st.just("good"), st.just("")),
    st.tuples(st.just("wrong key"), st.sampled_from(KEYS)),
    st.tuples(st.sampled_from(["back", "undo", "skip", "redo"]), st.just("")),
    st.tuples(st.just("note"), st.sampled_from(["hums", ""])),
)
GOOD = {"level": "46", "conductivity": "1.5", "temperature": "20", "ph": "6.0", "flow": "2 L/min"}


def done(walk: Walk, act: tuple[str, str]) -> Walk:
    """Do one act; a refused one leaves the walk as it was."""
    what, word = act
    at = NOW + timedelta(seconds=len(walk.entries))
    place = here(walk, SCRIPT)
    key = "" if place is None else place[1].key
    try:
        match what:
            case "enter":
                return enter(walk, SCRIPT, key=key, typed=word, now=at, by="Mo").walk
            case "good":
                answer = GOOD.get(key.rpartition(".")[2], "1")
                answer = "" if place is not None and place[1].kind is Kind.PAUSE else answer
                return enter(walk, SCRIPT, key=key, typed=answer, now=at, by="Mo").walk
            case "wrong key":
                return enter(walk, SCRIPT, key=word, typed="1", now=at, by="Mo").walk
            case "back":
                return look_back(walk, SCRIPT, now=at, by="Mo").walk
            case "undo":
                return undo(walk, SCRIPT, now=at, by="Mo").walk
            case "skip":
                return skip(walk, SCRIPT, key=key, reason="no-time", now=at, by="Mo").walk
            case "redo":
                section = "" if place is None else place[0].section
                return redo(walk, SCRIPT, section=section, now=at, by="Mo").walk
            case _:
                return note(walk, SCRIPT, text=word, now=at, by="Mo").walk
    except (RefusedError, OutOfTurnError):
        return walk


def walked(taken: list[tuple[str, str]]) -> Walk:
    walk = EMPTY
    for act in taken:
        walk = done(walk, act)
    return walk


@given(st.lists(acts, max_size=25))
def test_a_walk_only_grows(taken: list[tuple[str, str]]) -> None:
    walk = EMPTY
    for act in taken:
        after = done(walk, act)
        assert after.entries[: len(walk.entries)] == walk.entries
        assert len(after.entries) - len(walk.entries) in (0, 1)
        walk = after


@given(st.lists(acts, max_size=20), acts)
def test_undo_takes_back_just_the_last_thing_said(taken: list[tuple[str, str]], act: tuple[str, str]) -> None:
    before = walked(taken)
    after = done(before, act)
    if after is before or after.entries[-1].act in (Act.UNDO, Act.BACK):
        return
    back = done(after, ("undo", ""))
    assert live_entries(back.entries) == live_entries(before.entries)
    assert fold(back.entries) == fold(before.entries)


@given(st.lists(acts, max_size=25))
def test_looking_back_changes_no_answer(taken: list[tuple[str, str]]) -> None:
    walk = walked(taken)
    back = done(walk, ("back", ""))
    assert fold(back.entries).by_key == fold(walk.entries).by_key
    place = here(back, SCRIPT)
    if back is walk or place is None or place[1].kind is Kind.PAUSE:
        return
    kept = done(back, ("enter", ""))
    assert fold(kept.entries).by_key == fold(walk.entries).by_key
    assert fold(kept.entries).cursor is None


@given(st.lists(acts, max_size=25), st.sampled_from(KEYS), typed)
def test_a_key_for_another_question_changes_nothing(
    taken: list[tuple[str, str]], key: str, word: str
) -> None:
    walk = walked(taken)
    place = here(walk, SCRIPT)
    if place is not None and place[1].key == key:
        return
    try:
        enter(walk, SCRIPT, key=key, typed=word, now=NOW, by="Mo")
    except OutOfTurnError:
        return
    raise AssertionError(f"{key} was taken")


@given(st.lists(acts, max_size=25))
def test_every_round_can_be_finished_and_its_reading_says_what_counts(taken: list[tuple[str, str]]) -> None:
    walk = walked(taken)
    for _step in range(60):
        if here(walk, SCRIPT) is None:
            break
        after = done(walk, ("good", ""))
        walk = after if after is not walk else done(walk, ("skip", ""))
    assert here(walk, SCRIPT) is None
    answers = fold(walk.entries)
    (reading,) = SCRIPT.finish(walk, answers, NOW).events
    numbers = {
        "level.level": reading.level_l,  # type: ignore[attr-defined]
        "ph.ph": reading.ph,  # type: ignore[attr-defined]
    }
    assert numbers == {key: answers.value(key) for key in numbers}


@given(st.lists(acts, max_size=25))
def test_an_entry_belongs_to_the_question_that_was_asked(taken: list[tuple[str, str]]) -> None:
    walk = EMPTY
    for act in taken:
        place = here(walk, SCRIPT)
        after = done(walk, act)
        if after is not walk and after.entries[-1].act in (Act.ANSWER, Act.FIRST, Act.SKIP):
            assert place is not None
            assert after.entries[-1].key == place[1].key
        walk = after


@given(st.text(max_size=60), st.sampled_from(list(Quantity)))
@settings(max_examples=400)
def test_whatever_is_typed_is_a_number_in_its_limits_or_a_sentence(text: str, quantity: Quantity) -> None:
    refused: RefusedError | None = None
    value = LIMITS[quantity][0]
    try:
        value = read_number(text, quantity=quantity, show=Show(), meter=Meter())
    except RefusedError as error:
        refused = error
    low, high = LIMITS[quantity]
    assert low <= value <= high
    assert refused is None or (refused.do and str(refused).isprintable() and len(str(refused)) < 220)


@given(st.integers(0, 3000), st.sampled_from([".", ","]), st.sampled_from(["", " ", "  "]))
def test_point_and_comma_are_the_same(hundredths: int, point: str, blank: str) -> None:
    text = f"{hundredths // 100}{point}{hundredths % 100:02d}{blank}mS"
    read = read_number(text, quantity=Quantity.CONDUCTIVITY, show=Show(), meter=Meter())
    assert abs(read - hundredths / 100.0) < 1e-9


@given(
    st.sampled_from(["mS/cm", "uS/cm", "ppm500", "ppm640", "ppm700"]),
    st.integers(5, 600),
)
def test_a_strength_shown_and_typed_again_is_the_same_within_the_meters_step(
    unit: str, hundredths: int
) -> None:
    show = replace(Show(), conductivity=unit)
    value = hundredths / 100.0
    shown = show_number(value, Quantity.CONDUCTIVITY, show)
    again = read_number(shown, quantity=Quantity.CONDUCTIVITY, show=show, meter=Meter())
    assert abs(again - value) <= 0.0051


@given(st.sampled_from(["C", "F"]), st.sampled_from(["L", "gal"]), st.integers(0, 1000))
def test_warmth_and_water_shown_and_typed_again_are_the_same(warmth: str, water: str, tenths: int) -> None:
    show = replace(Show(), temperature=warmth, volume=water)
    value = tenths / 10.0
    for quantity, within in ((Quantity.TEMPERATURE, 0.051), (Quantity.VOLUME, 0.2)):
        again = read_number(show_number(value, quantity, show), quantity=quantity, show=show, meter=Meter())
        assert abs(again - value) <= within


@given(st.sampled_from([(q, u) for q, units in UNITS.items() for u in units]), st.floats(0.0, 1e4))
def test_a_unit_goes_there_and_back(pair: tuple[Quantity, object], number: float) -> None:
    unit = next(u for u in UNITS[pair[0]] if u is pair[1])
    assert abs(unit.shown(unit.stored(number)) - number) <= 1e-6 * max(1.0, number)


@given(st.text(max_size=700))
def test_words_are_kept_without_what_steers_a_terminal(text: str) -> None:
    try:
        read = read_text(text)
    except RefusedError:
        return
    assert read
    assert len(read) <= 500
    assert all(c.isprintable() or c in "\u200c\u200d" or c.isspace() for c in read)


@given(st.text(max_size=20))
def test_a_look_takes_its_digits_and_words_only(text: str) -> None:
    question = next(q for s in SCRIPT.stops for q in s.questions if q.kind is Kind.CHOICE)
    try:
        choice, words = read_choice(text, question.choices)
    except RefusedError:
        return
    assert choice in question.choices
    assert not choice.ask_text or words
