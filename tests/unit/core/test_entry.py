"""What people type, good and bad."""

from __future__ import annotations

import pytest

from tendtui.core.entry import LIMITS, read_choice, read_number, read_text
from tendtui.core.prompt import Choice
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Show
from tendtui.errors import RefusedError
from tendtui.store.event_table import KINDS

METRIC = Show()
AMERICAN = Show(conductivity="ppm500", temperature="F", volume="gal")
CHOICES = (
    Choice(digit="1", word="cream-firm", text="white or cream, firm"),
    Choice(digit="4", word="else", text="something else", look=True, ask_text=True),
)


def number(typed: str, quantity: Quantity, show: Show = METRIC, meter: Meter | None = None) -> float:
    return read_number(typed, quantity=quantity, show=show, meter=meter or Meter())


@pytest.mark.parametrize(
    ("typed", "quantity", "stored"),
    [
        ("1.42", Quantity.CONDUCTIVITY, 1.42),
        ("1.2mS/cm", Quantity.CONDUCTIVITY, 1.2),
        ("1.2 mS", Quantity.CONDUCTIVITY, 1.2),
        ("1420 µS/cm", Quantity.CONDUCTIVITY, 1.42),
        ("1420μS", Quantity.CONDUCTIVITY, 1.42),
        ("1420us/cm", Quantity.CONDUCTIVITY, 1.42),
        ("840ppm500", Quantity.CONDUCTIVITY, 1.68),
        ("840 ppm 500", Quantity.CONDUCTIVITY, 1.68),
        ("896ppm640", Quantity.CONDUCTIVITY, 1.4),
        ("980PPM700", Quantity.CONDUCTIVITY, 1.4),
        ("700ppm", Quantity.CONDUCTIVITY, 1.4),
        ("70F", Quantity.TEMPERATURE, 21.1111),
        ("21 °C", Quantity.TEMPERATURE, 21.0),
        ("-2", Quantity.TEMPERATURE, -2.0),
        ("14gal", Quantity.LEVEL, 52.9958),
        ("12,5", Quantity.LEVEL, 12.5),
        (".5", Quantity.LIQUID, 0.5),
        ("5.", Quantity.LIQUID, 5.0),
        ("0,125", Quantity.LABEL_G, 0.125),
        ("60mg", Quantity.ALKALINITY, 1.19895),
        ("60", Quantity.ALKALINITY, 1.19895),
        ("1.2meq", Quantity.ALKALINITY, 1.2),
        ("3.4dKH", Quantity.ALKALINITY, 1.21261),
        ("2", Quantity.FLOW, 2.0),
        ("120 l/h", Quantity.FLOW, 2.0),
        ("  6.1  ", Quantity.PH, 6.1),
        ("6.1 pH", Quantity.PH, 6.1),
    ],
)
def test_a_number_is_read_in_its_stored_unit(typed: str, quantity: Quantity, stored: float) -> None:
    assert number(typed, quantity) == pytest.approx(stored, abs=5e-5)


def test_a_bare_number_is_in_the_persons_unit() -> None:
    assert number("700", Quantity.CONDUCTIVITY, AMERICAN) == pytest.approx(1.4)
    assert number("70", Quantity.TEMPERATURE, AMERICAN) == pytest.approx(21.1111, abs=5e-5)
    assert number("14", Quantity.VOLUME, AMERICAN) == pytest.approx(52.9958, abs=5e-5)


def test_a_typed_unit_wins_over_the_setting() -> None:
    assert number("1.4 mS/cm", Quantity.CONDUCTIVITY, AMERICAN) == pytest.approx(1.4)
    assert number("21C", Quantity.TEMPERATURE, AMERICAN) == pytest.approx(21.0)


def test_a_bare_ppm_is_on_the_meters_scale() -> None:
    assert number("980 ppm", Quantity.CONDUCTIVITY, meter=Meter(ppm_scale=700)) == pytest.approx(1.4)
    assert number("980 ppm", Quantity.CONDUCTIVITY, AMERICAN, Meter(ppm_scale=700)) == pytest.approx(1.4)


@pytest.mark.parametrize(
    ("typed", "quantity", "sentence"),
    [
        ("", Quantity.PH, "Nothing was typed. Type a number, or mark it as not done."),
        ("   ", Quantity.PH, "Nothing was typed. Type a number, or mark it as not done."),
        ("--", Quantity.PH, "-- is not a number. Type the number alone, like 1.42 or 21."),
        ("nan", Quantity.PH, "nan is not a number. Type the number alone, like 1.42 or 21."),
        ("inf", Quantity.PH, "inf is not a number. Type the number alone, like 1.42 or 21."),
        (".", Quantity.PH, ". is not a number. Type the number alone, like 1.42 or 21."),
        (
            "1e9",
            Quantity.LEVEL,
            "1e9 is written with an exponent. Write the number out, with digits and one point.",
        ),
        (
            "7" * 200,
            Quantity.PH,
            "That is 200 letters, too long for a number. Type one number and, if you like, its unit.",
        ),
        ("٦٫١", Quantity.PH, "٦٫١ holds digits that can be misread here. Type it with 0 1 2 3 4 5 6 7 8 9."),
        (
            "6.\x1b[C1",
            Quantity.PH,
            "Something came with it that is not a letter or a digit. Type the number by hand.",
        ),
        (
            "6.1\x00",
            Quantity.PH,
            "Something came with it that is not a letter or a digit. Type the number by hand.",
        ),
        ("1,420", Quantity.CONDUCTIVITY, "1,420 can be read as 1.420 or as 1420. Type 1.420 or 1420."),
        (
            "1.2.3",
            Quantity.PH,
            "1.2.3 has more than one point or comma. Type one point or one comma, and no mark for thousands.",
        ),
        (
            "1,234.5",
            Quantity.PH,
            "1,234.5 has more than one point or comma. Type one point "
            "or one comma, and no mark for thousands.",
        ),
        ("1.42 1.43", Quantity.PH, "1.42 1.43 holds more than one number. Type one number."),
        ("-3", Quantity.LEVEL, "-3 is below nothing. Type it without the minus."),
        (
            "21 F",
            Quantity.LEVEL,
            "F is a unit of something else. Type the number alone, or with one of: L, gal, mL.",
        ),
        (
            "21 q",
            Quantity.LEVEL,
            "q is no unit known here. Type the number alone, or with one of: L, gal, mL.",
        ),
        (
            "840ppm300",
            Quantity.CONDUCTIVITY,
            "ppm300 is no unit known here. Type the number alone, "
            "or with one of: mS/cm, uS/cm, mS/m, ppm500, ppm640, ppm700.",
        ),
        (
            "6.123",
            Quantity.PH,
            "6.123 has more decimals than can be read off. Type what the meter "
            "shows, with 2 at most after the point.",
        ),
        ("15", Quantity.PH, "15 can't be: it goes from 0 to 14. Look again and type what you see."),
        (
            "300F",
            Quantity.TEMPERATURE,
            "300 F can't be: it goes from 23 to 212. Look again and type what you see.",
        ),
        ("2.5", Quantity.COUNT, "2.5 is not a whole number. Count them."),
        ("3 m", Quantity.COUNT, "m does not belong here. Type the number alone."),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_way_out(typed: str, quantity: Quantity, sentence: str) -> None:
    with pytest.raises(RefusedError) as refused:
        number(typed, quantity)
    assert str(refused.value) == sentence


def test_decimals_follow_the_unit_typed() -> None:
    assert number("1.425", Quantity.CONDUCTIVITY) == pytest.approx(1.425)
    with pytest.raises(RefusedError):
        number("1420.55 uS/cm", Quantity.CONDUCTIVITY)


def test_seconds_for_the_jug_become_a_flow() -> None:
    jug = 2.0
    read = read_number("60", quantity=Quantity.FLOW, show=METRIC, meter=Meter(), jug_l=jug)
    assert read == pytest.approx(2.0)
    assert read_number(
        "1 min", quantity=Quantity.FLOW, show=METRIC, meter=Meter(), jug_l=jug
    ) == pytest.approx(2.0)
    typed_flow = read_number("1.9 L/min", quantity=Quantity.FLOW, show=METRIC, meter=Meter(), jug_l=jug)
    assert typed_flow == pytest.approx(1.9)


@pytest.mark.parametrize(("typed", "seconds"), [("1:20", 80.0), ("0:43,5", 43.5), ("12:00", 720.0)])
def test_a_time_is_read_as_a_stopwatch_shows_it(typed: str, seconds: float) -> None:
    assert number(typed, Quantity.SECONDS) == seconds
    flow = read_number(typed, quantity=Quantity.FLOW, show=METRIC, meter=Meter(), jug_l=2.0)
    assert flow == pytest.approx(120.0 / seconds)


@pytest.mark.parametrize(("typed", "quantity"), [("1:20", Quantity.LEVEL), ("1:75", Quantity.SECONDS)])
def test_a_colon_is_no_point(typed: str, quantity: Quantity) -> None:
    with pytest.raises(RefusedError, match=r"holds more than one number\. Type one number\."):
        number(typed, quantity)


def test_no_time_fills_no_jug() -> None:
    with pytest.raises(RefusedError, match="no time"):
        read_number("0", quantity=Quantity.FLOW, show=METRIC, meter=Meter(), jug_l=2.0)


def test_a_choice_is_its_digit_or_its_word() -> None:
    assert read_choice(" 1 ", CHOICES) == (CHOICES[0], "")
    assert read_choice("Cream-Firm", CHOICES) == (CHOICES[0], "")
    assert read_choice("4 white fluff", CHOICES) == (CHOICES[1], "white fluff")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Nothing was typed. Type one of 1, 4."),
        ("9", "9 is none of the answers. Type one of 1, 4."),
        ("11", "11 is none of the answers. Type one of 1, 4."),
        ("4", "Say in a few words what it is. Type them after the 4, with a blank between."),
    ],
)
def test_no_other_answer_is_taken(typed: str, sentence: str) -> None:
    with pytest.raises(RefusedError) as refused:
        read_choice(typed, CHOICES)
    assert str(refused.value) == sentence


def test_control_characters_are_left_out_of_words() -> None:
    assert read_text("pump\x1b[31m [/ A]\t3\n\u202eok") == "pump [31m [/ A] 3 ok"


def test_the_label_must_be_one_of_those_meant() -> None:
    assert read_text("feed  a ", expects=("Feed A", "Feed B")) == "Feed A"
    with pytest.raises(RefusedError, match=r"Feed C is not Feed A or Feed B\. Look at the label again"):
        read_text("Feed C", expects=("Feed A", "Feed B"))


def test_words_have_an_end() -> None:
    with pytest.raises(RefusedError, match="501 letters"):
        read_text("x" * 501)
    with pytest.raises(RefusedError, match="Nothing was typed"):
        read_text("\x00\x07")


@pytest.mark.parametrize(
    ("quantity", "column"),
    [
        (Quantity.LEVEL, "level_l"),
        (Quantity.CONDUCTIVITY, "conductivity_ms_cm"),
        (Quantity.PH, "ph"),
        (Quantity.TEMPERATURE, "temperature_c"),
        (Quantity.ALKALINITY, "alkalinity_meq_l"),
    ],
)
def test_whatever_is_taken_can_be_read_back_from_the_log(quantity: Quantity, column: str) -> None:
    low, high = LIMITS[quantity]
    held = KINDS["reading"].columns[column]
    assert held.low <= low
    assert held.high >= high
