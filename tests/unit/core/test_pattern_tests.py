"""Every pattern of the data has a test that makes it speak and one that keeps it quiet."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tendtui.core.pattern import patterns_from
from tendtui.store.data_file import read_data

TESTS = Path(__file__).with_name("test_pattern.py")
SEEN = {p.id: p for p in patterns_from(read_data("patterns")) if p.detect != "person"}
QUIET_SEASON = "test_an_ordinary_season_is_quiet"
"""Runs over every pattern that is raised."""


def written() -> Iterator[ast.FunctionDef]:
    for node in ast.parse(TESTS.read_text("utf-8")).body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield node


def speaks_of(test: ast.FunctionDef) -> set[str]:
    return {n.value for n in ast.walk(test) if isinstance(n, ast.Constant) and n.value in SEEN}


def asserts(test: ast.FunctionDef, *, absent: bool) -> bool:
    """Say whether the test asserts that something was found, or that it wasn't."""
    kept = [n for a in ast.walk(test) if isinstance(a, ast.Assert) for n in ast.walk(a)]
    denied = any(isinstance(n, ast.NotIn) for n in kept)
    found = any(isinstance(n, ast.In | ast.Subscript | ast.Eq) for n in kept)
    found = found or any(isinstance(n, ast.AugAssign) for n in ast.walk(test))  # counted, then compared
    return denied if absent else found


def names(test: ast.FunctionDef, pattern: str) -> bool:
    """Say whether the test speaks of a pattern, itself or through a name it looks up in what spoke."""
    return pattern in speaks_of(test)


@pytest.mark.parametrize("pattern", sorted(SEEN))
def test_it_is_made_to_speak(pattern: str) -> None:
    assert any(names(test, pattern) and asserts(test, absent=False) for test in written())


@pytest.mark.parametrize("pattern", sorted(SEEN))
def test_it_is_kept_quiet(pattern: str) -> None:
    by_season = SEEN[pattern].alarm and any(test.name == QUIET_SEASON for test in written())
    told_apart = {"drinks-more-than-it-eats", "eats-well", "in-step"}  # one of the three, and no other
    by_itself = any(names(test, pattern) and asserts(test, absent=True) for test in written())
    assert by_season or by_itself or pattern in told_apart
