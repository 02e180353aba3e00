"""TOML written is TOML read; the quick reader never says anything but what the full one says."""

from __future__ import annotations

import random
import tomllib
from datetime import UTC, date, datetime, time, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tendtui.errors import StateError
from tendtui.store.data_file import data_names, data_text, read_data
from tendtui.store.plain_toml import read_plain
from tendtui.store.toml_lines import line_of, lines_of_keys
from tendtui.store.toml_read import is_table, read_toml, schema_of
from tendtui.store.toml_text import rows_text, table_text, value_text

MONTH = """\
schema = 1
# by hand
[[reading]]
id = "a-1"
seq = 41
at = 2026-11-25T08:10:00+00:00
by = "Jos\\u00e9 \\"J\\""
level_L = 47.0
small = 1e-07
large = -1.5e+20
doubt = ["ph", "flow.a, b"]
none = []
band = [1.4, 1.8]
ok = true
whole = [1, -2.5, 3]
lines = [
  "one",  # why
  "two, \\"quoted\\"",

]
inline = { a = 1, "b c" = "x", d = false, e = 2.5 }
  indented = 3
day = 2027-05-31
nothing = {}
[reading.flow_L_min]
Top = 2.0
"next, [/] tier" = 0.25  # slow
[[poured]]
id = "a-2"
at = 2026-11-25T08:10:00.250000-05:30
[done]
x = 2026-11-25T08:10:00Z
[learned.deep]
er = 1
"""

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
SCALARS = st.one_of(
    st.booleans(),
    st.integers(-(2**62), 2**62),
    st.floats(allow_nan=False, allow_infinity=False),
    TEXT,
    st.datetimes(
        min_value=datetime(1900, 1, 1),  # noqa: DTZ001 - hypothesis puts the zone on
        timezones=st.sampled_from(
            [UTC, timezone(timedelta(hours=5, minutes=30)), timezone(-timedelta(hours=11))]
        ),
    ),
)
VALUES = st.one_of(SCALARS, st.lists(SCALARS, max_size=3))
TABLES = st.recursive(
    st.dictionaries(TEXT, VALUES, max_size=4),
    lambda inner: st.dictionaries(
        TEXT, st.one_of(VALUES, inner, st.lists(inner, min_size=1, max_size=3)), max_size=4
    ),
    max_leaves=8,
)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(TABLES)
def test_what_is_written_is_what_the_standard_reader_reads(table: dict[str, object]) -> None:
    text = table_text(table)
    assert tomllib.loads(text) == table
    plain = read_plain(text)
    assert plain is None or plain == table


def test_the_quick_reader_reads_what_the_full_one_reads() -> None:
    assert read_plain(MONTH) == tomllib.loads(MONTH)


@pytest.mark.parametrize(
    "text",
    [
        'a = "x"\na = "y"\n',
        "[a]\n[a]\n",
        "[[a]]\n[a]\n",
        "a = 1\n[[a]]\n",
        "a = []\n[[a]]\n",
        'a = ["x"]\n[[a]]\n',
        "a = 1\n[a.b]\n",
        "[a.b]\n[a]\nb = 1\n",
        "at = 2026-02-30T08:00:00Z\n",
        "at = 2026-02-30\n",
        "a = { }\n",
        'a = "\\ud800"\n',
        "a = 01\n",
        "a = +1\n",
        "a = 1_000\n",
        "a = { b = 1 }\n",
        "a.b = 1\n",
        'a = """x"""\n',
        "a = 'x'\n",
        "a = nan\n",
        "a = 2026-01-01T08:00:00\n",
        'a = [\n "x"\n "y"\n]\n',
        'a = [\n "x",\n',
        "a = [\n 1,\n]\n",
        'a = [\n "\\ud800",\n]\n',
        'a = 1\na = [\n "x",\n]\n',
        "a = { b = 1, b = 2 }\n",
        "a = { b.c = 1 }\n",
        "a = {}\n",
        "a = { b = 1 }\n[a]\nc = 2\n",
        "a = { b = 1 }\n[a.b]\n",
        "a = { b = 1 }\n[a.c]\n",
        "a = [[1]]\n",
        "[[]]\n",
        "a =\n",
        "a = [1.0,]\n",
        "\ufeffa = 1\n",
        "a = 1\r\n",
        "[[a]\n",
        "a = 1 b\n",
        'a = { "b\\"" = 1 }\n',
        'a = { "b = 1 }\n',
        'a = { b = "c, d" }\n',
        "a = { b = \u0663 }\n",
        "a = { b = 1. }\n",
        'a = { b = " }\n',
        'a = { "b" "c" = 1 }\n',
        "a = { b = 1, }\n",
        "a = { b = 1 = 2 }\n",
        'a = ["x" , "y"]\n',
        'a = ["x"] # "]\n',
        "a = [-]\n",
        "a = [00]\n",
        "a = [--1]\n",
        "a = [1, ]\n",
    ],
)
def test_what_is_doubtful_is_left_to_the_full_reader(text: str) -> None:
    plain = read_plain(text)
    try:
        full = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assert plain is None
    else:
        assert plain is None or plain == full


def _mutated(text: str, chance: random.Random) -> str:
    letters = list(text)
    for _n in range(chance.randint(1, 3)):
        place = chance.randrange(len(letters))
        match chance.randrange(4):
            case 0:
                del letters[place]
            case 1:
                letters[place] = chance.choice('"[]=.\\#0e-+T:Z \n\r\t\0\x7fé{}')
            case 2:
                letters.insert(
                    place, chance.choice(['"', "[", "]", "\n", "0", "[[a]]\n", "[reading]\n", "a = 1\n"])
                )
            case _:
                lines = "".join(letters).split("\n")
                lines.insert(chance.randrange(len(lines)), chance.choice(lines))
                letters = list("\n".join(lines))
    return "".join(letters)


def test_both_readers_agree_on_a_thousand_spoilt_months() -> None:
    chance = random.Random(20261125)
    agreed = 0
    for _n in range(1000):
        text = _mutated(MONTH, chance)
        plain = read_plain(text)
        if plain is None:
            continue
        agreed += 1
        assert plain == tomllib.loads(text)
    assert agreed > 100  # the quick reader did have a say


def test_the_facts_that_come_with_the_package_are_read_as_the_full_reader_reads_them() -> None:
    for name in data_names():
        assert read_data(name) == tomllib.loads(data_text(f"{name}.toml"))


def test_a_month_can_grow_by_text() -> None:
    text = (
        "schema = 1\n" + rows_text("note", [{"id": "a"}]) + rows_text("note", [{"id": "b", "of": {"x": 1.0}}])
    )
    assert tomllib.loads(text)["note"] == [{"id": "a"}, {"id": "b", "of": {"x": 1.0}}]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (2.0, "2.0"),
        (1e22, "1e+22"),
        (True, "true"),
        (3, "3"),
        ("a\tb\x1b\n", '"a\tb\\u001b\\n"'),
        ("half\ud800", '"half\ufffd"'),
        (date(2026, 1, 2), "2026-01-02"),
        (time(8, 5), "08:05:00"),
        (
            datetime(2026, 1, 2, 8, 5, tzinfo=timezone(timedelta(hours=1, seconds=10))),
            "2026-01-02T08:04:50+01:00",
        ),
        ({"a": 1, "b c": None}, "{a = 1}"),
        ([{"a": 1}, 2], "[{a = 1}, 2]"),
    ],
)
def test_each_kind_of_value_has_its_form(value: object, text: str) -> None:
    assert value_text(value) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), datetime(2026, 1, 1)])  # noqa: DTZ001
def test_what_cannot_be_kept_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r"can't be kept|can be kept"):
        value_text(value)


def test_what_toml_has_not_is_refused() -> None:
    with pytest.raises(TypeError, match="TOML has no NoneType"):
        value_text([None])


@pytest.mark.parametrize(
    ("data", "line", "words"),
    [
        (b"", 1, "the file is empty, so something has damaged it"),
        (b" \n\n", 1, "the file is empty"),
        (b"\0" * 512, 1, "only zero bytes"),
        (b"a = 1\nb = \0\0\n", 2, "zero bytes here"),
        (b"\xef\xbb\xbfa = 1\n", 1, "a mark that some editors put there"),
        (b"\xff\xfea\0", 1, "a mark that some editors put there"),
        (b"a = 1\nb = 'caf\xe9'\n", 2, "not written in UTF-8"),
        (b"a = 1\nb = \n", 2, "this can't be read (invalid value)"),
        (b"a = 1\nb = 'x", 2, "this can't be read"),
        (b"a = 1\na = 2\n", 2, "cannot overwrite a value"),
        (b"a = 1\nb = " + b"[" * 5000, 2, "too long or too deeply nested"),
        (b"a = 1\n" + b"a." * 300 + b"b = 1", 2, "too long or too deeply nested"),
        (b"a = 1\nb = " + b"9" * 5000, 2, "too long or too deeply nested"),
    ],
)
def test_a_damaged_file_is_named_with_its_line(data: bytes, line: int, words: str) -> None:
    with pytest.raises(StateError) as caught:
        read_toml(data, "x.toml")
    assert caught.value.line == line
    assert caught.value.file == "x.toml"
    assert words in str(caught.value)
    assert caught.value.do


def test_a_file_without_a_version_is_taken_as_the_first() -> None:
    assert schema_of({}) == schema_of({"schema": "x"}) == schema_of({"schema": True}) == 1
    assert schema_of({"schema": 7}) == 7
    assert not is_table([])


def test_many_dots_in_a_text_are_only_a_text() -> None:
    assert read_toml(b"a = '" + b"." * 300 + b"'\n", "x.toml") == {"a": "." * 300}


LINES = '''\
schema = 1
"odd name" = 2

[reservoir]     # a comment
full_L = 60.0
text = """
[not.a.header]
key = 1
"""
list = [
  "a",   # ] inside a comment
  "b]",
]
[[tier]]
name = "Top"
inner = { a = 1 }
[[tier]]
  name = 'Next'
[tier.flow.'x y']
a.b = 3
[[tier.shelf]]
name = "s"
literal = \'\'\' [no]
\'\'\'
after = "\\\\\\"["
last = 1
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("schema",), 1),
        (("odd name",), 2),
        (("reservoir",), 4),
        (("reservoir", "full_L"), 5),
        (("reservoir", "list"), 10),
        (("reservoir", "missing"), 4),
        (("tier", 0, "name"), 15),
        (("tier", 0, "inner", "a"), 16),
        (("tier", 1, "name"), 18),
        (("tier", 1, "flow", "x y"), 19),
        (("tier", 1, "flow", "x y", "a", "b"), 20),
        (("tier", 1, "shelf", 0, "name"), 22),
        (("tier", 1, "shelf", 0, "last"), 26),
        (("key",), None),
    ],
)
def test_every_key_has_its_line(path: tuple[str | int, ...], line: int | None) -> None:
    assert tomllib.loads(LINES)["tier"][1]["shelf"][0]["last"] == 1
    assert line_of(lines_of_keys(LINES), path) == line


def test_what_is_missing_is_not_written() -> None:
    assert table_text({"a": None, "b": {"c": None}}) == "[b]\n"


def test_lines_are_found_also_in_a_text_that_is_no_toml() -> None:
    assert lines_of_keys("= 1\na. = 2\n[x\n[[\n") == {("a",): 2}
