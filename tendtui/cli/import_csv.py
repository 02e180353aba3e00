"""`tendtui import`: earlier readings from a table; what isn't certain is asked."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from tendtui.cli.opened import open_session
from tendtui.core.csv_import import Ask, Imported, read_table
from tendtui.core.event import Reading
from tendtui.errors import CallError, RefusedError
from tendtui.words import _, n_

if TYPE_CHECKING:
    from tendtui.session.session import Session

__all__ = ["add", "run"]

_SHOWN = 10


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("file", metavar="FILE", help=_("a table: CSV, its first line naming the columns"))
    parser.add_argument("--dry-run", action="store_true", help=_("say what would be logged, and log nothing"))
    parser.add_argument(
        "--answer",
        action="append",
        default=[],
        metavar="KEY=WORD",
        help=_("answer a question beforehand, like dates=day-first; may stand several times"),
    )
    parser.epilog = _("Try it first: tendtui import old.csv --dry-run. The same line is never logged twice.")


def run(args: argparse.Namespace) -> int:
    """Read the table, ask, and log what it holds."""
    session = open_session(args.state)
    answers = _answers(args.answer)
    text = _text(Path(args.file))
    try:
        imported = _asked(session, text, answers)
    except RefusedError as error:
        raise CallError(f"{args.file}: {error.what}", error.do) from None
    _tell(imported, dry=args.dry_run)
    if not args.dry_run and imported.events:
        session.record_events(imported.events)
    return 0


def _asked(session: Session, text: str, answers: dict[str, str]) -> Imported:
    """Read it, with as many questions between as it takes."""
    log = _known_ids(session)
    while True:
        imported = read_table(
            text,
            rack=session.rack,
            answers=answers,
            known_ids=log,
            now=session.now(),
            local=lambda moment: moment.astimezone(),
        )
        if not imported.asks:
            return imported
        for ask in imported.asks:
            answers[ask.key] = _answer(ask, answers)


def _known_ids(session: Session) -> frozenset[str]:
    from tendtui.store.log_file import read_log

    return frozenset(event.id for event in read_log(session.folder, outbox=session.state.outbox).all_events)


def _answer(ask: Ask, answers: dict[str, str]) -> str:
    """Ask at the terminal.

    Raises:
        CallError: If there is none, or the answer given beforehand is none of those that fit.
    """
    words = ", ".join(word for word, _told in ask.choices)
    if ask.key in answers:
        raise CallError(
            _("{word} is no answer to {key}").format(word=answers[ask.key], key=ask.key),
            _("It takes: {words}.").format(words=words),
        )
    if not sys.stdin.isatty():
        raise CallError(
            _("one thing has to be said with --answer '{key}=WORD'").format(key=ask.key),
            _("{ask} WORD is {words}.").format(ask=ask.ask, words=words),
        )
    print(ask.ask, file=sys.stderr)
    for n, (_word, told) in enumerate(ask.choices, start=1):
        print(f"  {n}  {told}", file=sys.stderr)
    while True:
        print("> ", end="", file=sys.stderr, flush=True)
        typed = sys.stdin.readline()
        if not typed:
            raise CallError(_("the questions were not answered"), _("Nothing was logged."))
        number = typed.strip()
        if number.isdigit() and 1 <= int(number) <= len(ask.choices):
            return ask.choices[int(number) - 1][0]
        print(_("Type one of the numbers."), file=sys.stderr)


def _answers(given: list[str]) -> dict[str, str]:
    answers = {}
    for word in given:
        key, equals, value = word.rpartition("=")
        if not equals:
            raise CallError(_("{word!r} has no =").format(word=word), _("Write it like dates=day-first"))
        answers[key] = value
    return answers


def _text(file: Path) -> str:
    try:
        data = file.read_bytes()
    except OSError:
        raise CallError(
            _("there is no file {file}").format(file=file), _("Name the table to import.")
        ) from None
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise CallError(_("{file} is no text").format(file=file), _("Export the table as CSV."))


def _tell(imported: Imported, *, dry: bool) -> None:
    for column in imported.columns:
        unit = f" ({column.unit})" if column.unit else ""
        print(f"{column.head}: {column.meaning}{unit}")
    many = sum(1 for event in imported.events if isinstance(event, Reading))
    told = (
        n_("{n} reading would be logged.", "{n} readings would be logged.", many)
        if dry
        else n_("{n} reading logged.", "{n} readings logged.", many)
    )
    print(told.format(n=many))
    if imported.already:
        print(
            n_(
                "{n} line is in the log already.", "{n} lines are in the log already.", imported.already
            ).format(n=imported.already)
        )
    for refused in imported.refused[:_SHOWN]:
        print(_("line {n} left out: {why}").format(n=refused.line, why=refused.why), file=sys.stderr)
    more = len(imported.refused) - _SHOWN
    if more > 0:
        print(n_("and {n} line more", "and {n} lines more", more).format(n=more), file=sys.stderr)
