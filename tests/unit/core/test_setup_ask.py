"""The questions' data and the prompts made of them."""

from __future__ import annotations

import pytest

from tendtui.core.prompt import Kind
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.setup_ask import ask_id, asks_from
from tests.support.setup_data import ASKS

ROW = {"kind": "text", "place": "Here", "ask": "What?"}


@pytest.mark.parametrize(
    ("key", "found"),
    [("tier-12.bore", "tier.bore"), ("rack.name", "rack.name"), ("adjuster-1.acid", "adjuster.acid")],
)
def test_numbered_stations_share_their_data(key: str, found: str) -> None:
    assert ask_id(key) == found


def test_a_prompt_says_unit_usual_and_who_says_so() -> None:
    question = ASKS["source.conductivity"].question("source.conductivity", Show(conductivity="ppm700"))
    assert question.unit == "ppm (scale 700)"
    assert [name for name, _text in question.facts] == ["usual", "empty field"]
    assert question.optional
    assert not question.may_skip


def test_names_are_put_in_and_never_read_as_places_to_fill() -> None:
    question = ASKS["tier.bore"].question("tier-1.bore", Show(), names={"tier": "{n} {tier}"})
    assert question.place == "{n} {tier}"


def test_every_number_has_a_quantity_and_every_choice_its_answers() -> None:
    for ask in ASKS.values():
        assert (ask.quantity is not None) == (ask.kind is Kind.NUMBER)
        assert bool(ask.choices) == (ask.kind is Kind.CHOICE) or ask.id == "edit.which"


def test_what_stands_in_lies_within_what_is_taken() -> None:
    for ask in ASKS.values():
        if ask.stands_in is not None and ask.bounds is not None:
            assert ask.bounds[0] <= ask.stands_in <= ask.bounds[1]
        if ask.likely is not None and ask.bounds is not None:
            assert ask.bounds[0] <= ask.likely[0] < ask.likely[1] <= ask.bounds[1]


def test_data_of_another_shape_is_refused() -> None:
    with pytest.raises(TypeError):
        asks_from({"ask": []})
    with pytest.raises(TypeError):
        asks_from({"ask": {"a.b": {**ROW, "choices": "x"}}})
    with pytest.raises(KeyError):
        asks_from({"ask": {"a.b": {"kind": "text"}}})
    with pytest.raises(ValueError, match="shoe"):
        asks_from({"ask": {"a.b": {**ROW, "kind": "shoe"}}})


def test_a_quantity_is_one_of_the_program() -> None:
    asks = asks_from({"ask": {"a.b": {**ROW, "kind": "number", "quantity": "level", "likely": [1, 2]}}})
    assert asks["a.b"].quantity is Quantity.LEVEL
    assert asks["a.b"].likely == (1.0, 2.0)
