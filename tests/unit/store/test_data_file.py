"""The facts that come with the package can all be read."""

from __future__ import annotations

import pytest

from tendtui.store.data_file import data_names, read_data


@pytest.mark.parametrize("name", data_names())
def test_every_file_of_facts_can_be_read(name: str) -> None:
    assert read_data(name)
    assert read_data(name) is read_data(name)


def test_a_name_that_is_none_is_an_error() -> None:
    with pytest.raises(FileNotFoundError):
        read_data("none")
