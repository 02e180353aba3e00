"""The quick reader of a call's words says what argparse says, or nothing."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from shutil import copytree
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendtui.cli.main import COMMANDS, _module_of, parser_of
from tendtui.cli.parser import Parser
from tendtui.cli.quick import QuickWords
from tendtui.errors import CallError
from tests.support.make_demo import FOLDER

USUAL = ("status", "record", "dose", "tasks", "learned")
WORD = st.sampled_from(
    (
        "ph=6.1",
        "--json",
        "--at",
        "--at=now",
        "--by",
        "Mo",
        "--by=Mo",
        "--state",
        "x",
        "--state=",
        "-1",
        "--",
        "",
    )
)


def quick_of(name: str) -> QuickWords:
    quick = QuickWords()
    quick.add_argument("--state")
    _module_of(name).add(cast("Parser", quick))
    return quick


@given(st.sampled_from(USUAL), st.lists(WORD, max_size=5))
def test_it_reads_what_the_full_reader_reads(name: str, words: list[str]) -> None:
    found = quick_of(name).read(words)
    if found is None:
        return
    assert vars(found) == vars(parser_of(name).parse_args(words))


@pytest.mark.parametrize("name", ["status", "record", "dose"])
def test_usual_calls_are_read_at_once(name: str) -> None:
    words = {"status": ["--json"], "record": ["ph=6", "--by", "Mo"], "dose": ["ph=6", "--json"]}[name]
    assert quick_of(name).read(words) is not None


@pytest.mark.parametrize("words", [["--help"], ["--js"], ["a", "--json", "b"], ["--by"], ["--by", "--json"]])
def test_anything_unusual_is_left_to_the_full_reader(words: list[str]) -> None:
    assert quick_of("dose").read(words) is None


def test_a_wrong_word_is_still_told_in_one_line() -> None:
    with pytest.raises(CallError, match="unrecognized arguments"):
        parser_of("status").parse_args(["--yes"])
    assert "status" in COMMANDS


@pytest.mark.parametrize("words", [["status"], ["record", "ph=6.0"]])
def test_a_short_command_loads_no_more_than_it_needs(tmp_path: Path, words: list[str]) -> None:
    copytree(FOLDER, tmp_path / "state")
    code = """
import sys
before = set(sys.modules)
from tendtui.cli.main import main
main([*sys.argv[1:]])
heavy = {"argparse", "statistics", "calendar", "locale", "gettext", "tomllib", "shutil", "secrets", "hashlib",
    "typing", "dataclasses", "inspect"}
print(sorted(heavy & set(sys.modules) - before), file=sys.stderr)
"""
    run = subprocess.run(
        [sys.executable, "-c", code, *words, "--state", str(tmp_path / "state")],
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stderr.splitlines()[-1] == "[]"
