from __future__ import annotations

import copy
import pickle
from collections.abc import Mapping
from functools import cached_property

import pytest

from tendtui.value import REQUIRED, Field, FrozenValueError, field, fields, replace, value_class


@value_class
class Cup:
    litres: float
    name: str = "cup"
    marks: Mapping[str, float] = field(default_factory=dict)


@value_class
class Jug(Cup):
    lip: bool = True
    scratched: int = field(compare=False, default_factory=int)


@value_class(kw_only=False)
class Pair:
    one: int
    two: int = 2


@value_class(frozen=False)
class Tally:
    count: int = 0


@value_class
class Whole:
    litres: float

    def __post_init__(self) -> None:
        if self.litres < 0:
            raise ValueError("below nothing")


def test_what_is_not_given_is_the_default() -> None:
    cup = Cup(litres=0.2)
    assert (cup.litres, cup.name, cup.marks) == (0.2, "cup", {})


def test_a_made_default_is_each_values_own() -> None:
    assert Cup(litres=1.0).marks is not Cup(litres=1.0).marks


def test_fields_of_the_base_come_first() -> None:
    assert [f.name for f in fields(Jug)] == ["litres", "name", "marks", "lip", "scratched"]
    assert fields(Pair) == (Field("one", REQUIRED), Field("two", 2))


@pytest.mark.parametrize(
    ("given", "says"),
    [({}, "Cup lacks litres"), ({"litres": 1.0, "handle": 2}, "Cup has no field handle")],
)
def test_too_little_and_too_much_are_refused(given: dict[str, float], says: str) -> None:
    with pytest.raises(TypeError, match=says):
        Cup(**given)  # type: ignore[arg-type]  # wrong on purpose


def test_a_value_cannot_be_changed() -> None:
    cup = Cup(litres=0.2)
    with pytest.raises(FrozenValueError, match=r"Cup\.litres can't be changed"):
        cup.litres = 3.0  # type: ignore[misc]  # wrong on purpose
    with pytest.raises(FrozenValueError):
        del cup.litres
    assert cup == Cup(litres=0.2)


def test_values_are_compared_by_class_and_content() -> None:
    assert Cup(litres=1.0) == Cup(litres=1.0)
    assert Cup(litres=1.0) != Cup(litres=2.0)
    assert Jug(litres=1.0) != Cup(litres=1.0)
    assert hash(Pair(1)) == hash(Pair(1, 2))


def test_a_field_can_stand_apart_from_comparing() -> None:
    assert Jug(litres=1.0, scratched=3) == Jug(litres=1.0)
    assert Jug(litres=1.0, lip=False) != Jug(litres=1.0)


def test_replace_makes_a_new_value() -> None:
    cup = Cup(litres=1.0)
    assert replace(cup, name="mug") == Cup(litres=1.0, name="mug")
    assert cup.name == "cup"
    with pytest.raises(TypeError, match="no field handle"):
        replace(cup, handle=1)


def test_in_order_where_it_is_allowed() -> None:
    assert Pair(1, 3) == Pair(1, two=3)
    with pytest.raises(TypeError, match="twice"):
        Pair(1, one=2)  # type: ignore[misc]  # wrong on purpose
    with pytest.raises(TypeError, match="only 2 fields"):
        Pair(1, 2, 3)  # type: ignore[call-arg]  # wrong on purpose


def test_a_free_one_changes_and_has_no_hash() -> None:
    tally = Tally()
    tally.count += 1
    assert tally == Tally(count=1)
    with pytest.raises(TypeError, match="unhashable"):
        hash(tally)


def test_a_class_may_refuse_what_it_is_given() -> None:
    with pytest.raises(ValueError, match="below nothing"):
        Whole(litres=-1.0)
    with pytest.raises(ValueError, match="below nothing"):
        replace(Whole(litres=1.0), litres=-1.0)


def test_it_is_told_copied_and_kept_like_any_value() -> None:
    cup = Cup(litres=1.0)
    assert repr(cup) == "Cup(litres=1.0, name='cup', marks={})"
    assert copy.deepcopy(cup) == cup
    assert pickle.loads(pickle.dumps(cup)) == cup


def test_what_is_no_value_has_no_fields() -> None:
    with pytest.raises(TypeError, match="is no value"):
        fields(3)


def test_what_a_value_once_worked_out_is_not_part_of_it() -> None:
    class Bowl(Cup):
        @cached_property
        def gallons(self) -> float:
            return self.litres / 3.785

    bowl = value_class(Bowl)(litres=1.0)
    assert bowl.gallons > 0
    assert bowl == value_class(Bowl)(litres=1.0)
    assert replace(bowl, litres=2.0).gallons > bowl.gallons
