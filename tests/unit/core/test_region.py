"""The regions' words in the reader's language; numbers and names stay."""

from __future__ import annotations

from collections.abc import Iterator
from gettext import translation

import pytest

from tendtui.core.region import read_regions, region_named
from tendtui.store.data_file import read_data
from tendtui.words import use
from tests.support.catalogue import LOCALE, NAME


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    yield
    use(None)


def test_a_region_speaks_the_language_in_use() -> None:
    use(translation(NAME, LOCALE, ["de"]))
    ireland = region_named("IE", read_regions(read_data("regions")))
    assert ireland is not None
    assert (ireland.name, ireland.emergency) == ("Ireland", "112 oder 999")
    assert ireland.trip_name == "FI-Schalter (RCD)"
    assert ireland.poison == "die nationale Giftzentrale"
