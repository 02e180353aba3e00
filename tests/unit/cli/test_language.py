"""The catalogues hold every sentence, and the standard variables choose among them."""

from __future__ import annotations

import os
import re
import string
import subprocess
import sys
from collections.abc import Iterator
from gettext import GNUTranslations
from pathlib import Path

import pytest

from tendtui import words
from tendtui.cli.main import parser_of
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import date_words, number_words, show_amount, show_value
from tendtui.session import language as module
from tendtui.session.language import choose_language, language, wanted_languages
from tendtui.words import _, use
from tests.support.calls import call
from tests.support.catalogue import LOCALE, NAME, Entry, compiled, current, languages, merged, read_po
from tests.support.folders import NOON, folder_in

VARIABLES = ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")


@pytest.fixture(autouse=True)
def _english_again(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)
    yield
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)
    choose_language()


def catalogue(name: str) -> tuple[Entry, ...]:
    file = LOCALE / name / "LC_MESSAGES" / f"{NAME}.po"
    return read_po(file.read_text(encoding="utf-8"))


def places(text: str) -> set[str] | None:
    try:
        return {field for _text, field, _spec, _as in string.Formatter().parse(text) if field is not None}
    except ValueError:  # a sentence that shows a brace and is never filled
        return None


def test_there_is_a_second_language() -> None:
    assert "de" in languages()


@pytest.mark.parametrize("name", languages())
def test_every_sentence_is_translated(name: str) -> None:
    open_ones = [entry.one for entry in merged(catalogue(name), current()) if not entry.is_done]
    assert not open_ones, "translate them in the .po, then: python -m tests.support.catalogue"


@pytest.mark.parametrize("name", languages())
def test_a_translation_keeps_every_placeholder(name: str) -> None:
    for entry in catalogue(name):
        for text, said in zip((entry.one, entry.many or entry.one), (entry.said * 2)[:2], strict=True):
            wanted = places(text)
            assert wanted is None or places(said) == wanted, (text, said)
            assert (said[:1] == " ", said[-1:] == " ") == (text[:1] == " ", text[-1:] == " "), text


@pytest.mark.parametrize("name", languages())
def test_what_the_program_reads_is_what_stands_in_the_catalogue(name: str) -> None:
    file = LOCALE / name / "LC_MESSAGES" / f"{NAME}.mo"
    assert file.read_bytes() == compiled(catalogue(name), name), "run: python -m tests.support.catalogue"
    with file.open("rb") as opened:
        read = GNUTranslations(opened)
    for entry in catalogue(name):
        if entry.many:
            assert read.ngettext(entry.one, entry.many, 1) == entry.said[0]
            assert read.ngettext(entry.one, entry.many, 2) == entry.said[1]
        else:
            assert read.gettext(entry.one) == entry.said[0]


@pytest.mark.parametrize(
    ("variables", "wanted", "chosen"),
    [
        ({}, (), "en"),
        ({"LANG": "de_AT.UTF-8"}, ("de_AT.UTF-8",), "de"),
        ({"LANG": "C", "LANGUAGE": "de"}, (), "en"),
        ({"LANG": "C.UTF-8", "LANGUAGE": "de"}, (), "en"),
        ({"LANG": "en_GB.UTF-8", "LANGUAGE": "de:en"}, ("de", "en"), "de"),
        ({"LANG": "de_DE", "LC_ALL": "en_US.UTF-8"}, ("en_US.UTF-8",), "en"),
        ({"LANG": "en_US", "LC_MESSAGES": "de-CH@x"}, ("de-CH@x",), "de"),
        ({"LANG": "de_DE", "LANGUAGE": "en:de"}, ("en", "de"), "en"),
        ({"LANG": "fr_FR", "LANGUAGE": "xx:de"}, ("xx", "de"), "de"),
        ({"LANG": "tlh"}, ("tlh",), "en"),
        ({"LANG": "../../etc"}, (), "en"),
        ({"LANG": "de/../../etc"}, ("de/../../etc",), "en"),
    ],
)
def test_the_standard_variables_choose(
    monkeypatch: pytest.MonkeyPatch, variables: dict[str, str], wanted: tuple[str, ...], chosen: str
) -> None:
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    assert wanted_languages() == wanted
    assert choose_language() == chosen
    assert language() == chosen
    assert (_("today") == "heute") is (chosen == "de")


@pytest.mark.parametrize(
    ("lang", "said"),
    [
        (
            "xx_YY.UTF-8",
            "There is no translation for xx_YY.UTF-8: the words stand in English. There are: en, de.",
        ),
        ("nonsense", "There is no translation for nonsense: the words stand in English. There are: en, de."),
        ("de_AT.UTF-8", ""),
        ("en_GB.UTF-8", ""),
        ("C.UTF-8", ""),
    ],
)
def test_the_check_says_that_a_language_is_not_there(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    lang: str,
    said: str,
) -> None:
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", lang)
    monkeypatch.setenv("TENDTUI_NOW", NOON.isoformat())
    told = call(capsys, folder_in(tmp_path).path, "check").out.splitlines()
    assert ("no translation" in told[-1]) is bool(said)
    assert not said or told[-1] == said


def test_a_damaged_catalogue_leaves_the_english(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "de" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    (folder / f"{NAME}.mo").write_bytes(b"\xde\x12\x04\x95 nothing")
    monkeypatch.setattr(module, "_CATALOGUES", tmp_path)
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    choose_language()
    assert _("today") == "today"


def german() -> None:
    with (LOCALE / "de" / "LC_MESSAGES" / f"{NAME}.mo").open("rb") as file:
        use(GNUTranslations(file))


def test_numbers_and_dates_follow_the_language() -> None:
    german()
    assert show_value(1.2, Quantity.CONDUCTIVITY, Show()) == "1,20 mS/cm"
    assert show_amount(7.0) == "7"
    assert show_amount(0.5) == "0,5"
    assert date_words(NOON) == "Sa 14. Mär"
    assert number_words(32.5) == "zweiunddreißig und ein halb"
    assert number_words(121.0) == "einhunderteinundzwanzig"
    assert (
        _("pH under {limit:g} burns roots: no bottle mends that safely.")
        .format(limit=3.5)
        .startswith("pH unter 3,5 ")
    )
    assert (
        _("{n:.0f} drops are about {mg:.0f} mg/L as calcium carbonate, give or take one drop (18 mg/L).")
        .format(n=3.0, mg=53.4)
        .startswith("3 Tropfen sind etwa 53 mg/L")
    )


def test_english_keeps_its_point() -> None:
    assert show_amount(0.5) == "0.5"
    assert type(_("today")) is str


def _child(arguments: list[str], **environment: str) -> subprocess.CompletedProcess[str]:
    kept = {key: value for key, value in os.environ.items() if key not in VARIABLES}
    return subprocess.run(
        [sys.executable, "-X", "utf8", "-m", "tendtui", *arguments],
        capture_output=True,
        text=True,
        env={**kept, **environment},
        check=False,
    )


def test_the_whole_program_speaks_it(tmp_path: Path) -> None:
    state = str(folder_in(tmp_path).path)
    where = {"TENDTUI_STATE": state, "TENDTUI_NOW": NOON.isoformat(), "LANG": "de_DE.UTF-8"}
    assert "Ein erster Tag:" in _child(["--help"], **where).stdout
    assert _child(["dosee"], **where).stderr == (
        "tendtui: es gibt keinen Befehl 'dosee'. Meintest du: tendtui dose?\n"
    )
    assert "# Cellar stair: für alle, die sich kümmern" in _child(["sheet"], **where).stdout
    assert '<html lang="de">' in _child(["sheet", "--html"], **where).stdout
    assert "SUMMARY:Die Runde" in _child(["calendar"], **where).stdout
    assert '.SH "BEFEHLE"' in _child(["manpage"], **where).stdout


def test_an_older_encoding_loses_a_sign_and_not_the_command(tmp_path: Path) -> None:
    state = str(folder_in(tmp_path).path)
    where = {"TENDTUI_STATE": state, "TENDTUI_NOW": NOON.isoformat(), "PYTHONIOENCODING": "ascii"}
    told = _child(["sheet"], **where)
    assert told.returncode == 0, told.stderr
    assert "26.0 ?C or warmer" in told.stdout
    assert "## Never" in told.stdout


def test_what_scripts_read_is_in_no_language(tmp_path: Path) -> None:
    state = str(folder_in(tmp_path).path)
    where = {"TENDTUI_STATE": state, "TENDTUI_NOW": NOON.isoformat(), "LANG": "de_DE.UTF-8"}
    dose = _child(["dose", "level=40", "conductivity=0.8", "ph=6.0", "temperature=20", "--json"], **where)
    assert '"verdict": "correct"' in dose.stdout
    assert '"conductivity_mS_cm": 0.8' in dose.stdout
    assert _child(["record", "ph=6.1"], **where).returncode == 0
    assert ",6.1," in _child(["export"], **where).stdout


@pytest.mark.parametrize("lang", ["en_GB.UTF-8", "C.UTF-8"])
def test_english_never_looks_for_a_catalogue(lang: str) -> None:
    script = (
        "import sys; from tendtui.cli.main import main\ncode = main(['no-such-command'])\n"
        "print([n for n in ('tendtui.session.language', 'tendtui.words_number') if n in sys.modules])"
    )
    kept = {key: value for key, value in os.environ.items() if key not in VARIABLES}
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, env={**kept, "LANG": lang}, check=True
    )
    assert done.stdout == "[]\n"


def test_the_second_form_is_used_for_many() -> None:
    german()
    assert words.n_("{n} day", "{n} days", 1).format(n=1) == "1 Tag"
    assert words.n_("{n} day", "{n} days", 3).format(n=3) == "3 Tage"


def test_a_word_with_a_plural_is_never_asked_for_by_its_plural_alone() -> None:
    """Gettext keeps such a pair under its singular: the plural by itself would stay English."""
    plurals = {entry.many for entry in current() if entry.many}
    asked = re.compile(r"(?<![A-Za-z])_\(\s*\"([^\"]+)\"")
    alone = {
        word
        for file in (Path(module.__file__).parents[1]).rglob("*.py")
        for word in asked.findall(file.read_text("utf-8"))
        if word in plurals
    }
    assert not alone


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("chart", "es fehlt noch: FILE. Siehe: tendtui chart --help"),
        ("status --jsno", "unbekannte Wörter: --jsno. Meintest du: tendtui status --json?"),
        ("sheet --days", "zu --days: danach gehört ein Wert"),
        ("sheet --days=zwei", "zu --days: 'zwei' ist keine ganze Zahl"),
        ("export --csv --jsonl", "zu --jsonl: geht nicht zusammen mit --csv"),
        ("completion tcsh", "zu shell: 'tcsh' gibt es nicht"),
    ],
)
def test_the_library_that_reads_the_call_speaks_the_language_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, words: str, says: str
) -> None:
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    left = call(capsys, tmp_path, *words.split())
    assert left.status == 2
    assert says in left.err


def test_help_is_translated_to_its_headings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LANG", "de_DE.UTF-8")
    choose_language()
    told = parser_of("chart").format_help()
    assert "Aufruf: tendtui chart" in told
    assert "show this help" not in told
    assert not re.search("^(usage|options|positional)", told, re.MULTILINE)
