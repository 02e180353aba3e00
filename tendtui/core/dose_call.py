"""One call for a dose, with what it was given, and a draft of its plan."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.band import Band
from tendtui.core.bands import Bands
from tendtui.core.dose_facts import DoseFacts
from tendtui.core.dose_foresee import Foreseen
from tendtui.core.dose_model import TankModel
from tendtui.core.dose_model_made import tank_model
from tendtui.core.dose_strength import MIX_MINUTES
from tendtui.core.fresh_mix import OldSolution
from tendtui.core.learned_values import Learned
from tendtui.core.mixing import mixing_since, still_mixing
from tendtui.core.plan import Amounts, Plan, Ranges, Read, Step, Verdict, Wait
from tendtui.core.rack import Rack
from tendtui.core.tank import Held, TankNow
from tendtui.value import replace, value_class

__all__ = ["MIXED", "Call", "Draft", "value_of"]

MIXED = (Wait(minutes=MIX_MINUTES), Read(what=("conductivity", "ph")))
"""What every plan that moves something ends with."""

NOTHING_KNOWN = 0.6
"""Doubt of a conductivity whose reading can't be, as a share: the tank may be plain water. Chosen here."""


@value_class
class Call:
    """One call, with what it was given."""

    rack: Rack
    tank: TankNow
    now: datetime
    bands: Bands
    facts: DoseFacts
    learned: Learned
    put_off: bool = False
    left_out: tuple[str, ...] = ()
    """Why a reading isn't reckoned with."""

    @property
    def strength_band(self) -> Band:
        """Give the wanted conductivity. [mS/cm]."""
        return self.bands.conductivity.band

    @property
    def ph(self) -> float | None:
        """Give pH as read."""
        return value_of(self.tank.ph)

    @property
    def ms_cm(self) -> float | None:
        """Give the conductivity as read. [mS/cm]."""
        return value_of(self.tank.conductivity)

    @property
    def readings(self) -> Amounts:
        """Give what was read, for the plan."""
        tank = self.tank
        return Amounts(
            level_l=value_of(tank.level),
            conductivity_ms_cm=self.ms_cm,
            ph=self.ph,
            temperature_c=value_of(tank.temperature),
        )

    def model(self) -> TankModel:
        """Give the model of the tank.

        Raises:
            ValueError: If the chemistry can't settle the water or the feed.
        """
        band = self.strength_band
        model = tank_model(
            self.rack, self.tank, self.facts, self.learned, usual_ms_cm=(band.low + band.high) / 2.0
        )
        if not self.left_out:
            return model
        spreads = replace(model.spreads, conductivity_before_ms_cm=NOTHING_KNOWN * model.ms_cm)
        return replace(model, spreads=spreads)

    def plan(
        self,
        verdict: Verdict,
        *,
        reasons: tuple[str, ...],
        steps: tuple[Step, ...] = (),
        foreseen: Foreseen | None = None,
        assumed: tuple[str, ...] = (),
        cautions: tuple[str, ...] = (),
    ) -> Plan:
        """Give a plan of it."""
        return Plan(
            at=self.now,
            readings=self.readings,
            verdict=verdict,
            reasons=reasons,
            steps=steps,
            expect=Amounts() if foreseen is None else foreseen.expect,
            range=Ranges() if foreseen is None else foreseen.range,
            assumed=assumed,
            cautions=(*self._named_too_early(), *cautions),
            level_worked_out=self.tank.level is not None and self.tank.level.moved,
        )

    def _named_too_early(self) -> tuple[str, ...]:
        """Warn where a strength or a pH is named in the call while something that went in still mixes."""
        named = any(held is not None and held.given for held in (self.tank.conductivity, self.tank.ph))
        poured_at = mixing_since(self.tank.pourings, self.now) if named else None
        return () if poured_at is None else (still_mixing(poured_at, self.now),)


@value_class
class Draft:
    """Steps and words before they are foreseen."""

    verdict: Verdict
    steps: tuple[Step, ...]
    reasons: tuple[str, ...]
    model: TankModel | None = None
    """The tank where the steps were reckoned with more than the readings."""
    cautions: tuple[str, ...] = ()
    old: OldSolution | None = None
    """At a change: what stays in the pipes, which may not have been read."""
    ph_comes_after: bool = False
    """Whether pH is mended after the reading that follows: what it will be till then is no promise."""


def value_of(held: Held | None) -> float | None:
    """Give the value that still counts, if there is one."""
    return None if held is None else held.value
