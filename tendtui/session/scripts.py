"""Which script a walk follows, made from the rack, the log and the packaged data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

from tendtui.errors import OutOfTurnError
from tendtui.store.data_file import read_data
from tendtui.value import field, replace, value_class
from tendtui.words import _

if TYPE_CHECKING:
    from datetime import datetime

    from tendtui.core.event import Event, Reading
    from tendtui.core.pattern_view import View
    from tendtui.core.rack import Rack
    from tendtui.core.state import State
    from tendtui.core.walk import Script, Walk

__all__ = ["Needs", "script_for"]


@value_class
class Needs:
    """What scripts are made from."""

    walk: Walk
    rack: Rack | None
    """None: there is none yet; only the set-up can do without."""
    events: tuple[Event, ...]
    """Effective events of the last months, in time order."""
    state: State
    now: datetime
    done: Mapping[str, datetime]
    by: str = ""
    """Who is at it now; empty: as when the walk began."""
    resumed_at: datetime | None = None
    """When the walk was taken up again; None: this run of the program began it."""

    def known_rack(self) -> Rack:
        """Give the rack.

        Raises:
            OutOfTurnError: If there is none yet.
        """
        if self.rack is None:
            raise OutOfTurnError(_("There is no rack yet"), _("Describe it first: tendtui setup."))
        return self.rack


def script_for(needs: Needs) -> Script:
    """Make the script of a walk.

    Raises:
        OutOfTurnError: If this version knows no such walk.
    """
    family = needs.walk.kind.partition(":")[0]
    maker = _MAKERS.get(family)
    if maker is None:
        raise OutOfTurnError(
            _("This version knows no walk called {kind}").format(kind=needs.walk.kind),
            _("A newer tendtui may have begun it; give it up, or go on with that one."),
        )
    return maker(needs)


def _round(needs: Needs) -> Script:
    from tendtui.core.looks import round_words
    from tendtui.core.round import round_script
    from tendtui.session.knowledge import rack_bands

    rack = needs.known_rack()
    return round_script(
        rack=rack,
        events=needs.events,
        began=needs.walk.began,
        words=round_words(read_data("round")),
        bands=rack_bands(rack, needs.events, needs.walk.began),
        by=needs.walk.by,
        warned=_warned(needs),
        signs_with=lambda reading: _signs_with(needs, reading),
        doubts_with=lambda reading: _doubts_with(needs, reading),
    )


def _signs_with(needs: Needs, reading: Reading) -> tuple[tuple[str, str], ...]:
    """Give the patterns that speak once a round's reading is among the others."""
    from tendtui.core.role import Act, may, role_of
    from tendtui.session.learning import pressing_signs, signs_to_pass_on

    by = needs.by or needs.walk.by
    acts = may(role_of(needs.known_rack(), by), Act.FEED)
    return (pressing_signs if acts else signs_to_pass_on)(_view_with(needs, reading))


@value_class(kw_only=False)
class _Begun:
    """What stood in the log as a round began: the round is asked by it until its end."""

    walk: str
    many: int
    known: tuple[Event, ...] = field(compare=False)
    needs: Needs = field(compare=False)

    def __hash__(self) -> int:
        return hash((self.walk, self.many))


def _warned(needs: Needs) -> Mapping[str, str]:
    """Give the tiers that today's page warns of as a round begins, and what it says."""
    known = tuple(event for event in needs.events if event.at <= needs.walk.began)
    return _warned_once(_Begun(needs.walk.id, len(known), known, needs))


@lru_cache(maxsize=2)
def _warned_once(begun: _Begun) -> Mapping[str, str]:
    from tendtui.session.learning import outlets_closing, view_of

    needs = begun.needs
    return outlets_closing(view_of(needs.known_rack(), begun.known, needs.state, needs.walk.began))


def _doubts_with(needs: Needs, reading: Reading) -> tuple[str, ...]:
    """Give what is to be read a second time before anything is poured on a round's reading."""
    from tendtui.session.learning import to_read_twice

    return to_read_twice(_view_with(needs, reading))


def _view_with(needs: Needs, *more: Reading) -> View:
    from tendtui.core.event import effective
    from tendtui.session.learning import view_of

    events = effective((*needs.events, *more))
    return view_of(needs.known_rack(), events, needs.state, needs.now)


def _leaving(needs: Needs) -> Script:
    from tendtui.core.leaving import leaving_script
    from tendtui.core.looks import round_words
    from tendtui.session.following import following_lines
    from tendtui.session.learning import pressing_signs

    return leaving_script(
        rack=needs.known_rack(),
        events=needs.events,
        began=needs.walk.began,
        words=round_words(read_data("round")),
        context=needs.walk.context,
        following=lambda: following_lines(needs),
        signs_now=lambda: tuple(f"[!] {what}." for what, _do in pressing_signs(_view_with(needs))),
    )


def _dose(needs: Needs) -> Script:
    from tendtui.core.dose_facts import dose_facts
    from tendtui.core.dose_walk import dose_script
    from tendtui.session.handover import dose_for
    from tendtui.session.knowledge import learned_of, rack_bands

    rack, walk = needs.known_rack(), needs.walk
    if needs.resumed_at is not None:
        walk = replace(walk, context={**walk.context, "resumed_at": needs.resumed_at})
    script = dose_script(
        rack=rack,
        events=needs.events,
        walk=walk,
        now=needs.now,
        bands=rack_bands(rack, needs.events, needs.walk.began),
        facts=dose_facts(read_data("feeds")),
        learned=learned_of(rack, needs.state, needs.events, until=needs.walk.began),
    )
    return dose_for(needs, script)


def _change(needs: Needs) -> Script:
    from tendtui.core.change_script import change_script
    from tendtui.core.dose_facts import dose_facts
    from tendtui.core.slow_list import FILES
    from tendtui.session.knowledge import learned_of, rack_bands

    rack, walk = needs.known_rack(), needs.walk
    if needs.resumed_at is not None:
        walk = replace(walk, context={**walk.context, "resumed_at": needs.resumed_at})
    return change_script(
        data={name: read_data(name) for name in FILES},
        rack=rack,
        events=needs.events,
        done=needs.done,
        walk=walk,
        now=needs.now,
        bands=rack_bands(rack, needs.events, needs.walk.began),
        facts=dose_facts(read_data("feeds")),
        learned=learned_of(rack, needs.state, needs.events, until=needs.walk.began),
    )


def _setup(needs: Needs) -> Script:
    from tendtui.core.crops import crops_from
    from tendtui.core.setup_ask import asks_from
    from tendtui.core.setup_walk import setup_script

    return setup_script(
        needs.walk,
        asks=asks_from(read_data("setup")),
        crops=crops_from(read_data("crops")),
        rack=needs.rack,
    )


def _fill(needs: Needs) -> Script:
    from tendtui.core.fill_walk import FillScript
    from tendtui.core.setup_ask import asks_from
    from tendtui.core.slow_list import FILES, slow_list
    from tendtui.core.walk_past import past_of

    past = past_of(needs.events, needs.walk)
    rack, began = needs.known_rack(), needs.walk.began
    slow = slow_list({name: read_data(name) for name in FILES}, rack, past, needs.done, began)
    checks = [due.task for due in slow.dues if due.task.group == "safety-first" and due.is_due]
    return FillScript(
        rack=rack,
        asks=asks_from(read_data("setup")),
        checks=tuple(task.what for task in checks),
        check_ids=tuple(task.id for task in checks),
        past=past,
    )


def _task(needs: Needs) -> Script:
    from tendtui.core.slow_list import FILES
    from tendtui.core.task_script import task_script

    return task_script(
        needs.walk,
        data={name: read_data(name) for name in FILES},
        rack=needs.known_rack(),
        events=needs.events,
        done=needs.done,
    )


def _season(needs: Needs) -> Script:
    from tendtui.core.season_walk import season_script
    from tendtui.core.slow_list import FILES, tasks_of
    from tendtui.core.walk_past import past_of

    rack = needs.known_rack()
    tasks, _findings = tasks_of({name: read_data(name) for name in FILES}, rack)
    past = past_of(needs.events, needs.walk)
    return season_script(needs.walk.kind, read_data("seasons"), tasks, rack, past=past)


def _cover(needs: Needs) -> Script:
    from tendtui.session.handover import cover_walk

    return cover_walk(needs)


def _return(needs: Needs) -> Script:
    from tendtui.session.handover import return_walk

    return return_walk(needs)


def _practice(needs: Needs) -> Script:
    from tendtui.session.handover import practice_walk

    return practice_walk(needs)


def _plants(needs: Needs) -> Script:
    from tendtui.core.plants import ACTS
    from tendtui.core.plants_walk import PlantsScript
    from tendtui.core.walk_past import past_of

    past, act = past_of(needs.events, needs.walk), needs.walk.context.get("act")
    return PlantsScript(rack=needs.known_rack(), past=past, act=str(act) if act in ACTS else "")


def _happened(needs: Needs) -> Script:
    from tendtui.core.happened_walk import happened_script
    from tendtui.core.slow_list import FILES, tasks_of

    rack = needs.known_rack()
    tasks, _findings = tasks_of({name: read_data(name) for name in FILES}, rack)
    stops = read_data("task_rules")["raises_stop"]
    return happened_script(
        needs.walk.kind,
        rack=rack,
        tasks=tasks,
        drills=read_data("drills"),
        stops=stops if isinstance(stops, Mapping) else {},
    )


def _renewed(needs: Needs) -> Script:
    from tendtui.core.renewed_walk import RenewedScript

    return RenewedScript(rack=needs.known_rack())


def _figure(needs: Needs) -> Script:
    from tendtui.core.figure_walk import FigureScript
    from tendtui.session.by_hand import table_after
    from tendtui.session.learning import learning_now

    rack, events, state = needs.known_rack(), needs.events, needs.state

    def after(act: str, figure: str) -> Mapping[str, object]:
        return table_after(rack, events, state, act=act, figure=figure, at=needs.now)

    return FigureScript(rack=rack, learning=learning_now(rack, events, state), after=after)


def _jar(needs: Needs) -> Script:
    from tendtui.core.dose_facts import dose_facts
    from tendtui.core.jar_walk import jar_script
    from tendtui.session.knowledge import learned_of, rack_bands

    rack, began = needs.known_rack(), needs.walk.began
    return jar_script(
        rack=rack,
        events=needs.events,
        began=began,
        bands=rack_bands(rack, needs.events, needs.walk.began),
        facts=dose_facts(read_data("feeds")),
        learned=learned_of(rack, needs.state, needs.events, until=began),
    )


_MAKERS: Mapping[str, Callable[[Needs], Script]] = {
    "round": _round,
    "dose": _dose,
    "change": _change,
    "fill": _fill,
    "leaving": _leaving,
    "setup": _setup,
    "task": _task,
    "plants": _plants,
    "happened": _happened,
    "renewed": _renewed,
    "figure": _figure,
    "season-end": _season,
    "season-start": _season,
    "cover": _cover,
    "return": _return,
    "practice": _practice,
    "jar": _jar,
}
