"""Values in people's units and words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from tendtui.core.band import Band
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import (
    day_words,
    how_long,
    how_long_ago,
    number_words,
    quantity_name,
    show_amount,
    show_band,
    show_number,
    show_value,
    unit_words,
    when,
)

METRIC = Show()
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("value", "quantity", "show", "text"),
    [
        (1.2, Quantity.CONDUCTIVITY, METRIC, "1.20 mS/cm"),
        (1.2, Quantity.CONDUCTIVITY, Show(conductivity="uS/cm"), "1200 uS/cm"),
        (1.4, Quantity.CONDUCTIVITY, Show(conductivity="ppm700"), "980 ppm (scale 700)"),
        (6.0, Quantity.PH, METRIC, "pH 6.0"),
        (6.05, Quantity.PH, METRIC, "pH 6.05"),
        (21.11, Quantity.TEMPERATURE, Show(temperature="F"), "70.0 °F"),
        (19.5, Quantity.TEMPERATURE, METRIC, "19.5 °C"),
        (44.0, Quantity.LEVEL, METRIC, "44 litres"),
        (1.0, Quantity.LEVEL, METRIC, "1 litre"),
        (52.9958, Quantity.LEVEL, Show(volume="gal"), "14 US gallons"),
        (0.5, Quantity.LIQUID, METRIC, "0.5 millilitres"),
        (7.0, Quantity.LIQUID, METRIC, "7 millilitres"),
        (1.0, Quantity.POWDER, METRIC, "1 gram"),
        (1.2, Quantity.ALKALINITY, METRIC, "60 milligrams a litre, counted as calcium carbonate"),
        (1.94, Quantity.FLOW, METRIC, "1.9 litres a minute"),
        (0.25, Quantity.FLOW, METRIC, "0.25 litres a minute"),
        (12.0, Quantity.COUNT, METRIC, "12"),
    ],
)
def test_a_value_is_shown_in_the_persons_unit(
    value: float, quantity: Quantity, show: Show, text: str
) -> None:
    assert show_value(value, quantity, show) == text


@pytest.mark.parametrize(
    ("number", "text"),
    [(0.5, "0.5"), (7.0, "7"), (32.50, "32.5"), (100.0, "100"), (0.25, "0.25"), (-0.001, "0")],
)
def test_an_amount_has_no_naked_point_and_no_trailing_nought(number: float, text: str) -> None:
    assert show_amount(number) == text


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (32.5, "thirty-two and a half"),
        (0.5, "a half"),
        (0.25, "a quarter"),
        (7.0, "seven"),
        (0.0, "nought"),
        (20.0, "twenty"),
        (4.3, "four point three"),
        (4.05, "four point nought five"),
        (100.0, "one hundred"),
        (101.0, "one hundred and one"),
        (120.75, "one hundred and twenty and three quarters"),
        (1250.0, "one thousand two hundred and fifty"),
        (12000.0, "12000"),
    ],
)
def test_an_amount_is_spelled(number: float, words: str) -> None:
    assert number_words(number) == words


@pytest.mark.parametrize(
    ("back", "words"),
    [(0, "today"), (1, "yesterday"), (-1, "tomorrow"), (2, "Mon"), (9, "Mon 16 Nov"), (400, "21 Oct 2025")],
)
def test_a_day_is_told_as_people_say_it(back: int, words: str) -> None:
    assert day_words(NOW - timedelta(days=back), NOW) == words


def test_another_offset_is_told_on_this_clock() -> None:
    there = datetime(2026, 11, 24, 23, 30, tzinfo=timezone(timedelta(hours=-1)))
    assert when(there, NOW) == "today 00:30"


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(seconds=20), "less than a minute"),
        (timedelta(minutes=1), "1 minute"),
        (timedelta(minutes=59), "59 minutes"),
        (timedelta(hours=47), "47 hours"),
        (timedelta(days=12), "12 days"),
    ],
)
def test_a_span_is_told_in_its_largest_unit(span: timedelta, words: str) -> None:
    assert how_long(span) == words
    assert how_long_ago(NOW - span, NOW) == f"{words} ago"


def test_a_clock_set_back_is_said() -> None:
    assert how_long_ago(NOW + timedelta(days=365), NOW) == "after this clock's time"


def test_bands_names_and_units() -> None:
    assert show_band(Band(low=1.6, high=2.4), Quantity.FLOW, METRIC) == "1.6 to 2.4"
    assert quantity_name(Quantity.PH) == "pH"
    assert quantity_name(Quantity.LABEL_ML) == "label ml"
    assert unit_words(Quantity.LENGTH_MM, METRIC) == "millimetres"
    assert show_number(3.0, Quantity.SECONDS, METRIC) == "3"


@pytest.mark.parametrize(
    ("quantity", "one", "many"),
    [
        (Quantity.SECONDS, "second", "seconds"),
        (Quantity.DAYS, "day", "days"),
        (Quantity.LIQUID, "millilitre", "millilitres"),
    ],
)
def test_one_of_a_unit_is_singular(quantity: Quantity, one: str, many: str) -> None:
    assert (unit_words(quantity, METRIC, one=True), unit_words(quantity, METRIC)) == (one, many)


def test_a_thousand_and_more_are_spelled() -> None:
    assert number_words(2100.0) == "two thousand one hundred"
    assert number_words(2021.0) == "two thousand and twenty-one"
