"""The terms of the trade are explained, and our sentences are short."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tendtui.core.glossary import explain, glossary, terms_in
from tendtui.store.data_file import read_data
from tests.support.sentences import code_sentences, data_sentences

TERMS = glossary(read_data("glossary"))
TRADE = (Path(__file__).parents[2] / "data" / "trade_words.txt").read_text(encoding="utf-8").split("\n")
MOST_WORDS = 34
"""Of one sentence. Plain-language guides ask for 15 to 20 on average; the rare long one holds a list."""

MEAN_WORDS = 12.0


def trade_words() -> list[str]:
    return [line.strip() for line in TRADE if line.strip() and not line.startswith("#")]


def holds(sentence: str, word: str) -> bool:
    flags = 0 if any(c.isupper() for c in word) else re.IGNORECASE
    return re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", sentence, flags) is not None


def test_a_term_of_the_trade_in_a_sentence_is_explained() -> None:
    unexplained = {
        (word, sentence)
        for sentence in {*code_sentences(), *data_sentences()}
        for word in trade_words()
        if holds(sentence, word) and explain(word, TERMS) is None
    }
    assert not unexplained


def test_a_new_term_would_be_caught() -> None:
    assert explain("phytotoxic", TERMS) is None
    assert "phytotoxic" in trade_words()


def test_every_term_says_one_short_sentence() -> None:
    for term in TERMS:
        assert term.says.endswith(".")
        assert len(term.says.split()) <= 25, term.name
        assert term.says.count(". ") == 0, term.name


def test_every_term_is_used_somewhere() -> None:
    sentences = {*code_sentences(), *data_sentences()}
    used = {term.name for sentence in sentences for term in terms_in(sentence, TERMS)}
    # these stand on labels, meters and in the file that people edit, and are asked about
    on_labels = {"PPFD", "milliampere", "milliequivalent", "weight by volume", "sequence of bottles"}
    assert {term.name for term in TERMS} - used <= on_labels


@pytest.mark.parametrize(("word", "name"), [("RCD", "trip switch"), ("  Lips ", "lip"), ("ph", "pH")])
def test_a_term_is_found_by_any_of_its_forms(word: str, name: str) -> None:
    found = explain(word, TERMS)
    assert found is not None
    assert found.name == name


def test_an_unknown_word_is_not_explained() -> None:
    assert explain("zeppelin", TERMS) is None


def words_of(sentence: str) -> list[int]:
    """Count the words of each sentence in a text; a colon or semicolon ends a thought too."""
    parts = re.split(r"[.!?:;]\s|\n", re.sub(r"\{[^}]*\}", "x", sentence))
    return [len(part.split()) for part in parts if part.split()]


def test_sentences_are_short() -> None:
    counted = {s: words_of(s) for s in {*code_sentences(), *data_sentences()}}
    too_long = {s for s, counts in counted.items() if max(counts, default=0) > MOST_WORDS}
    assert not too_long
    every = [n for counts in counted.values() for n in counts if n > 3]
    assert sum(every) / len(every) <= MEAN_WORDS
