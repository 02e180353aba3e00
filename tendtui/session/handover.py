"""The scripts of handing over: cover, return, practice, and the dose as somebody may walk it."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tendtui.core.cover import Cover, cover_on, covers_of, next_cover
from tendtui.core.role import Act, Role, may, role_of
from tendtui.core.sheet_words import sheet_words
from tendtui.core.state import Person
from tendtui.core.walk_value import Answers, Script
from tendtui.errors import OutOfTurnError
from tendtui.session.knowledge import learned_of, rack_bands, wanted
from tendtui.store.data_file import read_data
from tendtui.value import replace
from tendtui.words import _

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from tendtui.core.dose_walk import DoseScript
    from tendtui.core.event import Event
    from tendtui.core.forecast import DayAhead
    from tendtui.core.held_plan import HeldPlan
    from tendtui.core.plan import Plan
    from tendtui.core.printed_page import PrintedPage
    from tendtui.core.rack import Rack
    from tendtui.core.sheet import Sheet
    from tendtui.core.today import Item
    from tendtui.session.knowing import Knowing
    from tendtui.session.scripts import Needs

__all__ = [
    "away_lines",
    "cover_for",
    "cover_walk",
    "dose_for",
    "handed_pages",
    "handed_to",
    "held_plan",
    "practice_walk",
    "return_walk",
    "sheet_of",
    "waiting_lines",
]


def cover_walk(needs: Needs) -> Script:
    """Make the walk that prepares an absence."""
    from tendtui.core.bottle_mix import mix_for
    from tendtui.core.cover_walk import CoverScript
    from tendtui.core.dose_facts import dose_facts

    rack, began = needs.known_rack(), needs.walk.began
    learned = learned_of(rack, needs.state, needs.events, until=began)
    strength = None if learned is None else learned.feed_strength
    return CoverScript(
        rack=rack,
        mix=mix_for(
            rack,
            dose_facts(read_data("feeds")),
            wish_ms_cm=rack_bands(rack, needs.events, began).conductivity.band.low,
            feed_strength=1.0 if strength is None else strength.value,
        ),
        words=sheet_words(read_data("sheet")),
        today=needs.walk.began.date(),
        covers=covers_of(needs.state.away),
    )


def return_walk(needs: Needs) -> Script:
    """Make the walk after an absence, for the newest cover that has begun.

    Raises:
        OutOfTurnError: If nobody has stood in.
    """
    from tendtui.core.return_walk import ReturnScript

    covers = covers_of(needs.state.away)
    begun = [cover for cover in covers if cover.first <= needs.walk.began.date()]
    if not begun:
        raise OutOfTurnError(_("Nobody has stood in"), _("Go on with the round; nothing is to be caught up."))
    rack = needs.known_rack()
    return ReturnScript(
        rack=rack,
        words=sheet_words(read_data("sheet")),
        cover=begun[-1],
        covers=covers,
        past=_before(needs),
        bands=wanted(rack_bands(rack, needs.events, needs.walk.began)),
        began=needs.walk.began,
    )


def practice_walk(needs: Needs) -> Script:
    """Make the practice round on a copy of the rack."""
    from tendtui.core.crops import crops_from
    from tendtui.core.looks import round_words
    from tendtui.core.practice import practice_script
    from tendtui.core.round import round_script

    rack = needs.known_rack()
    inner = round_script(
        rack=rack,
        events=needs.events,
        began=needs.walk.began,
        words=round_words(read_data("round")),
        bands=rack_bands(rack, needs.events, needs.walk.began),
    )
    return practice_script(
        inner,
        data=read_data("practice"),
        hot_c=crops_from(read_data("crops")).hot_c,
        seed=needs.walk.by,
        run=needs.state.people.get(needs.walk.by, Person()).practised,
    )


def dose_for(needs: Needs, script: DoseScript) -> Script:
    """Give the dose as whoever began it may walk it, and nobody else may go on with it who may not.

    What one may do is looked up by the name under which the walk was begun: its own pours are counted there.
    """
    from tendtui.core.role_dose import HeldDoseScript
    from tendtui.core.role_others import OthersDoseScript

    rack, walk = needs.known_rack(), needs.walk
    role, here = role_of(rack, walk.by), role_of(rack, needs.by or walk.by)
    if may(role, Act.FEED) and not may(here, Act.FEED):
        return OthersDoseScript(rack=rack, began_by=walk.by)
    if may(role, Act.CHANGE):
        return script
    if may(role, Act.FEED) and not _is_change_for(script, role):
        from tendtui.core.role_shown import as_shown

        return as_shown(script)
    cover = cover_on(covers_of(needs.state.away), walk.began.date())
    return HeldDoseScript(
        rack=rack,
        plan=script.plan(Answers()),
        bottle_l=None if cover is None else _bottle_l(rack, _before(needs), walk.began),
        mix={} if cover is None else cover.mix,
        leak=_speaks_of_a_leak(script.signs),
        dose=replace(script, left_before=None),
    )


def _is_change_for(script: DoseScript, role: Role) -> bool:
    """Say whether the solution is to be changed, which somebody in this role leaves to the grower."""
    from tendtui.core.plan import Verdict

    return not may(role, Act.CHANGE) and script.plan(Answers()).verdict is Verdict.CHANGE


def held_plan(session: Knowing, plan: Plan, by: str) -> HeldPlan | None:
    """Give a plan as somebody may carry it out who may not dose alone; None: they may."""
    from tendtui.core.held_plan import HeldPlan
    from tendtui.core.plan import Verdict

    rack, now = session.rack, session.now()
    if may(role_of(rack, by), Act.CHANGE if plan.verdict is Verdict.CHANGE else Act.FEED):
        return None
    cover = cover_on(covers_of(session.state.away), now.date())
    return HeldPlan(
        rack=rack,
        plan=plan,
        bottle_l=None if cover is None else _bottle_l(rack, session.events, now),
        bands=rack_bands(rack, session.events, now),
        leak=_leaks_now(session),
    )


def handed_to(session: Knowing, by: str) -> tuple[Item, ...]:
    """Give what waits for somebody on today's page: a dose held for them, the way back after an absence."""
    from tendtui.core.cover_today import cover_items
    from tendtui.core.role import held_item

    role, now = role_of(session.rack, by), session.now()
    held = held_item(session.events, session.rack, role=role, now=now)
    back = cover_items(covers_of(session.state.away), role=role, now=now)
    return (*(() if held is None else (held,)), *back)


def waiting_lines(session: Knowing, by: str) -> tuple[str, ...]:
    """Say what waits for the grower to whoever may not do it."""
    from tendtui.core.role import held_line

    role = role_of(session.rack, by)
    line = held_line(session.events, session.rack, role=role, now=session.now())
    return (line,) if line else ()


def away_lines(session: Knowing, by: str) -> tuple[str, ...]:
    """Say who stands in, and what is to be done before leaving."""
    covers = covers_of(session.state.away)
    if not covers:
        return ()
    from tendtui.core.cover_today import cover_lines

    words = sheet_words(read_data("sheet"))
    return cover_lines(covers, words, session.rack, role=role_of(session.rack, by), now=session.now())


def sheet_of(session: Knowing, cover: Cover) -> Sheet:
    """Make the stand-in's sheet for some days."""
    from tendtui.core.crops import crops_from
    from tendtui.core.region import read_regions, region_named
    from tendtui.core.sheet import sheet_for
    from tendtui.session.knowledge import rack_bands, wanted
    from tendtui.session.learning import drinks_l_day

    return sheet_for(
        session.rack,
        session.events,
        cover=cover,
        words=sheet_words(read_data("sheet")),
        now=session.now(),
        hot_c=crops_from(read_data("crops")).hot_c,
        region=region_named(session.rack.place.region, read_regions(read_data("regions"))),
        ahead=ahead_of(session, cover),
        drinks_l_day=drinks_l_day(),
        bands=wanted(rack_bands(session.rack, session.events, session.now())),
    )


def cover_for(session: Knowing, *, days: int | None = None) -> Cover:
    """Give the days of a sheet: the cover under way or the next one; without one, a week from today."""
    today = session.now().date()
    kept = next_cover(covers_of(session.state.away), today)
    cover = kept or Cover(first=today, last=today + timedelta(days=6), who="")
    if days is None:
        return cover
    return replace(cover, last=cover.first + timedelta(days=days - 1))


def handed_pages(session: Knowing) -> tuple[PrintedPage, ...]:
    """Make the pages of handing over: the sheet, and the words of the trade."""
    from tendtui.core.glossary import glossary
    from tendtui.core.sheet_text import glossary_page, sheet_printed

    sheet = sheet_of(session, cover_for(session))
    return sheet_printed(sheet), glossary_page(glossary(read_data("glossary")))


def ahead_of(session: Knowing, cover: Cover) -> tuple[DayAhead, ...]:
    """Give the forecast for the days of an absence; nothing before the rack's own thirst is known."""
    from tendtui.core.forecast import days_ahead
    from tendtui.session.learning import view_now

    view = view_now(session)
    if view.learning.thirst is None:
        return ()
    return days_ahead(view, first=cover.first, last=cover.last)


def _before(needs: Needs) -> tuple[Event, ...]:
    """Give what was logged before a walk, nothing of its own."""
    own = f"{needs.walk.id}-"
    return tuple(event for event in needs.events if not event.id.startswith(own))


def _speaks_of_a_leak(told: Iterable[str]) -> bool:
    """Say whether a leak is among the patterns that a round told."""
    from tendtui.core.pattern import patterns_from

    told = tuple(told)
    leaks = [_(p.what) for p in patterns_from(read_data("patterns")) if p.detect == "leak"] if told else []
    return any(leak in line for leak in leaks for line in told)


def _leaks_now(session: Knowing) -> bool:
    """Say whether the readings speak of a leak now."""
    from tendtui.session.learning import signs_now, view_now

    return any(sign.pattern.detect == "leak" for sign in signs_now(view_now(session)))


def _bottle_l(rack: Rack, events: Iterable[Event], at: datetime) -> float | None:
    """Give what is left in the day's bottle, about: more or less than its label says is typed as it was."""
    from tendtui.core.event import Poured
    from tendtui.core.sheet_bottles import bottles_for

    before = tuple(event for event in events if event.at <= at)
    found = bottles_for(rack, before, first=at.date(), days=1, now=at)
    if not found.days[0].litres:
        return None
    today = (e for e in before if isinstance(e, Poured) and e.what == "water")
    gone = sum(e.litres or 0.0 for e in today if e.at.astimezone(at.tzinfo).date() == at.date())
    return max(0.0, found.days[0].litres - gone)
