"""What the packaged data say about this rack: its bands, its slow list, what was learned of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.core.bands import Bands, bands_of
from tendtui.core.crops import crops_from
from tendtui.core.quantity import Quantity
from tendtui.store.data_file import read_data

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tendtui.core.band import Band
    from tendtui.core.rack import Rack

__all__ = ["rack_bands", "wanted"]


def rack_bands(rack: Rack) -> Bands:
    """Give the bands that this rack is kept at."""
    return bands_of(rack, crops_from(read_data("crops")))


def wanted(bands: Bands) -> Mapping[Quantity, Band]:
    """Give the bands by what they are of."""
    return {
        Quantity.CONDUCTIVITY: bands.conductivity.band,
        Quantity.PH: bands.ph.band,
        Quantity.TEMPERATURE: bands.temperature.band,
    }
