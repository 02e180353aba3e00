"""The words that `rack.toml` knows, and what to say about others."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.store.fields import Fields
from tendtui.words import _

__all__ = ["ANALYSIS", "CONDUCTIVITY_UNITS", "REAGENTS", "ROLES", "TABLES", "tell_unknown"]

CONDUCTIVITY_UNITS = ("mS/cm", "uS/cm", "ppm500", "ppm640", "ppm700")

REAGENTS: Mapping[str, str] = {
    "phosphoric acid": "down",
    "nitric acid": "down",
    "sulfuric acid": "down",
    "hydrochloric acid": "down",
    "citric acid": "down",
    "potassium hydroxide": "up",
    "potassium carbonate": "up",
    "potassium bicarbonate": "up",
}
"""What a pH bottle may hold -> the way it moves pH."""

ROLES = ("newcomer", "shown", "grower")

ANALYSIS = (
    "N", "N_nitrate", "N_ammonium", "N_urea", "P", "P2O5", "K", "K2O", "Ca", "CaO", "Mg", "MgO", "S", "SO3",
    "SO4", "Na", "Na2O", "Cl", "Si", "SiO2", "Fe", "Mn", "Zn", "B", "Cu", "Mo",
)  # fmt: skip
"""What labels print, in percent."""

TABLES: Mapping[str, tuple[str, ...]] = {
    "show": ("conductivity", "temperature", "volume"),
    "reservoir": ("full_L", "least_L", "pipes_L", "aerated", "brim_L"),
    "source": ("conductivity_mS_cm", "ph", "alkalinity_mg_L_CaCO3", "sodium_mg_L", "chloride_mg_L"),
    "meter": ("ppm_scale", "conductivity_step_mS_cm", "ph_step", "temperature_compensated"),
    "place": ("region", "altitude_m"),
    "target": ("conductivity_mS_cm", "ph", "temperature_C", "change_above_mS_cm", "change_every_days"),
    "tier": (
        "name", "pipe_inside_mm", "length_m", "outlet_height_mm", "outlets", "crops", "plants", "pipes",
    ),
    "feed": ("name", "label_mL_per_L", "label_g_per_L", "label_conductivity_mS_cm", "analysis"),
    "adjuster": ("name", "direction", "reagent", "percent_w_w", "strength_mol_L"),
    "measuring": ("liquid_mL", "powder_g", "water_L", "jug_L"),
    "device": ("name", "watts", "amps", "power_factor", "kind", "count", "timer_rating_A"),
    "mains": ("volts", "circuit_amps", "protection", "lead_amps"),
    "people": ("usual", "phones", "roles"),
}  # fmt: skip
"""Every table's keys, as they stand in the file; the same order as the fields of the value."""


def tell_unknown(row: Fields, table: str) -> None:
    """Tell keys that nobody reads: a slip where a known one is alike and missing, else only worth knowing."""
    known = TABLES[table]
    for key in row.table:
        if key in known:
            continue
        alike = _alike(key, tuple(word for word in known if not row.has(word)))
        if alike:
            row.fault(
                key,
                _("{key} is not a word of [{table}]").format(key=key, table=table),
                _("Was {alike} meant?").format(alike=alike),
                severity="warning",
            )
        else:
            row.fault(
                key,
                _("{key} is not a word of [{table}]; it is kept and not used").format(key=key, table=table),
                _("Nothing needs doing if you put it there for yourself."),
                severity="advice",
            )


def _alike(key: str, known: tuple[str, ...]) -> str:
    from difflib import get_close_matches

    folded = {word.casefold(): word for word in known}
    close = get_close_matches(key.casefold(), list(folded), n=1, cutoff=0.75)
    return folded[close[0]] if close else ""
