"""A pattern's page: what was seen, how sure, by which readings, what to check first, what to do."""

from __future__ import annotations

from tendtui.core.learned import Learning, Pace
from tendtui.core.sign_words import sign_lines
from tests.unit.core.test_pattern import CALM, PATTERNS, closing, leaves, ph_log, speak, twice
from tests.unit.core.test_pattern import LIMP as DROOPING


def test_each_says_its_evidence_how_sure_it_is_what_to_check_and_what_to_do() -> None:
    (sign,) = (s for s in speak(closing(2), 43).values() if s.pattern.id == "outlet-closing")
    text = "\n".join(sign_lines((sign,), PATTERNS))
    assert text.startswith("[!] Three: An outlet gives less than the one above it, and less each time")
    assert "Likely: roots or debris are closing it." in text
    assert "Seen: Three: " in text
    assert "litres a minute. Two gave " in text
    assert "Check first: Is the water in that pipe higher than usual?" in text
    assert "Then: Pump off, hands dry." in text


def test_the_most_pressing_stands_first_and_what_needs_nothing_last() -> None:
    found = speak((*twice(ph=7.2), *(leaves(day, *[DROOPING] * 3) for day in (20.1, 20.2))), 20)
    lines = sign_lines(tuple(found.values()), PATTERNS)
    marked = [line for line in lines if line.startswith("[!]")]
    assert len(marked) == sum(sign.pattern.alarm for sign in found.values())
    assert lines.index(marked[-1]) < lines.index("ONLY EYES CAN TELL")


def test_a_quiet_rack_says_so_and_names_what_no_reading_shows() -> None:
    lines = sign_lines((), PATTERNS)
    assert lines[0] == "Nothing in the readings looks wrong."
    assert any(line.startswith("The water clouds after mixing") for line in lines)


def test_what_needs_nothing_is_told_apart() -> None:
    learned = Learning(ph_day=Pace(value=0.15, spread=0.05, count=20))
    lines = sign_lines(tuple(speak(ph_log(*CALM), 19, learning=learned).values()), PATTERNS)
    assert lines[0] == "Nothing in the readings looks wrong."
    calm = lines.index("ALSO SEEN")
    assert lines[calm + 1] == "pH climbs a little each day."
    assert "    Seen: +0.15 a day, seen on 20 days." in lines
