"""One question of the set-up as its data says it, and the prompt made of it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tendtui.core.prompt import Choice, Kind, Question
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import unit_words
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["Ask", "Asks", "ask_id", "asks_from"]


_NO_SOURCE = "no source found"


@value_class
class Ask:
    """A question's data; all numbers in stored units."""

    id: str
    """`station.field`; numbered stations (`tier-2.bore`) share one."""
    kind: Kind
    place: str
    ask: str
    quantity: Quantity | None = None
    why: str = ""
    how: str = ""
    usual: str = ""
    origin: str = ""
    """Who says what is usual."""
    unsure: str = ""
    """What stands in where the field is left empty."""
    optional: bool = False
    stands_in: float | None = None
    choices: tuple[tuple[str, str], ...] = ()
    """(word kept, words read)."""
    likely: tuple[float, float] | None = None
    """Outside it the number is asked for a second time."""
    doubtful: str = ""
    """Why it is asked for again, where more can be said than that it is unusual; `{value}` stands in it."""
    bounds: tuple[float, float] | None = None
    """Outside it the number is refused."""
    refused: str = ""
    needed: str = ""
    """How to find the number now, for somebody who doesn't know it."""
    safety: tuple[str, ...] = ()

    def question(
        self,
        key: str,
        show: Show,
        *,
        names: Mapping[str, str] | None = None,
        same: str = "",
        before: tuple[str, ...] = (),
        now: str = "",
    ) -> Question:
        """Make the question as it is asked.

        Args:
            key: Its key in the walk.
            show: The person's units.
            names: What stands in its braces: the tier's name, a number.
            same: What `=` puts into the field.
            before: Sentences above it.
            now: What the rack says so far, when a part is edited.
        """
        named = dict(names or {})
        return Question(
            key=key,
            place=_filled(self.place, named),
            ask=_filled(self.ask, named),
            kind=self.kind,
            quantity=self.quantity,
            unit="" if self.quantity is None else unit_words(self.quantity, show),
            choices=tuple(
                Choice(digit=str(n), word=word, text=_(text))
                for n, (word, text) in enumerate(self.choices, start=1)
            ),
            facts=self._facts(named, now),
            before=before,
            safety=tuple(_(line) for line in self.safety),
            how=_filled(self.how, named),
            why=self._reason(named),
            needed=_filled(self.needed, named),
            same=same,
            may_skip=False,
            quiet=self.kind is Kind.PAUSE,
            optional=self.optional,
        )

    def _reason(self, named: Mapping[str, str]) -> str:
        """Give why it is asked, and where the usual value comes from; beside the field it is in the way."""
        why = _filled(self.why, named)
        if not self.origin or self.origin.startswith(_NO_SOURCE):
            return why  # said under nearly every question, it is only in the way; the data keeps it
        origin = _("(What is usual: {origin}.)").format(origin=_filled(self.origin, named))
        return f"{why} {origin}".strip()

    def _facts(self, named: Mapping[str, str], now: str) -> tuple[tuple[str, str], ...]:
        facts: list[tuple[str, str]] = []
        if now:
            facts.append((_("now"), now))
        if self.usual:
            facts.append((_("usual"), _filled(self.usual, named)))
        if self.unsure:
            facts.append((_("empty field"), _filled(self.unsure, named)))
        return tuple(facts)


Asks = Mapping[str, Ask]


def asks_from(table: Mapping[str, object]) -> Asks:
    """Turn the set-up's data into values.

    Raises:
        KeyError: If a question lacks its kind, place or words.
        ValueError: If a kind or a quantity isn't known.
    """
    rows = table["ask"]
    if not isinstance(rows, Mapping):
        raise TypeError("ask is a table of tables")
    return {key: _ask(key, row) for key, row in rows.items()}


def ask_id(key: str) -> str:
    """Give the id of the data behind a question's key: `tier.bore` of `tier-2.bore` and `tier-2.bore~2`."""
    station, _dot, name = key.partition("~")[0].partition(".")
    station = re.sub(r"-\d+$", "", station)
    return f"{station}.{name}"


def _ask(key: str, row: Mapping[str, object]) -> Ask:
    quantity = row.get("quantity")
    return Ask(
        id=key,
        kind=Kind(str(row["kind"])),
        place=str(row["place"]),
        ask=str(row["ask"]),
        quantity=None if quantity is None else Quantity(str(quantity)),
        why=str(row.get("why", "")),
        how=str(row.get("how", "")),
        usual=str(row.get("usual", "")),
        origin=str(row.get("origin", "")),
        unsure=str(row.get("unsure", "")),
        optional=row.get("optional") is True,
        stands_in=_number(row.get("stands_in")),
        choices=tuple((str(pair[0]), str(pair[1])) for pair in _rows(row.get("choices", []))),
        likely=_span(row.get("likely")),
        doubtful=str(row.get("doubtful", "")),
        bounds=_span(row.get("bounds")),
        refused=str(row.get("refused", "")),
        needed=str(row.get("needed", "")),
        safety=tuple(str(line) for line in _list(row.get("safety", []))),
    )


def _filled(text: str, names: Mapping[str, str]) -> str:
    # Names are typed by people and may hold braces: they are put in, never read as places to fill.
    told = _(text) if text else ""
    for name, value in names.items():
        told = told.replace("{" + name + "}", value)
    return told


def _number(value: object) -> float | None:
    return None if value is None else float(str(value))


def _span(value: object) -> tuple[float, float] | None:
    if value is None:
        return None
    low, high = _list(value)
    return float(str(low)), float(str(high))


def _rows(value: object) -> tuple[Sequence[object], ...]:
    return tuple(_list(row) for row in _list(value))


def _list(value: object) -> Sequence[object]:
    if not isinstance(value, list):
        raise TypeError(f"expected a list, found {value!r}")
    return value
