"""Readings inside a task that tell of the water's way: jug and seconds, the level before and after a stop."""

from __future__ import annotations

from itertools import pairwise

from tendtui.core.drain_sum import drain_sum
from tendtui.core.event import Event
from tendtui.core.meter_check import last_value
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.round_reading import MOST_L_MIN
from tendtui.core.show import show_number, show_value, unit_words
from tendtui.core.slow_rules import SlowRules
from tendtui.core.task_question import number_question, verdict_question
from tendtui.core.tier_volume import drain_back
from tendtui.core.walk_value import Answers
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["WaterReadings", "flows_doubted", "flows_read"]

_TIMES = 3.0
"""An outlet that gives this many times what it gave, or the part of it, was timed wrongly. Chosen here."""


@value_class
class WaterReadings:
    """Stations for outlets and levels, and what they say."""

    rack: Rack
    events: tuple[Event, ...]
    rules: SlowRules

    def station(self, kind: str, answers: Answers) -> Station:
        """Give the station of a kind: `flow` or `levels`."""
        return self._flow(answers) if kind == "flow" else self._levels(answers)

    # outlets

    def _flow(self, answers: Answers) -> Station:
        known = self.rack.measuring.jug_l
        jug_l = known or answers.value("flow.jug") or None
        rack_place = _("at the rack")
        ask = _("How many litres does the jug hold?")
        jug = number_question(self.rack, "flow.jug", rack_place, ask, Quantity.VOLUME)
        timed = [q for number in range(len(self.rack.tiers)) for q in self._timed(number, jug_l)]
        return Station(
            id="flow",
            name=_("jug and seconds at each outlet"),
            questions=(
                *(() if known else (jug,)),
                *timed,
                verdict_question("flow", rack_place, self._flow_says(answers)),
            ),
        )

    def _timed(self, number: int, jug_l: float | None) -> tuple[Question, Question]:
        """Ask twice at one outlet: seconds for the jug, or the flow itself where no jug is known."""
        tier = self.rack.tiers[number]
        last = self._last_flow(tier.name)
        facts = () if last is None else ((_("last time"), self._last_words(last, jug_l)),)
        if jug_l is not None:
            facts = ((_("jug"), show_value(jug_l, Quantity.VOLUME, self.rack.show)), *facts)
        place = _("{tier}, its outlet").format(tier=tier.name)
        first = _("What flows here?") if jug_l is None else _("How many seconds until the jug is full?")
        a, b = (
            number_question(
                self.rack, f"flow.{number + 1}{turn}", place, ask, Quantity.FLOW, facts=facts, jug_l=jug_l
            )
            for turn, ask in (("a", first), ("b", _("And once more?")))
        )
        return a, b

    def _last_words(self, flow_l_min: float, jug_l: float | None) -> str:
        shown = show_value(flow_l_min, Quantity.FLOW, self.rack.show)
        if jug_l is None or flow_l_min <= 0.0:
            return shown
        seconds = show_value(round(60.0 * jug_l / flow_l_min), Quantity.SECONDS, self.rack.show)
        return f"{seconds} ({shown})"

    def doubt(self, number: int, flow_l_min: float) -> str:
        """Say why a timing is hard to believe; an empty text: it may be so.

        Args:
            number: The tier's place, from 1.
            flow_l_min: What the timing makes. [L/min]
        """
        flow = show_value(flow_l_min, Quantity.FLOW, self.rack.show)
        last = self._last_flow(self.rack.tiers[number - 1].name)
        if last is not None and last > 0.0 and not 1.0 / _TIMES < flow_l_min / last < _TIMES:
            return _("That makes {flow}; last time it was {last}. Was the jug full? Time it again.").format(
                flow=flow, last=show_value(last, Quantity.FLOW, self.rack.show)
            )
        if flow_l_min > MOST_L_MIN:
            return _("That makes {flow}: few pumps of such a rack give as much. Time it again.").format(
                flow=flow
            )
        return ""

    def contradicts_good(self, answers: Answers) -> str:
        """Give what the outlets' timings say against `all alike`; an empty text: nothing."""
        return " ".join(self._flow_faults(flows_read(self.rack, answers)))

    def _last_flow(self, tier: str) -> float | None:
        return last_value(self.events, "time-the-outlets", f"flow.{tier}")

    def _flow_says(self, answers: Answers) -> tuple[str, ...]:
        flows = flows_read(self.rack, answers)
        if not flows:
            return ()
        unit = unit_words(Quantity.FLOW, self.rack.show)
        told = ", ".join(
            f"{name} {show_number(value, Quantity.FLOW, self.rack.show)}" for name, value in flows.items()
        )
        lines = [_("{flows} {unit}.").format(flows=told, unit=unit), *self._flow_faults(flows)]
        if len(lines) == 1:
            lines.append(_("All alike."))
        return tuple(lines)

    def _flow_faults(self, flows: dict[str, float]) -> list[str]:
        lines = []
        names = list(flows)
        for above, below in pairwise(names):
            if flows[below] < flows[above] * (1.0 - self.rules.alike_percent / 100.0):
                says = _(
                    "{low} gives less than {high} above it: its pipe is filling (outlet blocked) or leaking."
                )
                lines.append(says.format(low=below, high=above))
        fallen = [name for name in names if self._has_fallen(name, flows[name])]
        if fallen and len(fallen) == len(names):
            lines.append(
                _("All are down by a quarter on last time: prefilter, scale, low level or a kinked hose.")
            )
        return lines

    def _has_fallen(self, tier: str, flow_l_min: float) -> bool:
        last = self._last_flow(tier)
        return last is not None and flow_l_min <= last * (1.0 - self.rules.fallen_percent / 100.0)

    # pump-off test

    def _levels(self, answers: Answers) -> Station:
        place = _("reservoir scale")
        running = answers.value("levels.running")
        stop = _("Pump off at the plug, with dry hands. Wait 15 minutes. What is the level then?")
        stopped = number_question(self.rack, "levels.stopped", place, stop, Quantity.LEVEL)
        return Station(
            id="levels",
            name=_("level, pump running and stopped"),
            questions=(
                number_question(
                    self.rack, "levels.running", place, _("Level with the pump running?"), Quantity.LEVEL
                ),
                replace(stopped, before=drain_sum(self.rack, level_l=running)),
                verdict_question("levels", place, self._levels_say(answers)),
            ),
        )

    def _levels_say(self, answers: Answers) -> tuple[str, ...]:
        running, stopped = answers.value("levels.running"), answers.value("levels.stopped")
        if running is None or stopped is None:
            return ()
        show, back = self.rack.show, drain_back(self.rack)
        lines = [_("{litres} ran back.").format(litres=show_value(stopped - running, Quantity.VOLUME, show))]
        brim = self.rack.reservoir.brim_l
        if stopped - running > back.worst_l:
            lines.append(_("More than the pipes hold: a pipe siphons empty. Give its hose an air hole."))
        if brim is not None:
            at_full = self.rack.reservoir.full_l + stopped - running
            room = _("From the full mark it would rise to {litres}; the brim is at {brim}.")
            told = room.format(
                litres=show_value(at_full, Quantity.VOLUME, show),
                brim=show_value(brim, Quantity.VOLUME, show),
            )
            lines.append(told if at_full < brim - back.spare_l else told + " " + _("Lower the full mark."))
        return tuple(lines)


def flows_read(rack: Rack, answers: Answers) -> dict[str, float]:
    """Give the mean of what was timed at each outlet, in litres a minute."""
    flows: dict[str, float] = {}
    for number, tier in enumerate(rack.tiers, start=1):
        turns = (answers.value(f"flow.{number}a"), answers.value(f"flow.{number}b"))
        timed = [turn for turn in turns if turn is not None]
        if timed:
            flows[tier.name] = sum(timed) / len(timed)
    return flows


def flows_doubted(rack: Rack, answers: Answers) -> tuple[str, ...]:
    """Give the outlets, as a reading names its doubts, where no two timings agreed, or none can be so."""
    doubted = []
    for number, tier in enumerate(rack.tiers, start=1):
        turns = (answers.by_key.get(f"flow.{number}{turn}") for turn in "ab")
        given = [turn for turn in turns if turn is not None and turn.value is not None]
        if any(turn.doubt or (turn.value or 0.0) > MOST_L_MIN for turn in given):
            doubted.append(f"flow.{tier.name}")
    return tuple(doubted)
