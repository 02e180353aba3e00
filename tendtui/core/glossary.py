"""The terms of the trade, each explained in one sentence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Term", "explain", "glossary", "terms_in"]


@value_class
class Term:
    """One term."""

    name: str
    """In the reader's language."""
    says: str
    """What it means, in the reader's language."""
    forms: tuple[str, ...]
    """How our sentences write it, in English."""


def glossary(table: Mapping[str, object]) -> tuple[Term, ...]:
    """Turn the data of `glossary.toml` into terms, in the reader's language and its order.

    Raises:
        KeyError: If a part is missing.
    """
    rows = table["term"]
    terms = (
        Term(name=_(str(row["name"])), says=_(str(row["says"])), forms=tuple(map(str, row["forms"])))
        for row in (rows if isinstance(rows, list) else ())
    )
    return tuple(sorted(terms, key=lambda term: term.name.casefold()))


def explain(word: str, terms: Iterable[Term]) -> Term | None:
    """Find a term by its name or one of its forms, whatever the case; None where there is none."""
    wanted = " ".join(word.split()).casefold()
    for term in terms:
        if wanted in (term.name.casefold(), *(form.casefold() for form in term.forms)):
            return term
    return None


def terms_in(sentence: str, terms: Iterable[Term]) -> tuple[Term, ...]:
    """Give the terms that an English sentence uses."""
    return tuple(term for term in terms if any(_holds(sentence, form) for form in term.forms))


def _holds(sentence: str, form: str) -> bool:
    # short forms in capitals, like pH or mA, mean something else in other letters
    flags = 0 if any(c.isupper() for c in form) else re.IGNORECASE
    return re.search(rf"(?<![\w-]){re.escape(form)}(?![\w-])", sentence, flags) is not None
