"""What a walk asks: the same value is drawn by the full screen and printed by the plain mode."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum

from tendtui.core.quantity import Quantity
from tendtui.core.show import quantity_name, show_number, show_value
from tendtui.value import value_class
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    from tendtui.core.rack import Show

__all__ = [
    "Choice",
    "Kind",
    "Mark",
    "Prompt",
    "Question",
    "Row",
    "Station",
    "called",
    "is_amount",
    "number_said",
    "twice_words",
]

_READ = (
    Quantity.LEVEL,
    Quantity.CONDUCTIVITY,
    Quantity.PH,
    Quantity.TEMPERATURE,
    Quantity.ALKALINITY,
)
_POURED = (Quantity.VOLUME, Quantity.LIQUID, Quantity.POWDER)


class Kind(StrEnum):
    """How a question is answered."""

    NUMBER = "number"
    CHOICE = "choice"
    TEXT = "text"
    PAUSE = "pause"  # something to read; Enter goes on


class Mark(StrEnum):
    """The five signs of a list; they mean the same everywhere."""

    DONE = "[x]"
    HERE = "[>]"
    OPEN = "[ ]"
    NOT_DONE = "[-]"
    LOOK = "[!]"


@value_class
class Choice:
    """One answer of a list: the digit to press, the word that is stored, the words that are read."""

    digit: str
    word: str
    text: str
    look: bool = False
    """Whether this answer asks for another look (marked `[!]`)."""
    ask_text: bool = False
    """Whether the person is asked to say what, in words, after choosing it (typed as `4 white fluff`)."""
    skips: bool = False
    """Whether it says that the thing was not done (`could not look`); the word becomes the reason."""
    advice: str = ""
    """What is said at once when it is chosen."""


@value_class
class Question:
    """One thing asked, with everything a face needs to ask it well."""

    key: str
    """`station.question`, unique in its walk, stable between days."""
    place: str
    """Where one stands, a few words."""
    ask: str
    """The question, one sentence."""
    kind: Kind
    name: str = ""
    """What is read or looked at, where it is told later: `Creek, roots`; see `called`."""
    quantity: Quantity | None = None
    unit: str = ""
    """The unit in words, to stand beside the field."""
    choices: tuple[Choice, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    """Beside the field: (`last time`, `2.0 (Mon)`), (`usual`, `1.6 to 2.4`)."""
    before: tuple[str, ...] = ()
    """Sentences above the question: what was found, why, what to expect."""
    safety: tuple[str, ...] = ()
    """Safety lines; shown in brief form too."""
    where: str = ""
    how: str = ""
    why: str = ""
    good: str = ""
    same: str = ""
    """What `=` puts into the field; empty where 'same as last' is not offered."""
    may_skip: bool = True
    quiet: bool = False
    """Whether keys typed ahead are thrown away and half a second of quiet is waited for (looks, pours)."""
    expects: tuple[str, ...] = ()
    """For TEXT: the only texts taken (a bottle's name), compared without case and outer blanks."""
    optional: bool = False
    """For TEXT and NUMBER: whether an empty field is an answer (`don't know`)."""
    needed: str = ""
    """For NUMBER: what is said where the field is left empty though a number is needed."""
    whole_steps: float | None = None
    """For NUMBER: the tool's mark, said where the amount isn't a multiple of it."""
    jug_l: float | None = None
    """For FLOW: a bare number is the seconds in which this vessel fills. [L]"""
    after: str = ""
    """What is said after any answer, and not before: what was seen last time."""
    unsettled: bool = False
    """Whether something may have been poured here already that nobody has written down."""
    until: datetime | None = None
    """For a wait: the clock time at which it ends; kept on today's page."""


@value_class
class Station:
    """A stop of a walk: its questions belong together in the list on the side."""

    id: str
    name: str
    questions: tuple[Question, ...]
    section: str = ""
    """Stations between two pauses; a stale section can be done again as one."""
    listed: bool = True
    """Whether it stands in the list (a pause does not)."""


@value_class
class Row:
    """A line of the list: its mark, the station's name, what was found in a few words."""

    mark: Mark
    number: int
    name: str
    found: str = ""


@value_class
class Prompt:
    """A question as it stands now in its walk."""

    walk: str
    """The walk's kind: `round`, `dose`, `setup`, …"""
    title: str
    stage: str
    """`station 6 of 8, question 1 of 3`."""
    question: Question
    rows: tuple[Row, ...] = ()
    first: str = ""
    """What was typed first, where the question asks for a second reading."""
    notice: str = ""
    """A sentence about what was just typed; starts with `[!]` where another look is wanted."""
    said: str = ""
    """The status line: what was just saved, undone, noted."""
    note: str = ""
    """The note on this station so far."""
    answered: str = ""
    """The answer already given, where one has come back to look."""
    recent: tuple[str, ...] = ()
    """The last two answers in words, for whoever takes the walk up again."""


def called(question: Question) -> str:
    """Name a question where its answer is told away from it: `pH`, `Creek, roots`, `Feed A`."""
    if question.name:
        return question.name
    return quantity_name(question.quantity) if question.quantity in _READ else question.place


def number_said(question: Question, value: float, show: Show) -> str:
    """Give a number of an answer with its unit, as it stands behind the question's name."""
    if question.quantity is None:
        return f"{value:g}"
    put = show_number if question.quantity is Quantity.PH else show_value
    return put(value, question.quantity, show)


def is_amount(question: Question) -> bool:
    """Say whether a number is what went in or came out, and not what a meter shows."""
    return question.quantity in _POURED


def twice_words(question: Question) -> tuple[str, str]:
    """Give what stands beside the first number and the second, where one is wanted twice."""
    if is_amount(question):
        return _("typed first"), _("type it again")
    return _("first reading"), _("second reading")
