"""Beginning a walk from any page: who is here, where it was left, and the page that walks it."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from tendtui.core.show import clock, how_long
from tendtui.errors import HeldError, NoRackError, TendError
from tendtui.tui.desk import Desk
from tendtui.words import _

if TYPE_CHECKING:
    from tendtui.tui.app import TendApp

__all__ = ["ask_who", "begin_walk", "write_note"]

MOST_NAMES = 20
"""Names in the list of who is here; one can always be typed."""


async def ask_who(app: TendApp) -> bool:
    """Ask who is here; say whether a name was given."""
    from tendtui.tui.screens.who import WhoPage

    usual = _usual(app.desk)
    with app.saying_so():
        seen = await asyncio.to_thread(_seen, app.desk)
    names = tuple(dict.fromkeys((*usual, *seen)))[:MOST_NAMES]
    name = await app.push_screen_wait(WhoPage(names))
    if name:
        app.desk.by = name
        app.to_today()
    return bool(name)


async def write_note(app: TendApp) -> None:
    """Ask for the words of a note and keep them in the diary."""
    from tendtui.tui.screens.note import NotePage

    if not app.desk.by and not await ask_who(app):
        return
    if await app.push_screen_wait(NotePage()):
        app.to_today(_("The note stands in the diary."))


def _seen(desk: Desk) -> tuple[str, ...]:
    """Give everybody who wrote in the diary, the newest first; none where it can't be read."""
    try:
        return tuple(dict.fromkeys(event.by for event in reversed(desk.events) if event.by))
    except TendError:
        return ()


def _usual(desk: Desk) -> tuple[str, ...]:
    try:
        return desk.rack.people
    except NoRackError:
        return ()


async def begin_walk(app: TendApp, kind: str) -> None:
    """Start a walk, or take it up, and show its page; a refusal is told on the page one came from."""
    from tendtui.tui.screens.told import ToldPage
    from tendtui.tui.screens.walk import WalkPage

    desk = app.desk
    if not desk.by and (kind != "setup" or _usual(desk)):
        if not await ask_who(app):
            return
        app.expect_page()
    try:
        await asyncio.to_thread(desk.hold)
    except HeldError as error:
        look = _("You may look at everything meanwhile: q and Esc lead back.")
        await app.push_screen(ToldPage(_("Not now"), ("[!] " + str(error), look)))
        return
    except TendError as error:
        await app.push_screen(ToldPage(_("Not now"), ("[!] " + str(error),)))
        return
    try:
        told, stale = _left(desk, kind)
        outcome = await app.save(lambda: desk.start(kind, by=desk.by))
    except TendError as error:
        await app.push_screen(ToldPage(_("Not now"), ("[!] " + str(error),)))
        return
    if outcome.prompt is None:
        await app.push_screen(ToldPage(_("Finished"), outcome.said))
        return
    recent = _("Last answers: {answers}.").format(
        answers="; ".join(said.removesuffix(".") for said in outcome.prompt.recent)
    )
    taken_up = (*told, recent) if told and outcome.prompt.recent else told
    await app.push_screen(WalkPage(outcome.prompt.walk, outcome, taken_up=taken_up, stale=stale))


def _left(desk: Desk, kind: str) -> tuple[tuple[str, ...], bool]:
    """Say for how long a walk under way lay and who began it, and whether its part is offered anew."""
    walk = desk.state.walks.get(kind)
    if walk is None or not walk.entries:
        return (), False
    stale = desk.is_stale(kind)
    told = _("Taken up again after {left}; {by} began it at {began}.").format(
        left=how_long(desk.left_for(kind)), by=walk.by or _("somebody"), began=clock(walk.began)
    )
    offer = _("Readings grow old: r measures this part again.")
    return ((told, offer) if stale else (told,)), stale
