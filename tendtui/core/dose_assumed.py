"""What a plan had to guess, the most influential first, and what measuring it would save."""

from __future__ import annotations

from tendtui.core.adjuster_strength import strength_of
from tendtui.core.dose_foresee import effect_of
from tendtui.core.dose_model import TankModel
from tendtui.core.plan import Pour, Step
from tendtui.core.quantity import Quantity
from tendtui.core.show import how_long_ago, show_value
from tendtui.words import _

__all__ = ["assumed_of"]

_DOUBT_OF = {"ph": "ph_offset", "conductivity": "gain"}
"""Meter -> the doubt that its own error makes."""

_SOME_MS_CM, _SOME_PH = 0.05, 0.1
"""What weighs the same when guesses are put in order. [mS/cm and pH]"""

_WIDE_PH = 0.2
"""Above this half-width a doubt is worth a drop test."""


def assumed_of(
    model: TankModel,
    steps: tuple[Step, ...],
    *,
    ph: float | None,
    ms_cm: float | None,
    taken: tuple[tuple[str, str], ...] = (),
) -> tuple[str, ...]:
    """Give the guesses of a plan, by how far each moves what the meters will show.

    Args:
        model: The tank.
        steps: What is done.
        ph: As read; None: not read.
        ms_cm: As read; None: not read. [mS/cm]
        taken: What else was taken for what wasn't read, each beside the doubt it makes.
    """
    rows = []
    if ph is not None and model.tank.conductivity is None and not taken:
        said = _("The conductivity was not read: {value} is taken.")
        value = show_value(model.ms_cm, Quantity.CONDUCTIVITY, model.rack.show)
        taken = (("conductivity_before_ms_cm", said.format(value=value)),)
    for doubt, said in (*taken, *_guessed(model, steps)):
        by_ms_cm, by_ph = effect_of(model, steps, doubt, ph=ph, ms_cm=ms_cm) if doubt else (0.0, 0.0)
        weight = by_ms_cm / _SOME_MS_CM + by_ph / _SOME_PH
        rows.append((weight, said + _saves(model, by_ms_cm=by_ms_cm, by_ph=by_ph)))
    rows.sort(key=lambda row: -row[0])
    return tuple(row[1] for row in rows) + _drop_test(model, steps, ph=ph, ms_cm=ms_cm)


def _saves(model: TankModel, *, by_ms_cm: float, by_ph: float) -> str:
    if by_ph >= 0.05 and by_ph / _SOME_PH >= by_ms_cm / _SOME_MS_CM:
        return " " + _("By itself it makes the expected pH unsure by {ph:.1f} either way.").format(ph=by_ph)
    if by_ms_cm >= 0.02:
        return " " + _("By itself it makes the expected conductivity unsure by {value} either way.").format(
            value=show_value(by_ms_cm, Quantity.CONDUCTIVITY, model.rack.show)
        )
    return ""


def _guessed(model: TankModel, steps: tuple[Step, ...]) -> list[tuple[str, str]]:
    tank, rack = model.tank, model.rack
    rows = [(_DOUBT_OF[doubt.meter], doubt.said) for doubt in model.learned.doubts]
    if tank.temperature is None:
        rows.append(
            (
                "",
                _("The temperature was not read: {value} is taken.").format(
                    value=show_value(model.temperature_c, Quantity.TEMPERATURE, rack.show)
                ),
            )
        )
    if tank.level is not None and tank.level.carried:
        rows.append(
            (
                "level_l",
                _(
                    "The level was read {ago} and carried through what was logged since: {value}. Read it, "
                    "for a "
                    "narrower range."
                ).format(
                    ago=how_long_ago(tank.level.at, tank.at),
                    value=show_value(tank.level.value, Quantity.LEVEL, rack.show),
                ),
            )
        )
    if not tank.pipes_known:
        rows.append(
            (
                "pipes",
                _("The pipes are taken to hold {value}, computed from their measures.").format(
                    value=show_value(tank.pipes_l, Quantity.VOLUME, rack.show)
                ),
            )
        )
    return rows + _guessed_of_bottles(model, steps)


def _guessed_of_bottles(model: TankModel, steps: tuple[Step, ...]) -> list[tuple[str, str]]:
    rows: list[tuple[str, str]] = list(model.water.assumed)
    if model.feed is not None:
        rows += [("phosphate", said) for said in model.feed.assumed]
    if not model.rack.reservoir.aerated and model.tank.alkalinity is None:
        rows.append(
            (
                "pco2",
                _("No air pump runs: how much carbon dioxide stands in the water is a guess."),
            )
        )
    poured = {step.what for step in steps if isinstance(step, Pour)}
    for adjuster in model.rack.adjusters:
        if adjuster.name in poured:
            rows += [("response", said) for said in strength_of(adjuster).assumed]
    return rows


def _drop_test(
    model: TankModel, steps: tuple[Step, ...], *, ph: float | None, ms_cm: float | None
) -> tuple[str, ...]:
    if ph is None or model.tank.alkalinity is not None:
        return ()
    widest = max(
        effect_of(model, steps, doubt, ph=ph, ms_cm=ms_cm)[1] for doubt in ("phosphate", "alkalinity", "pco2")
    )
    if widest < _WIDE_PH:
        return ()
    return (
        _(
            "The expected pH is wide. A drop test of the tank itself, or a jar test with the bottle, would "
            "narrow it."
        ),
    )
