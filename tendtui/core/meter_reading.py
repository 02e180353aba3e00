"""Readings inside a task that tell of meters and source water: buffers, standard, tap, drops."""

from __future__ import annotations

from tendtui.core.event import Event
from tendtui.core.meter_check import check_conductivity, check_ph, last_value
from tendtui.core.prompt import Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_value
from tendtui.core.task_question import number_question, verdict_question
from tendtui.core.walk_value import Answers
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["MEQ_A_DROP", "MG_A_DROP", "MeterReadings", "in_table"]

MG_A_DROP = 17.848
"""What a drop stands for on a 5 mL sample. [mg/L CaCO3] Source: 1 °dKH, computed from formula weights."""
MEQ_A_DROP = 0.3566
"""The same. [meq/L] Source: 1 °dKH, computed from formula weights."""


def in_table(temperature_c: float | None) -> float:
    """Give the temperature inside the tables of the standards, 0 to 40; 25 where it isn't known. [°C]."""
    return 25.0 if temperature_c is None else min(40.0, max(0.0, temperature_c))


@value_class
class MeterReadings:
    """Stations for the meters and the tap, and what they say."""

    rack: Rack
    events: tuple[Event, ...]

    def station(self, kind: str, answers: Answers) -> Station:
        """Give the station of a kind: `buffers`, `standard`, `source` or `drops`."""
        makers = {
            "buffers": self._buffers,
            "standard": self._standard,
            "source": self._source,
            "drops": self._drops,
        }
        return makers[kind](answers)

    # buffers

    def _buffers(self, answers: Answers) -> Station:
        place = _("meters, at a clean cup")
        last = last_value(self.events, "calibrate-ph", "offset_ph")
        facts = () if last is None else ((_("last time"), _("{shift:+.2f} in buffer 7").format(shift=last)),)
        return Station(
            id="buffers",
            name=_("pH meter in buffers"),
            questions=(
                number_question(
                    self.rack,
                    "buffers.temperature_c",
                    place,
                    _("How warm is the buffer?"),
                    Quantity.TEMPERATURE,
                    optional=True,
                ),
                number_question(
                    self.rack,
                    "buffers.seven",
                    place,
                    _("What does it show in buffer 7?"),
                    Quantity.PH,
                    facts=facts,
                ),
                number_question(
                    self.rack, "buffers.four", place, _("What does it show in buffer 4?"), Quantity.PH
                ),
                verdict_question("buffers", place, self._buffers_say(answers)),
            ),
        )

    def _buffers_say(self, answers: Answers) -> tuple[str, ...]:
        seven, four = answers.value("buffers.seven"), answers.value("buffers.four")
        if seven is None or four is None:
            return ()
        temperature_c = answers.value("buffers.temperature_c")
        check = check_ph(
            shown_7_ph=seven,
            shown_4_ph=four,
            temperature_c=in_table(temperature_c),
            last_offset_ph=last_value(self.events, "calibrate-ph", "offset_ph"),
        )
        lines = [
            _("Slope {slope:.0f} percent of the ideal; 95 to 105 is good.").format(slope=check.slope_percent),
            _("Offset {shift:+.2f} pH, {mv:+.0f} mV; within 15 mV is good.").format(
                shift=check.offset_ph, mv=check.offset_mv
            ),
        ]
        if check.drift_ph is not None:
            lines.append(_("Drift since the last check: {shift:+.2f} pH.").format(shift=check.drift_ph))
        return (*lines, check.words)

    # conductivity standard

    def _standard(self, answers: Answers) -> Station:
        place = _("meters, at a clean, dry cup")
        last = last_value(self.events, "calibrate-conductivity", "error_percent")
        facts = () if last is None else ((_("last time"), _("{error:+.1f} percent").format(error=last)),)
        ask = _("What does it show in the standard of 1.413 mS/cm (1413 µS/cm)?")
        warm = number_question(
            self.rack, "standard.temperature_c", place, _("How warm is the standard?"), Quantity.TEMPERATURE
        )
        return Station(
            id="standard",
            name=_("conductivity meter in its standard"),
            questions=(
                *(() if self.rack.meter.temperature_compensated else (warm,)),
                number_question(self.rack, "standard.shown", place, ask, Quantity.CONDUCTIVITY, facts=facts),
                verdict_question("standard", place, self._standard_says(answers)),
            ),
        )

    def _standard_says(self, answers: Answers) -> tuple[str, ...]:
        shown = answers.value("standard.shown")
        if shown is None:
            return ()
        warm = answers.value("standard.temperature_c")
        check = check_conductivity(
            shown_ms_cm=shown,
            temperature_c=in_table(warm),
            compensated=self.rack.meter.temperature_compensated or warm is None,
            last_error_percent=last_value(self.events, "calibrate-conductivity", "error_percent"),
        )
        lines = [_("It shows {error:+.1f} percent; within 2 is good.").format(error=check.error_percent)]
        if check.drift_percent is not None:
            lines.append(
                _("Drift since the last check: {error:+.1f} percent.").format(error=check.drift_percent)
            )
        return (*lines, check.words)

    # source water

    def _source(self, answers: Answers) -> Station:
        place = _("tap, at a clean cup")
        known = self.rack.source.conductivity_ms_cm
        facts = (
            ()
            if known is None
            else ((_("settings"), show_value(known, Quantity.CONDUCTIVITY, self.rack.show)),)
        )
        ask = _("What is the conductivity of the source water?")
        return Station(
            id="source",
            name=_("source water"),
            questions=(
                number_question(
                    self.rack, "source.conductivity", place, ask, Quantity.CONDUCTIVITY, facts=facts
                ),
                verdict_question("source", place, self._source_says(answers)),
            ),
        )

    def _source_says(self, answers: Answers) -> tuple[str, ...]:
        read, known = answers.value("source.conductivity"), self.rack.source.conductivity_ms_cm
        if read is None:
            return ()
        if known is None:
            return (_("The settings hold no figure yet: put this one in."),)
        if abs(read - known) <= max(0.05, 0.1 * known):
            return (_("As in the settings."),)
        return (_("It has changed. Read once more; if it stays, put it into the settings."),)

    def _drops(self, answers: Answers) -> Station:
        place = _("drop test, 5 mL of source water")
        known = self.rack.source.alkalinity_mg_l_caco3
        facts = () if known is None else ((_("settings"), _("{mg:.0f} mg/L").format(mg=known)),)
        ask = _("How many drops until the colour turned?")
        return Station(
            id="drops",
            name=_("drop test"),
            questions=(
                number_question(self.rack, "drops.count", place, ask, Quantity.COUNT, facts=facts),
                verdict_question("drops", place, self._drops_say(answers)),
            ),
        )

    def _drops_say(self, answers: Answers) -> tuple[str, ...]:
        count, known = answers.value("drops.count"), self.rack.source.alkalinity_mg_l_caco3
        if count is None:
            return ()
        line = _(
            "{n:.0f} drops are about {mg:.0f} mg/L as calcium carbonate, give or take one drop (18 mg/L)."
        )
        lines = [line.format(n=count, mg=count * MG_A_DROP)]
        if known is None or abs(known - count * MG_A_DROP) > 2 * MG_A_DROP:
            lines.append(
                _("Put the new figure into the settings: it decides the acid for each litre of water.")
            )
        return tuple(lines)
