"""The reading at the end of change day: what is expected, how it is judged, what it leaves in the log."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

from tendtui.core.band import Band
from tendtui.core.bands import Bands
from tendtui.core.change_station import Facts, number_question
from tendtui.core.dose_foresee import Foreseen
from tendtui.core.event import Reading
from tendtui.core.fresh_mix import FreshMix
from tendtui.core.habit import Habit
from tendtui.core.judge import cannot_be, judge
from tendtui.core.plan import Amounts, Ranges, Step
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.show import show_band, show_value
from tendtui.core.tier_volume import drain_back
from tendtui.core.units import at_25_c
from tendtui.core.walk_value import Answers, Judgement, Walk
from tendtui.value import field, replace, value_class
from tendtui.words import _

__all__ = ["FreshReading"]

_LEVEL_L, _LEVEL_SHARE = 2.0, 0.10
"""How far the level may stand from what was filled in: litres, share of the full mark; the larger counts.
Common practice, no source: a jug and lines on a wall repeat within a few percent."""

_ASKED = ("level", "temperature", "conductivity", "ph")


@value_class
class FreshReading:
    """Asks for level, conductivity, pH and temperature of the fresh mix, and judges them as a dose does."""

    rack: Rack
    bands: Bands
    mix: FreshMix | None
    steps: tuple[Step, ...]
    """What was really done."""
    early: str = ""
    """Said where the wait was cut short."""

    def station(self, answers: Answers, *, reached: bool) -> Station:
        """Give the stop; what is expected is worked out once it is reached."""
        asks = {
            "level": _("Level, pump running?"),
            "conductivity": _("Conductivity?"),
            "ph": _("pH?"),
            "temperature": _("Temperature?"),
        }
        # a meter that doesn't compensate says nothing without the temperature
        order = ("level", "conductivity", "ph", "temperature")
        order = order if self.rack.meter.temperature_compensated else _ASKED
        questions = tuple(
            number_question(
                self.rack,
                f"read.{name}",
                asks[name],
                Quantity(name),
                facts=self._facts(Quantity(name), answers) if reached else (),
            )
            for name in order
        )
        if self.early:
            questions = tuple(_with_before(question, self.early) for question in questions)
        return Station(id="read", name=_("read"), questions=questions, section="read")

    def refuse(self, quantity: Quantity, value: float) -> str:
        """Refuse a level that the reservoir can't hold."""
        return cannot_be(value, quantity=quantity, reservoir=self.rack.reservoir, show=self.rack.show)

    def judge(self, quantity: Quantity, typed: float, answers: Answers) -> Judgement:
        """Want a second reading of what is far from the mix, or can hardly be."""
        value = self._at_25(quantity, typed, answers)
        if quantity is Quantity.LEVEL:
            return self._judged_level(value)
        bands = {
            Quantity.CONDUCTIVITY: self.bands.conductivity.band,
            Quantity.PH: self.bands.ph.band,
            Quantity.TEMPERATURE: self.bands.temperature.band,
        }
        judged = judge(
            value,
            quantity=quantity,
            band=bands.get(quantity),
            habit=Habit(quantity=quantity),
            show=self.rack.show,
            meter=self.rack.meter,
            reservoir=self.rack.reservoir,
        )
        pair = self._range(quantity)
        if judged.again or pair is None:
            return judged
        steps = {
            Quantity.CONDUCTIVITY: self.rack.meter.conductivity_step_ms_cm,
            Quantity.PH: self.rack.meter.ph_step,
        }
        # twice the nine-in-ten range on either side, as in the dose: few true readings lie outside
        width = max(pair[1] - pair[0], 4.0 * steps.get(quantity, 0.0))
        if pair[0] - width <= value <= pair[1] + width:
            return judged
        return Judgement(
            again=_("{value} is far from what was expected. Stir, rinse the probe, and read again.").format(
                value=show_value(value, quantity, self.rack.show)
            ),
            look=True,
        )

    def reading(self, walk: Walk, answers: Answers, now: datetime) -> Reading | None:
        """Give the reading for the log; None where nothing was read."""
        given = {name: answers.by_key.get(f"read.{name}") for name in _ASKED}
        values = {
            name: self._at_25(Quantity(name), answer.value, answers)
            for name, answer in given.items()
            if answer is not None and answer.value is not None
        }
        if not values:
            return None
        times = [a.at for a in given.values() if a is not None and a.at is not None and a.value is not None]
        return Reading(
            id="",
            seq=0,
            at=min(times, default=now),
            by=walk.by,
            level_l=values.get("level"),
            conductivity_ms_cm=values.get("conductivity"),
            ph=values.get("ph"),
            temperature_c=values.get("temperature"),
            doubt=tuple(name for name, a in given.items() if a is not None and a.doubt),
            first={
                name: self._at_25(Quantity(name), a.first, answers)
                for name, a in given.items()
                if a is not None and a.first is not None
            },
            source="dose",
        )

    def _judged_level(self, level_l: float) -> Judgement:
        expected_l = self._foreseen().expect.level_l
        if expected_l is None:
            return Judgement()
        reservoir, show = self.rack.reservoir, self.rack.show
        # what ran back when the pump stopped was drained too: it is missing now
        slack_l = max(_LEVEL_L, _LEVEL_SHARE * reservoir.full_l, 1.5 * drain_back(self.rack).estimate_l)
        if abs(level_l - expected_l) > slack_l + 1e-9:
            again = _(
                "{value} is far from the {expected} that were filled in. Pump running? Read the mark again."
            )
            return Judgement(
                again=again.format(
                    value=show_value(level_l, Quantity.LEVEL, show),
                    expected=show_value(expected_l, Quantity.LEVEL, show),
                ),
                look=True,
            )
        if level_l < reservoir.least_l:
            return Judgement(notice=_("[!] That is below the least mark: the pump draws air."), look=True)
        return Judgement()

    def _facts(self, quantity: Quantity, answers: Answers) -> Facts:
        show = self.rack.show
        level_l, pair = self._foreseen().expect.level_l, self._range(quantity)
        if quantity is Quantity.LEVEL and level_l is not None:
            told = _("about {value}").format(value=show_value(round(level_l, 1), quantity, show))
            return ((_("expected"), told),)
        if pair is None:
            return ()
        share = 1.0 / self._at_25(quantity, 1.0, answers)
        decimals = 2 if quantity is Quantity.CONDUCTIVITY else 1
        band = Band(low=round(pair[0] * share, decimals), high=round(pair[1] * share, decimals))
        return ((_("expected"), show_band(band, quantity, show)),)

    def _range(self, quantity: Quantity) -> tuple[float, float] | None:
        ranges = self._foreseen().range
        return {Quantity.CONDUCTIVITY: ranges.conductivity_ms_cm, Quantity.PH: ranges.ph}.get(quantity)

    def _at_25(self, quantity: Quantity, value: float, answers: Answers) -> float:
        temperature_c = answers.value("read.temperature")
        if (
            quantity is not Quantity.CONDUCTIVITY
            or self.rack.meter.temperature_compensated
            or temperature_c is None
        ):
            return value
        return at_25_c(conductivity_ms_cm=value, temperature_c=max(temperature_c, 0.0))

    def _foreseen(self) -> Foreseen:
        if self.mix is None:
            return Foreseen(expect=Amounts(), range=Ranges())
        return _foreseen_once(
            _Done(rack=self.rack, tank=repr(self.mix.model.tank), steps=self.steps, mix=self.mix)
        )


@value_class
class _Done:
    """What was done, compared by value: a script made anew for the next key finds what was foreseen."""

    rack: Rack
    tank: str
    steps: tuple[Step, ...]
    mix: FreshMix = field(compare=False)

    def __hash__(self) -> int:
        return hash((self.tank, len(self.steps)))


@lru_cache(maxsize=4)
def _foreseen_once(done: _Done) -> Foreseen:
    try:
        return done.mix.foreseen(done.steps)
    except ValueError:  # the chemistry can't settle it: nothing is expected
        return Foreseen(expect=Amounts(), range=Ranges())


def _with_before(question: Question, said: str) -> Question:
    return replace(question, before=(said, *question.before))
