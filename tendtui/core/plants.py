"""What stands where since when, told by the log: sown, moved, harvested, pulled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from tendtui.core.event import Event, Plants
from tendtui.core.rack import Rack
from tendtui.errors import RefusedError
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["ACTS", "STAGES", "Batch", "as_planted", "check_plants", "standing", "young_by_tier"]

ACTS = ("sow", "move", "harvest", "pull", "stage")
"""What can be logged about plants."""
STAGES = ("seedling", "leaf", "flower", "fruit")
"""Stages, in order."""
YOUNG = timedelta(days=21)
"""Plants under three weeks are young. Common practice, no source."""
_MOST = 10_000


@value_class
class Batch:
    """Plants of one crop that came to one place together."""

    crop: str
    count: int
    tier: str
    """Empty: the seedling tray."""
    since: datetime
    """When they came to this place."""
    sown: datetime | None = None
    """None: bought, or sown before the log began."""
    harvested: datetime | None = None
    """When leaves were last taken."""
    stage: str = ""
    """As somebody said; empty: by the calendar."""

    def age(self, now: datetime) -> timedelta:
        """Give the age since sowing, else since they came."""
        return now - (self.sown or self.since)


def standing(events: Iterable[Event]) -> tuple[Batch, ...]:
    """Give the plants that stand, oldest first, tray included.

    The oldest are moved and pulled first. Plants moved that nobody sowed were bought.

    Args:
        events: Effective events, in time order.
    """
    batches: list[Batch] = []
    for event in events:
        if not isinstance(event, Plants):
            continue
        match event.act:
            case "sow":
                batches.append(_came(event, sown=event.at))
            case "move":
                batches = _moved(batches, event)
            case "harvest":
                batches = [replace(b, harvested=event.at) if _is_of(b, event) else b for b in batches]
            case "pull":
                batches, _taken = _take(batches, event, tier=event.tier)
            case "stage":
                batches = [replace(b, stage=event.stage) if _is_of(b, event) else b for b in batches]
            case _:
                pass
    return tuple(batches)


def check_plants(
    batches: Sequence[Batch], rack: Rack, *, act: str, crop: str, count: int, tier: str, stage: str = ""
) -> None:
    """Refuse what can't be, before it is logged.

    Args:
        batches: What stands now.
        rack: For the names of its tiers.
        act: One of `ACTS`.
        crop: Its name.
        count: How many plants.
        tier: Where; empty: the seedling tray.
        stage: For `stage`.

    Raises:
        RefusedError: With what is wrong and what to do.
    """
    if act not in ACTS:
        raise RefusedError(
            _("{act} is nothing one does with plants").format(act=act),
            _("Choose one: {acts}.").format(acts=", ".join(ACTS)),
        )
    if not crop.strip():
        raise RefusedError(_("Which crop?"), _("Type its name."))
    names = [known.name for known in rack.tiers]
    if tier and tier not in names:
        raise RefusedError(
            _("There is no tier called {tier}").format(tier=tier),
            _("Choose one: {names}.").format(names=", ".join(names)),
        )
    if act == "stage":
        if stage not in STAGES:
            raise RefusedError(
                _("{stage} is no stage").format(stage=stage),
                _("Choose one: {stages}.").format(stages=", ".join(STAGES)),
            )
    elif not 0 < count <= _MOST:
        raise RefusedError(_("That is no number of plants"), _("Type a whole number above zero."))
    if act == "move":
        _check_move(batches, crop=crop, count=count, tier=tier)
    elif act != "sow":
        _check_there(batches, act=act, crop=crop, count=count, tier=tier)


def young_by_tier(batches: Iterable[Batch], now: datetime) -> dict[str, float]:
    """Give tier -> how many of its plants are under three weeks old."""
    young: dict[str, float] = {}
    for batch in batches:
        if batch.tier and batch.age(now) < YOUNG:
            young[batch.tier] = young.get(batch.tier, 0.0) + batch.count
    return young


def as_planted(rack: Rack, batches: Sequence[Batch]) -> Rack:
    """Give the rack with what the log says stands on each tier; a tier it says nothing of stays as described.

    The plants decide the band, so whoever asks for the rack's bands asks with this one.
    """
    counts: dict[str, dict[str, int]] = {}
    for batch in batches:
        here = counts.setdefault(batch.tier, {})
        here[batch.crop] = here.get(batch.crop, 0) + batch.count
    tiers = tuple(
        replace(tier, crops=tuple(counts[tier.name]), plants=sum(counts[tier.name].values()))
        if tier.name in counts
        else tier
        for tier in rack.tiers
    )
    return replace(rack, tiers=tiers)


def _check_move(batches: Sequence[Batch], *, crop: str, count: int, tier: str) -> None:
    if not tier:
        raise RefusedError(_("Where to?"), _("Name the tier that they move to."))
    there = sum(batch.count for batch in batches if not batch.tier and _same(batch.crop, crop))
    if 0 < there < count:
        raise RefusedError(
            _("Only {there} {crop} stand in the seedling tray").format(there=there, crop=crop),
            _("Move {there}; log bought plants once the tray is empty of them.").format(there=there),
        )


def _check_there(batches: Sequence[Batch], *, act: str, crop: str, count: int, tier: str) -> None:
    here = [batch for batch in batches if batch.tier == tier]
    there = sum(batch.count for batch in here if _same(batch.crop, crop))
    place = tier or _("the seedling tray")
    if there == 0:
        stands = ", ".join(f"{batch.count} {batch.crop}" for batch in here) or _("nothing")
        raise RefusedError(
            _("There is no {crop} in {place}").format(crop=crop, place=place),
            _("What stands there by the log: {stands}.").format(stands=stands),
        )
    if act == "pull" and count > there:
        raise RefusedError(
            _("Only {there} {crop} stand in {place}").format(there=there, crop=crop, place=place),
            _("Type {there} or less.").format(there=there),
        )


def _came(event: Plants, *, sown: datetime | None) -> Batch:
    return Batch(crop=event.crop, count=event.count, tier=event.tier, since=event.at, sown=sown)


def _moved(batches: list[Batch], event: Plants) -> list[Batch]:
    rest, taken = _take(batches, event, tier="")
    moved = [replace(batch, tier=event.tier, since=event.at) for batch in taken]
    bought = event.count - sum(batch.count for batch in taken)
    if bought > 0:
        moved.append(replace(_came(event, sown=None), count=bought))
    return [*rest, *moved]


def _take(batches: list[Batch], event: Plants, *, tier: str) -> tuple[list[Batch], list[Batch]]:
    """Take the event's count of its crop from a place, oldest first; give what is left and what was taken."""
    wanted, rest, taken = event.count, list[Batch](), list[Batch]()
    for batch in batches:
        if wanted <= 0 or batch.tier != tier or not _same(batch.crop, event.crop):
            rest.append(batch)
            continue
        part = min(wanted, batch.count)
        wanted -= part
        taken.append(replace(batch, count=part))
        if batch.count > part:
            rest.append(replace(batch, count=batch.count - part))
    return rest, taken


def _is_of(batch: Batch, event: Plants) -> bool:
    return batch.tier == event.tier and _same(batch.crop, event.crop)


def _same(one: str, other: str) -> bool:
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
