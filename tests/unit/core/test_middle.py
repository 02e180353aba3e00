"""The median, compared with the standard library's."""

from __future__ import annotations

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendtui.core.middle import median


@given(st.lists(st.floats(-1e9, 1e9), min_size=1, max_size=9))
def test_it_is_the_standard_one(values: list[float]) -> None:
    assert median(iter(values)) == statistics.median(values)


def test_nothing_has_no_middle() -> None:
    with pytest.raises(ValueError, match="middle"):
        median(())
