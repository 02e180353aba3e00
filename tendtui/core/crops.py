"""The crops the program knows: their bands, where each comes from, and the names people use for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache

from tendtui.core.band import Band
from tendtui.value import value_class

TYPE_CHECKING = False
if TYPE_CHECKING:
    from difflib import SequenceMatcher

__all__ = ["Crop", "CropTable", "crops_from", "find_crop", "nearest_crops"]


@value_class
class Crop:
    """One crop; None where no source was found. Every band carries its source."""

    name: str
    aliases: tuple[str, ...] = ()
    """Other names of the same crop."""
    conductivity_ms_cm: Band | None = None
    """Strength it wants, or bears where `tolerates`. [mS/cm]"""
    tolerates: bool = False
    """Whether the strength is what it bears and not what it wants."""
    young_conductivity_ms_cm: Band | None = None
    """Strength while it is young, where a source says so. [mS/cm]"""
    ph: Band | None = None
    """pH it wants."""
    drinks_l_day: Band | None = None
    """What one plant takes in full leaf. [L/day]"""
    harvest_days: Band | None = None
    """From sowing to the first harvest. [days]"""
    weak: tuple[str, ...] = ()
    """Which of `conductivity` and `ph` rest on a source of weak origin."""
    note: str = ""
    """Where sources disagree, and what was left out."""


@value_class
class CropTable:
    """All crops, and what holds where no crop says otherwise."""

    crops: tuple[Crop, ...]
    conductivity_ms_cm: Band
    """Of leafy crops in general. [mS/cm]"""
    ph: Band
    """Of leafy crops in general."""
    temperature_c: Band
    """Of the solution, for a mixed rack. [°C]"""
    warm_c: float
    """Above this something should be done. [°C]"""
    hot_c: float
    """Above this something must be done today. [°C]"""

    @cached_property
    def by_name(self) -> Mapping[str, Crop]:
        """Give every name, as `find_crop` compares them, and its crop; the first of a name counts."""
        named = [(_plain(name), crop) for crop in self.crops for name in (crop.name, *crop.aliases)]
        return dict(reversed(named))


def crops_from(table: Mapping[str, object]) -> CropTable:
    """Turn the crop table's data into values.

    Raises:
        KeyError: If a crop names a source that isn't there.
        ValueError: If a band is upside down.
    """
    sources = {key: _table(value) for key, value in _table(table["source"]).items()}
    general = _table(table["general"])
    rows = table["crop"]
    if not isinstance(rows, list):
        raise TypeError("crop is a list of tables")
    return CropTable(
        crops=tuple(_crop(_table(row), sources) for row in rows),
        conductivity_ms_cm=_sure(_band(general, "conductivity_mS_cm", "conductivity_source", sources)),
        ph=_sure(_band(general, "ph", "ph_source", sources)),
        temperature_c=_sure(_band(general, "temperature_C", "temperature_source", sources)),
        warm_c=float(str(general["warm_C"])),
        hot_c=float(str(general["hot_C"])),
    )


def find_crop(name: str, table: CropTable) -> Crop | None:
    """Find a crop by its name or another name of it; case, blanks, hyphens and a plural s don't count.

    Of `lettuce (red leaf)` the whole is looked for first, then what stands before the bracket, then inside.
    """
    found = (table.by_name.get(wanted) for wanted in _readings(name))
    return next((crop for crop in found if crop is not None), None)


def nearest_crops(name: str, table: CropTable, *, most: int = 3) -> tuple[str, ...]:
    """Give the names of the crops most like a word, the nearest first; none if none is near."""
    from difflib import SequenceMatcher  # only where a name isn't known

    wanted = _plain(name)
    scored = []
    for crop in table.crops:
        score = max(_likeness(wanted, _plain(known), SequenceMatcher) for known in (crop.name, *crop.aliases))
        if score >= 0.75:  # "letuce" and "spinage" are near, "tulip" is not
            scored.append((-score, crop.name))
    return tuple(name for _score, name in sorted(scored)[:most])


def _likeness(wanted: str, known: str, matcher: type[SequenceMatcher[str]]) -> float:
    if len(wanted) >= 3 and (known.startswith(wanted) or wanted.endswith(known) or wanted.startswith(known)):
        return 0.95  # "red lettuce", "tom"
    likeness = matcher(None, wanted, known).ratio()
    return likeness + (0.1 if known[:3] == wanted[:3] else 0.0)  # people get the beginning right


def _readings(name: str) -> tuple[str, ...]:
    before, bracket, inside = name.partition("(")
    if not bracket:
        return (_plain(name),)
    return _plain(name), _plain(before), _plain(inside.partition(")")[0])


@lru_cache(maxsize=1024)
def _plain(name: str) -> str:
    word = "".join(name.casefold().replace("-", " ").split())
    return word[:-1] if word.endswith("s") and not word.endswith(("ss", "us")) else word


def _crop(row: Mapping[str, object], sources: Mapping[str, Mapping[str, object]]) -> Crop:
    weak = tuple(
        key
        for key in ("conductivity", "ph")
        if f"{key}_source" in row and sources[str(row[f"{key}_source"])]["basis"] == "weak"
    )
    return Crop(
        name=str(row["name"]),
        aliases=tuple(str(alias) for alias in _list(row.get("aliases", []))),
        conductivity_ms_cm=_band(row, "conductivity_mS_cm", "conductivity_source", sources),
        tolerates=row.get("tolerates", False) is True,
        young_conductivity_ms_cm=_band(row, "young_conductivity_mS_cm", "young_source", sources),
        ph=_band(row, "ph", "ph_source", sources),
        drinks_l_day=_band(row, "drinks_L_day", "drinks_source", sources),
        harvest_days=_band(row, "harvest_days", "harvest_source", sources),
        weak=weak,
        note=str(row.get("note", "")),
    )


def _band(
    row: Mapping[str, object], key: str, source: str, sources: Mapping[str, Mapping[str, object]]
) -> Band | None:
    if key not in row:
        return None
    low, high = (float(str(end)) for end in _list(row[key]))
    return Band(low=low, high=high, source=str(sources[str(row[source])]["title"]))


def _sure(band: Band | None) -> Band:
    if band is None:
        raise KeyError("general")
    return band


def _table(value: object) -> Mapping[str, object]:
    if not isinstance(value, Mapping):
        raise TypeError(f"expected a table, found {value!r}")
    return value


def _list(value: object) -> Sequence[object]:
    if not isinstance(value, list):
        raise TypeError(f"expected a list, found {value!r}")
    return value
