"""The words of the round as values: stations, questions and the graded answers of a look.

A look has answers in words that one can see, then "something else" with words of one's own, then "could
not look". Plain yes or no would let rare faults slip by.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tendtui.core.prompt import Choice
from tendtui.value import value_class
from tendtui.words import _

__all__ = [
    "ELSE",
    "NOT_LOOKED",
    "TIMED",
    "AskWords",
    "RoundWords",
    "SeenWords",
    "StationWords",
    "answer_seen",
    "asks_of",
    "choices_of",
    "look_is_odd",
    "name_of",
    "round_words",
    "seen_words",
]

ELSE = "else"
"""The word stored for something else than the answers offered."""

TIMED = "timed"
"""The question that times an outlet in the same round in which it looked weak: `Top.timed`."""

NOT_LOOKED = "could-not-look"
"""The reason stored where somebody could not look."""


@value_class
class SeenWords:
    """One answer of a look."""

    word: str
    """As stored in the log; never changes."""
    text: str
    """As read in the list of answers."""
    short: str
    """As read in the list of stations."""
    look: bool = False
    """Whether it asks for another look."""
    advice: str = ""
    """What to do, said at once."""
    follow: str = ""
    """The task under which it stays open until somebody closes it; empty: it is only looked at again."""
    severity: str = ""
    """`stop`, `today` or `week`, where it is followed up."""


@value_class
class AskWords:
    """One question."""

    id: str
    kind: str
    """`number`, `look`, or `flow` (timed on some days, looked at on the others)."""
    name: str = ""
    """What is looked at or read, a word or two for summaries."""
    ask: str = ""
    place: str = ""
    quantity: str = ""
    where: str = ""
    how: str = ""
    why: str = ""
    good: str = ""
    only: str = ""
    """`aerated`: asked only where an air pump runs."""
    seen: tuple[SeenWords, ...] = ()
    ask_jug: str = ""
    ask_cup: str = ""
    how_jug: str = ""
    how_cup: str = ""
    look: AskWords | None = None
    """For `flow`: the look on days when no timing is due."""


@value_class
class StationWords:
    """One stop."""

    id: str
    name: str
    section: str
    asks: tuple[AskWords, ...]
    source: str = ""
    name_without: str = ""
    """Its name where what only some racks have isn't asked there; empty: the same."""
    first: bool = False
    """Whether all but the grower are asked it before anything else; a stop seen there ends the round."""


@value_class
class RoundWords:
    """All the words of the round."""

    stations: tuple[StationWords, ...]
    tier: StationWords
    leaving: tuple[StationWords, ...]
    else_text: str
    skip_text: str
    time_every_days: float
    """After how many days an outlet's flow is timed again. [days]"""


def round_words(table: Mapping[str, object]) -> RoundWords:
    """Turn the data of `round.toml` into values.

    Raises:
        KeyError: If a part is missing.
    """
    words = _table(table["words"])
    tier = _table(table["tier"])
    return RoundWords(
        stations=tuple(_station(row) for row in _rows(table, "station")),
        tier=_station({"id": "tier", "name": "", **tier}),
        leaving=tuple(
            _station({**row, "section": "leaving", "question": [{**row, "kind": "look", "id": "seen"}]})
            for row in _rows(table, "leaving")
        ),
        else_text=str(words["else_text"]),
        skip_text=str(words["skip_text"]),
        time_every_days=_number(tier["time_every_days"]),
    )


def choices_of(seen: tuple[SeenWords, ...], words: RoundWords) -> tuple[Choice, ...]:
    """Give the answers of a look with their digits, the two that always stand last among them."""
    graded = [
        Choice(digit=str(n), word=s.word, text=_(s.text), look=s.look, advice=_(s.advice))
        for n, s in enumerate(seen, start=1)
    ]
    return (
        *graded,
        Choice(digit=str(len(seen) + 1), word=ELSE, text=_(words.else_text), look=True, ask_text=True),
        Choice(digit=str(len(seen) + 2), word=NOT_LOOKED, text=_(words.skip_text), skips=True),
    )


def seen_words(ask: AskWords) -> Mapping[str, tuple[str, str]]:
    """Give each answer's word -> how it reads in full, and in short."""
    return {s.word: (_(s.text), _(s.short)) for s in (ask.look or ask).seen}


def asks_of(key: str, words: RoundWords) -> tuple[AskWords, ...]:
    """Give the words that the question of a key was made from: those of its own station, or of the tiers."""
    station, _dot, id_ = key.rpartition(".")
    id_ = "flow" if id_ == TIMED else id_
    own = next((s for s in words.stations if s.id == station), words.tier)
    return tuple(ask for ask in (*own.asks, *words.tier.asks) if ask.id == id_)


def name_of(key: str, words: RoundWords, *, tiers: Iterable[str]) -> str:
    """Give what is read or looked at, with its tier: `Top, roots`, `pH`."""
    station, _dot, id_ = key.rpartition(".")
    name = next((_(ask.name) for ask in asks_of(key, words)), id_)
    if id_ == TIMED:
        name = _("{name} by jug").format(name=name)
    return f"{station}, {name}" if station in set(tiers) else name


def answer_seen(key: str, word: str, words: RoundWords) -> SeenWords | None:
    """Give the words of an answer to a look; None where it isn't known, or is in words of one's own."""
    seen = (s for ask in asks_of(key, words) for s in (ask.look or ask).seen if s.word == word)
    return next(seen, None)


def look_is_odd(key: str, word: str, words: RoundWords) -> bool:
    """Say whether an answer of the log asks for another look; false where it isn't known any more."""
    seen = answer_seen(key, word, words)
    return word == ELSE or (seen is not None and seen.look)


def _station(row: Mapping[str, object]) -> StationWords:
    return StationWords(
        id=str(row["id"]),
        name=str(row["name"]),
        section=str(row["section"]),
        asks=tuple(_ask(question) for question in _rows(row, "question")),
        source=str(row.get("source", "")),
        name_without=str(row.get("name_without", "")),
        first=row.get("first") is True,
    )


def _ask(row: Mapping[str, object]) -> AskWords:
    plain = (
        *("name", "ask", "place", "quantity", "where", "how", "why", "good", "only"),
        *("ask_jug", "ask_cup", "how_jug", "how_cup"),
    )
    look = row.get("look")
    return AskWords(
        id=str(row["id"]),
        kind=str(row["kind"]),
        seen=tuple(_seen(answer) for answer in _rows(row, "answer")),
        look=None if look is None else _ask({"id": row["id"], "kind": "look", **_table(look)}),
        **{key: str(row.get(key, "")) for key in plain},
    )


def _seen(row: Mapping[str, object]) -> SeenWords:
    return SeenWords(
        word=str(row["word"]),
        text=str(row["text"]),
        short=str(row["short"]),
        look=bool(row.get("look", False)),
        advice=str(row.get("advice", "")),
        follow=str(row.get("follow", "")),
        severity=str(row.get("severity", "")),
    )


def _rows(row: Mapping[str, object], key: str) -> tuple[Mapping[str, object], ...]:
    rows = row.get(key, ())
    if not isinstance(rows, Iterable):
        raise TypeError(f"{key} is not a list")
    return tuple(_table(each) for each in rows)


def _table(value: object) -> Mapping[str, object]:
    if not isinstance(value, Mapping):
        raise TypeError(f"{value!r} is not a table")
    return value


def _number(value: object) -> float:
    if not isinstance(value, int | float):
        raise TypeError(f"{value!r} is not a number")
    return float(value)
