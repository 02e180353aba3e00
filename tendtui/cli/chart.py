"""`tendtui chart`: the courses as a picture for the wall, one file that needs nothing else."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from tendtui.core.trend import Reach
from tendtui.errors import CallError
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.core.trend import Trends

__all__ = ["add", "run"]

_ENDINGS = (".svg", ".html", ".htm")


def add(parser: argparse.ArgumentParser) -> None:
    """Name the file and the span."""
    parser.add_argument("file", metavar="FILE", help=_("ending in .svg or .html"))
    parser.add_argument(
        "--span", choices=[reach.value for reach in Reach], default=Reach.SEASON.value, help=_("how far back")
    )
    parser.epilog = _("Print the .html page from a browser; the .svg is the picture alone, at any size.")


def run(args: argparse.Namespace) -> int:
    """Write the picture.

    Raises:
        CallError: If the file's ending is another, or it would be written over something else.
        StateError: If it can't be written.
    """
    from tendtui.cli.opened import open_session
    from tendtui.core.trend import within
    from tendtui.session.trends import trends_now
    from tendtui.store.atomic import replace_file

    path = Path(args.file).expanduser()
    _refuse(path)
    session = open_session(args.state)
    trends = within(trends_now(session), Reach(args.span))
    text = _made(path, trends, session.rack.name or _("rack"))
    replace_file(path, text.encode("utf-8"))
    print(_("Written: {file}").format(file=path))
    return 0


def _made(path: Path, trends: Trends, title: str) -> str:
    if path.suffix.lower() == ".svg":
        from tendtui.core.chart import chart_svg

        return chart_svg(trends, title=title)
    from tendtui.core.chart_page import chart_page
    from tendtui.session.language import language

    return chart_page(trends, title=title, language=language())


def _refuse(path: Path) -> None:
    """Refuse an ending that isn't ours, and a file that is there and no picture of this kind."""
    from tendtui.store.atomic import read_file

    if path.suffix.lower() not in _ENDINGS:
        raise CallError(
            _("{file} ends neither in .svg nor in .html").format(file=path),
            _("Write it like: tendtui chart rack.svg"),
        )
    begin = (read_file(path) or b"")[:2000].lstrip()
    if begin and not begin.startswith((b"<svg", b"<!doctype html>")):
        raise CallError(
            _("{file} is there and is no picture of this kind").format(file=path), _("Name another file.")
        )
