"""Everything that the slow list's part of rack.toml can have wrong, collected."""

from __future__ import annotations

from collections.abc import Mapping

from tendtui.core.finding import Finding
from tendtui.core.light import lamps_of
from tendtui.core.rack import Rack
from tendtui.core.region import Region, read_regions, region_named
from tendtui.core.safety_load import is_mains, load_findings
from tendtui.core.safety_weight import weight_findings
from tendtui.core.slow_list import tasks_of
from tendtui.words import _

__all__ = ["described_findings", "slow_findings"]


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
    of_region = _of_region(rack, region, data["regions"], file=file)
    return (*of_region, *of_tasks, *described_findings(rack, region, file=file))


def described_findings(rack: Rack, region: Region | None, *, file: str = "rack.toml") -> tuple[Finding, ...]:
    """Give what can't be right in the rack as described: mains, devices, weights and lights.

    Args:
        rack: The rack.
        region: For the rule on loads; None: not known.
        file: The file's name for the findings.
    """
    _lamps, of_lamps = lamps_of(rack, file=file)
    try:
        weights = weight_findings(rack, file=file)
    except ValueError:
        weights = ()  # a tier whose measures can't be is found where tiers are checked
    strange = rack.mains is not None and not is_mains(volts=rack.mains.volts)
    # a strange voltage was told where the file is read; sums with it would mean nothing
    loads = () if strange else load_findings(rack, region, file=file)
    return (*loads, *weights, *of_lamps)


def _of_region(
    rack: Rack, region: Region | None, table: Mapping[str, object], *, file: str
) -> tuple[Finding, ...]:
    """Say that a region isn't known, so that nobody trusts figures of it."""
    if region is not None or not rack.place.region:
        return ()
    names = ", ".join(known.name for known in read_regions(table))
    what = _("{region} is no region that this program knows").format(region=rack.place.region)
    do = _(
        "The cautious figures count: ask a licensed electrician what your local code asks. Known: {names}."
    ).format(names=names)
    return (Finding(file=file, key="place.region", what=what, do=do, severity="advice"),)
