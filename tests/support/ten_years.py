"""Ten years of log, two rounds a day: invented, for measuring only."""

from __future__ import annotations

from datetime import datetime, timedelta
from math import sin

from tendtui.core.event import Event, Poured, Reading
from tendtui.core.rack import Rack
from tendtui.store.folder import Folder, month_name
from tendtui.store.log_file import events_text

__all__ = ["write_ten_years"]

_ROUNDS = (timedelta(hours=8), timedelta(hours=18, minutes=30))


def write_ten_years(folder: Folder, rack: Rack, *, until: datetime, years: int = 10) -> int:
    """Write a log that ends the evening before `until`; give how many events are in it."""
    folder.log_dir.mkdir(parents=True, exist_ok=True)
    start = (until - timedelta(days=round(years * 365.25))).replace(hour=0, minute=0, second=0)
    months: dict[str, list[Event]] = {}
    seq = 0
    for day in range((until - start).days):
        for n, hour in enumerate(_ROUNDS):
            for event in _round(rack, f"{day}-{n}", start + timedelta(days=day) + hour, day + n / 2):
                seq += 1
                month = months.setdefault(month_name(event.at), [])
                month.append(_numbered(event, seq))
    for name, events in months.items():
        (folder.log_dir / name).write_text("schema = 1\n" + events_text(events), encoding="utf-8")
    return seq


def _round(rack: Rack, name: str, at: datetime, days: float) -> tuple[Event, ...]:
    room = rack.reservoir.full_l - rack.reservoir.least_l
    level_l = round(rack.reservoir.least_l + room * (0.6 + 0.2 * sin(days)), 1)
    reading = Reading(
        id=f"r{name}",
        seq=0,
        at=at,
        by="Ines",
        level_l=level_l,
        conductivity_ms_cm=round(1.5 + 0.1 * sin(days / 3), 2),
        ph=round(6.0 + 0.2 * sin(days / 2), 1),
        temperature_c=round(20.0 + 2.0 * sin(days / 58), 1),
        flow_l_min={tier.name: 2.0 for tier in rack.tiers},
        looks={f"{tier.name}.{what}": "cream-firm" for tier in rack.tiers for what in ("roots", "leaves")},
        source="round",
    )
    later = at + timedelta(minutes=9)
    water = Poured(id=f"w{name}", seq=0, at=later, by="Ines", what="water", litres=2.0, planned=2.0)
    feeds = [
        Poured(id=f"f{k}{name}", seq=0, at=later, by="Ines", what=feed.name, ml=4.0, planned=4.0)
        for k, feed in enumerate(rack.feeds)
        if feed.label_ml_per_l is not None
    ]
    return (reading, water, *feeds)


def _numbered(event: Event, seq: int) -> Event:
    from tendtui.value import replace

    return replace(event, seq=seq)
