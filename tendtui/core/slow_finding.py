"""Everything that the slow list's part of rack.toml can have wrong, collected."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.finding import Finding
from tendtui.core.light import lamps_of
from tendtui.core.rack import Rack
from tendtui.core.region import read_regions, region_named
from tendtui.core.safety_load import is_mains, load_findings
from tendtui.core.safety_weight import weight_findings
from tendtui.core.slow_list import tasks_of

__all__ = ["slow_findings"]


def slow_findings(
    data: Mapping[str, Mapping[str, object]], rack: Rack, *, file: str = "rack.toml"
) -> tuple[Finding, ...]:
    """Give what is wrong with tasks, mains, devices, weights and lights.

    Args:
        data: The packaged tables, by the names in `slow_list.FILES`.
        rack: The rack.
        file: The file's name for the findings.
    """
    region = region_named(rack.place.region, read_regions(data["regions"]))
    _tasks, of_tasks = tasks_of(data, rack, file=file)
    _lamps, of_lamps = lamps_of(rack, file=file)
    try:
        weights = weight_findings(rack, file=file)
    except ValueError:
        weights = ()  # a tier whose measures can't be is found where tiers are checked
    strange = rack.mains is not None and not is_mains(volts=rack.mains.volts)
    # a strange voltage was told where the file is read; sums with it would mean nothing
    loads = () if strange else load_findings(rack, region, file=file)
    return (*of_tasks, *loads, *weights, *of_lamps)
