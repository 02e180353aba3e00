"""Readings taken inside a task: their stations, and the numbers that they leave."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tendtui.core.event import Event
from tendtui.core.meter_check import check_conductivity, check_ph
from tendtui.core.meter_reading import MEQ_A_DROP, MeterReadings, in_table
from tendtui.core.prompt import Station
from tendtui.core.rack import Rack
from tendtui.core.slow_rules import SlowRules
from tendtui.core.walk_value import Answers
from tendtui.core.water_reading import WaterReadings, flows_read

__all__ = ["reading_stations", "reading_values"]

_OF_WATER = ("flow", "levels")


def reading_stations(
    reads: Iterable[str], answers: Answers, *, rack: Rack, events: tuple[Event, ...], rules: SlowRules
) -> tuple[Station, ...]:
    """Give one station for each kind of reading, with what the numbers mean at its end."""
    meters = MeterReadings(rack=rack, events=events)
    water = WaterReadings(rack=rack, events=events, rules=rules)
    return tuple(
        water.station(kind, answers) if kind in _OF_WATER else meters.station(kind, answers) for kind in reads
    )


def reading_values(rack: Rack, reads: Iterable[str], answers: Answers) -> Mapping[str, float]:
    """Give the numbers read inside the task, by the names under which they are logged."""
    direct = {
        "temperature_c": answers.value("buffers.temperature_c"),
        "buffer_7": answers.value("buffers.seven"),
        "buffer_4": answers.value("buffers.four"),
        "standard_ms_cm": answers.value("standard.shown"),
        "source_ms_cm": answers.value("source.conductivity"),
        "drops": answers.value("drops.count"),
        "level_running_l": answers.value("levels.running"),
        "level_stopped_l": answers.value("levels.stopped"),
    }
    values = {name: value for name, value in direct.items() if value is not None}
    if "drops" in values:
        values["alkalinity_meq_l"] = values["drops"] * MEQ_A_DROP
    values.update({f"flow.{name}": value for name, value in flows_read(rack, answers).items()})
    values.update(_worked_out(rack, values, answers))
    return values if set(reads) else {}


def _worked_out(rack: Rack, values: Mapping[str, float], answers: Answers) -> dict[str, float]:
    found: dict[str, float] = {}
    if "buffer_7" in values and "buffer_4" in values:
        warm = values.get("temperature_c", 25.0)
        check = check_ph(
            shown_7_ph=values["buffer_7"],
            shown_4_ph=values["buffer_4"],
            temperature_c=in_table(warm),
        )
        found.update(slope_percent=check.slope_percent, offset_ph=check.offset_ph, offset_mv=check.offset_mv)
    if "standard_ms_cm" in values:
        warm_standard = answers.value("standard.temperature_c")
        standard = check_conductivity(
            shown_ms_cm=values["standard_ms_cm"],
            temperature_c=in_table(warm_standard),
            compensated=rack.meter.temperature_compensated or warm_standard is None,
        )
        found["error_percent"] = standard.error_percent
    return found
