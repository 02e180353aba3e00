"""What lies ahead and what was learned, in words."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from tendtui.core.ahead_words import ahead_lines, taught_lines
from tendtui.core.forecast import Days, Outlook
from tendtui.core.forecast_change import ChangeAhead
from tendtui.core.forecast_stock import BottleLeft
from tendtui.core.learn_course import course_of
from tendtui.core.learned import Learning
from tendtui.core.learned_values import Factor
from tendtui.core.pattern_view import View
from tendtui.core.salts_left import Unused
from tendtui.value import replace
from tests.support.fake_session import NASTY, fake_rack

NOW = datetime(2026, 5, 31, 12, 0, tzinfo=UTC)
RACK = replace(fake_rack(), extra={"use_by": {"buffer 7": date(2027, 1, 1)}})
VIEW = View(course=course_of(RACK, ()), learning=Learning(), now=NOW)
NOTHING = Unused(water_l=0.0, sodium_mg_l=None, chloride_mg_l=None, ballast_ms_cm=0.0, surplus_mg_l={})


def told(
    outlook: Outlook | None = None,
    change: ChangeAhead | None = None,
    *,
    left: tuple[BottleLeft, ...] = (),
    past: tuple[tuple[str, date], ...] = (),
    unused: Unused = NOTHING,
) -> str:
    return "\n".join(ahead_lines(VIEW, outlook or Outlook(), change, unused=unused, left=left, past=past))


def test_days_carry_their_range_and_an_open_end() -> None:
    text = told(
        Outlook(ph=Days(value=3.2, low=1.9, high=6.4), least_level=Days(value=9.0, low=7.0, high=None))
    )
    assert "pH leaves its band in about 3 days (2 to 6)." in text
    assert "The pump draws air in about 9 days (7 or more)." in text


def test_a_change_has_a_date_and_a_reason() -> None:
    due = ChangeAhead(days=Days(value=0.0, low=0.0, high=0.0), on=NOW, because="21 days are over.")
    assert "[!] Due now: 21 days are over." in told(change=due)
    later = replace(due, days=Days(value=5.0, low=4.0, high=7.0), on=NOW + timedelta(days=5))
    assert "About Fri 5 Jun, in about 5 days (4 to 7): 21 days are over." in told(change=later)


def test_a_day_that_is_sure_has_no_range() -> None:
    days = ChangeAhead(
        days=Days(value=7.0, low=7.0, high=7.0), on=NOW + timedelta(days=7), because="every 42 days"
    )
    assert "\nSun 7 Jun, in 7 days: every 42 days." in told(change=days)


def test_thirst_stands_with_its_range_in_the_persons_unit() -> None:
    text = told(Outlook(litres_day=3.8, litres_day_range=(3.1, 4.7)))
    assert "The plants drink about 3.8 litres a day (3.1 to 4.7)." in text


def test_a_bottle_that_ends_soon_is_marked_and_named_as_it_is() -> None:
    soon = BottleLeft(what=NASTY, used_day=5.0, left=50.0, days=10.0)
    unknown = BottleLeft(what="Acid", used_day=1.0, left=None, days=None)
    text = told(left=(soon, unknown))
    assert f"[!] {NASTY}: 5 mL a day lately, 50 mL left, lasts 10 days" in text
    assert "rack.toml, [stock]" in text


def test_a_buffer_past_its_date_is_named_and_others_are_not() -> None:
    assert "[!] buffer 4 is past its date, Fri 1 May 2026" in told(past=(("buffer 4", date(2026, 5, 1)),))
    assert "None is past its date." in told()


def test_salts_that_nobody_eats_are_summed() -> None:
    salts = replace(NOTHING, water_l=120.0, sodium_mg_l=48.0, chloride_mg_l=61.0, surplus_mg_l={"S": 20.0})
    text = told(unused=salts)
    assert "In the tank now: sodium about 48 mg/L, chloride about 61 mg/L." in text
    assert "Of the feed the plants leave over: sulfur about 20 mg/L." in text
    assert "makes about 0.08 mS/cm of what the meter shows." in text


def test_what_was_learned_has_counts_and_what_is_held_is_said() -> None:
    learning = Learning(feed=Factor(value=0.88, spread=0.05, count=9), frozen=("feed",), reset={"pipes": NOW})
    text = "\n".join(taught_lines(RACK, learning))
    assert "about 12 % weaker than its label says; 9 pours" in text
    assert "Held by hand, learns nothing more: strength of the feed" in text
    assert "Forgotten by hand Sun 31 May, learned anew since: litres in the pipes" in text
    assert "tendtui learned --hold" in text


def test_before_anything_is_learned_it_says_what_teaches() -> None:
    assert taught_lines(RACK, Learning())[0].startswith("Nothing yet")
