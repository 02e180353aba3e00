"""The figures behind the slow list, as the data file gives them."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.value import value_class

__all__ = ["SlowRules", "read_rules"]


@value_class
class SlowRules:
    """Thresholds and weights; sources stand in the data file."""

    hot_c: float
    """Water above this counts as a heat spell. [°C]"""
    cold_c: float
    """Water below this counts as a cold spell. [°C]"""
    hold_days: float
    """How long one temperature speaks for the weather. [d]"""
    longest_wait_months: int
    """A slow task never done is due this long after the rack began, at the latest."""
    risk: Mapping[str, float]
    """Severity -> weight of a task that has no weight of its own."""
    late_cap: float
    """Lateness counts for at most so many periods."""
    change_habit_days: int
    change_ceiling_days: int
    tanks_added: float
    """Tanks of water added since the change that ask for the next."""
    usual_ms_cm: float
    """Source water for which one tank added asks for a change. [mS/cm]"""
    least_weight: float
    """Least weight of water added, however soft it is."""
    most_weight: float
    """Greatest weight of water added, however salty it is."""
    creep_ms_cm: float
    """Rise at the full mark on water alone that counts as creeping. [mS/cm]"""
    sick_days: int
    """How long sick roots seen in a round speak for a change. [d]"""
    alike_percent: float
    fallen_percent: float
    lip_minutes: float
    """Minutes without flow for pipes that stand full to the lip. [min]"""
    hot_minutes: float
    """The same in heat, or for roots that hang short. [min]"""
    closes_stop: Mapping[str, str]
    """Place of a task -> who may close a stop found there; under `usual` everywhere else."""

    def closer(self, place: str) -> str:
        """Give who may close a stop: `shown` or `grower`."""
        return self.closes_stop.get(place, self.closes_stop["usual"])


def read_rules(table: Mapping[str, Mapping[str, float | str]]) -> SlowRules:
    """Take the figures from the tables of the data file.

    Raises:
        KeyError: If one is missing; the packaged file has them all.
    """
    risk = table["risk"]
    change = table["change"]
    return SlowRules(
        hot_c=float(table["weather"]["hot_c"]),
        cold_c=float(table["weather"]["cold_c"]),
        hold_days=float(table["weather"]["hold_days"]),
        longest_wait_months=int(table["first"]["longest_wait_months"]),
        risk={name: float(risk[name]) for name in ("stop", "today", "week")},
        late_cap=float(risk["late_cap"]),
        change_habit_days=int(change["habit_days"]),
        change_ceiling_days=int(change["ceiling_days"]),
        tanks_added=float(change["tanks_added"]),
        usual_ms_cm=float(change["usual_ms_cm"]),
        least_weight=float(change["least_weight"]),
        most_weight=float(change["most_weight"]),
        creep_ms_cm=float(change["creep_ms_cm"]),
        sick_days=int(change["sick_days"]),
        alike_percent=float(table["flow"]["alike_percent"]),
        fallen_percent=float(table["flow"]["fallen_percent"]),
        lip_minutes=float(table["safe_without_flow"]["lip_minutes"]),
        hot_minutes=float(table["safe_without_flow"]["hot_minutes"]),
        closes_stop={place: str(who) for place, who in table["closes_stop"].items()},
    )
