"""What lies ahead of this rack, as pages: untouched from now on, some days away, and what it has taught."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tendtui.core.absence import absence_of
from tendtui.core.absence_words import absence_lines
from tendtui.core.ahead_words import ahead_lines, taught_lines
from tendtui.core.cover import Cover, before_leaving, covers_of, next_cover
from tendtui.core.printed_page import PrintedPage
from tendtui.core.sheet_bottles import bottles_for
from tendtui.core.sheet_words import sheet_words
from tendtui.core.sign_words import pressing_lines
from tendtui.session.learning import ahead_of, drinks_l_day, learning_now, signs_now, view_now
from tendtui.store.data_file import read_data
from tendtui.words import _

if TYPE_CHECKING:
    from datetime import date

    from tendtui.core.forecast import DayAhead
    from tendtui.core.pattern_view import View
    from tendtui.session.knowing import Knowing

__all__ = ["absence_now", "ahead_now", "ahead_page", "signs_page", "taught_now"]


def signs_page(session: Knowing) -> tuple[str, ...]:
    """Say what the readings mean: each pattern with its evidence, what to check first, what to do."""
    from tendtui.core.pattern import patterns_from
    from tendtui.core.sign_words import sign_lines

    return sign_lines(signs_now(view_now(session)), patterns_from(read_data("patterns")))


def absence_now(session: Knowing, *, first: date, last: date) -> tuple[str, ...]:
    """Say what happens on some days away.

    Args:
        session: The rack and its log.
        first: The first day away.
        last: The last day away.
    """
    view = view_now(session)
    bottles = bottles_for(
        session.rack,
        session.events,
        first=first,
        days=(last - first).days + 1,
        now=session.now(),
        ahead=_foreseen(view, first, last),
        drinks_l_day=drinks_l_day(),
    )
    cover = Cover(first=first, last=last, who="")
    words = sheet_words(read_data("sheet"))
    return absence_lines(
        absence_of(view, bottles, first=first, last=last),
        view,
        before=before_leaving(cover, words, today=session.now().date()),
        change=ahead_of(view).change,
        open_signs=tuple(sign.what for sign in signs_now(view) if sign.pattern.alarm),
    )


def ahead_now(session: Knowing) -> tuple[str, ...]:
    """Say what happens if nobody does anything from now on, when a change is due, what the bottles last."""
    from tendtui.core.forecast_stock import bottles_left, past_date

    view = view_now(session)
    ahead = ahead_of(view)
    pressing = pressing_lines(signs_now(view))
    seen = (_("WHAT THE READINGS SAY"), *pressing, "") if pressing else ()
    told = ahead_lines(
        view,
        ahead.outlook,
        ahead.change,
        unused=ahead.unused,
        left=bottles_left(view.course, session.now()),
        past=past_date(view.course, session.now().date()),
    )
    return (*seen, *told)


def taught_now(session: Knowing) -> tuple[str, ...]:
    """Say what this rack has taught, with counts, and how a figure is held or forgotten."""
    learning = learning_now(session.rack, session.events, session.state)
    return taught_lines(session.rack, learning)


def ahead_page(session: Knowing, name: str) -> PrintedPage:
    """Make one page: `ahead`, `away`, `taught` or `signs`."""
    match name:
        case "taught":
            return PrintedPage(
                id=name, name=_("What it taught"), about=_("learned of this rack"), lines=taught_now(session)
            )
        case "away":
            return _away(session)
        case "signs":
            about = _("seen, how sure, what to do")
            return PrintedPage(
                id=name, name=_("What the readings say"), about=about, lines=signs_page(session)
            )
        case _:
            return PrintedPage(
                id="ahead", name=_("Ahead"), about=_("days left, change, bottles"), lines=ahead_now(session)
            )


def _away(session: Knowing) -> PrintedPage:
    """Tell of the days kept as away, or of the week from tomorrow on."""
    today = session.now().date()
    cover = next_cover(covers_of(session.state.away), today)
    first = today + timedelta(days=1) if cover is None else max(cover.first, today)
    last = first + timedelta(days=6) if cover is None else cover.last
    other = _("Other days: tendtui ahead --from fri --till thu")
    return PrintedPage(
        id="away",
        name=_("Going away"),
        about=_("from tomorrow for a week") if cover is None else _("the days that are kept"),
        lines=(*absence_now(session, first=first, last=last), "", other),
    )


def _foreseen(view: View, first: date, last: date) -> tuple[DayAhead, ...]:
    from tendtui.core.forecast import days_ahead

    return () if view.learning.thirst is None else days_ahead(view, first=first, last=last)
