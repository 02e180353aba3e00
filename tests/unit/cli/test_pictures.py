"""The README shows what the program shows."""

from __future__ import annotations

from tests.support.make_pictures import END, README, START, with_pictures


def test_the_pictures_of_the_readme_are_the_programs_own_pages() -> None:
    readme = README.read_text(encoding="utf-8")
    assert readme.count(START) == readme.count(END) == 1
    same = with_pictures(readme) == readme
    assert same, "draw them anew: python -m tests.support.make_pictures"


def test_a_picture_fits_eighty_columns() -> None:
    inside = README.read_text(encoding="utf-8").partition(START)[2].partition(END)[0]
    assert inside.count("```") == 6
    assert max(len(line) for line in inside.splitlines()) < 80
