"""From the words of `tendtui record` to events, judged as the round judges."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from tendtui.core.band import Band
from tendtui.core.correction import READING_FIELDS
from tendtui.core.entry import read_number, read_text
from tendtui.core.event import Change, Event, Note, Poured, Reading, Renewed
from tendtui.core.figure import METERS, STANDARDS
from tendtui.core.habit import habit_of, last_reading, widen_of
from tendtui.core.happening import SAID, happening_words
from tendtui.core.judge import cannot_be, suspicion
from tendtui.core.mixing import MIXES, mixing_since, still_mixing
from tendtui.core.pour_doubt import pour_doubt
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Rack
from tendtui.core.units import at_25_c
from tendtui.errors import CallError, RefusedError
from tendtui.value import field, value_class
from tendtui.words import _

__all__ = ["NAMES", "Recorded", "record"]

NAMES = (
    *READING_FIELDS,
    "flow.TIER",
    "poured.BOTTLE",
    "added_water",
    "drained",
    "changed",
    "renewed",
    "happened",
    "note",
)
"""What can stand before the `=`."""

TEMPERATURE_GOOD_FOR = timedelta(hours=12)
"""How long a temperature stands in for one read with the strength. Common practice, no source: a reservoir
indoors moves by two or three degrees in that time, a twentieth of the strength."""


@value_class
class Recorded:
    """Events to log, ids and seq still to be given, and a sentence for each doubt."""

    events: tuple[Event, ...]
    doubts: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()
    """A sentence for each amount that is hard to believe; it is kept as it was said."""


def record(
    pairs: Iterable[tuple[str, str]],
    *,
    rack: Rack,
    events: tuple[Event, ...],
    bands: Mapping[Quantity, Band],
    at: datetime,
    by: str,
    stops: Mapping[str, object] | None = None,
) -> Recorded:
    """Make the events of one call: the reading first, then the change, the pourings as they stand, the note.

    Args:
        pairs: Name and value as typed, in the call's order.
        rack: The rack; tiers and bottles are looked up in it.
        events: What happened, for the habit.
        bands: What is wanted.
        at: When.
        by: Who.
        stops: What happened -> the task under which a stop stands until somebody closes it.

    Raises:
        CallError: If a name isn't known, stands twice, or a value can't be.
    """
    call = _Call(rack=rack, events=tuple(e for e in events if e.at <= at), bands=bands, at=at, by=by)
    call.stops = stops or {}
    seen: set[str] = set()
    # a strength may need the temperature to be worked out, so that comes first
    named = [(_as_named(name), typed) for name, typed in pairs]
    for name, typed in sorted(named, key=lambda pair: pair[0] != Quantity.TEMPERATURE.value):
        if name in seen:
            raise CallError(_("{name} stands there twice").format(name=name), _("Say it once."))
        seen.add(name)
        try:
            call.take(name, typed)
        except RefusedError as error:
            raise CallError(f"{name}: {error.what}", error.do) from None
    if not seen:
        raise CallError(_("nothing to record"), _("Say what, like: tendtui record level=44 ph=6.3"))
    return call.done()


def _as_named(name: str) -> str:
    """Give a name as it is known, however it was typed: `pH` is `ph`; a tier's or a bottle's stays."""
    head, dot, rest = name.partition(".")
    return f"{head.casefold()}{dot}{rest}"


@value_class(frozen=False, kw_only=False)
class _Call:
    """The call being read; thrown away after it."""

    rack: Rack
    events: tuple[Event, ...]
    bands: Mapping[Quantity, Band]
    at: datetime
    by: str
    values: dict[str, float] = field(default_factory=dict)
    flows: dict[str, float] = field(default_factory=dict)
    doubt: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    asks: list[str] = field(default_factory=list)
    changed: bool = False
    poured: list[Poured] = field(default_factory=list)
    other: list[Event] = field(default_factory=list)
    noted: str = ""
    about: str = ""
    stops: Mapping[str, object] = field(default_factory=dict)

    def take(self, name: str, typed: str) -> None:
        head, _dot, rest = name.partition(".")
        if name in READING_FIELDS:
            field, quantity = READING_FIELDS[name]
            self.values[field] = self.judged(name, typed, quantity)
        elif head == "flow" and rest:
            tier = _one_of(rest, [tier.name for tier in self.rack.tiers], _("tier"))
            self.flows[tier] = self.judged(f"flow.{tier}", typed, Quantity.FLOW, tier=tier)
        elif head == "poured" and rest:
            self.pour(rest, typed)
        elif name == "added_water":
            self.water("water", typed)
        elif name == "drained":
            self.water("drained", typed)
        else:
            self.word(name, typed)

    def word(self, name: str, typed: str) -> None:
        match name:
            case "changed":
                if typed.strip().casefold() != "yes":
                    raise CallError(_("changed takes only yes"), _("Write: changed=yes"))
                self.changed = True
            case "note":
                self.noted = read_text(typed)
            case "happened":
                self.about = _one_of(typed.strip().replace(" ", "-"), list(SAID), _("happening"))
            case "renewed":
                what = _one_of(typed, [*self.bottles(), *METERS, *STANDARDS], _("bottle or meter"))
                self.other.append(Renewed(id="", seq=0, at=self.at, by=self.by, what=what))
            case _:
                raise CallError(
                    _("there is nothing called {name!r}").format(name=name), _nearest(name, NAMES)
                )

    def bottles(self) -> list[str]:
        return [*(feed.name for feed in self.rack.feeds), *(a.name for a in self.rack.adjusters)]

    def pour(self, bottle: str, typed: str) -> None:
        name = _one_of(bottle, self.bottles(), _("bottle"))
        dry = any(feed.name == name and feed.label_g_per_l is not None for feed in self.rack.feeds)
        amount = self.number(typed, Quantity.POWDER if dry else Quantity.LIQUID)
        made = Poured(
            id="",
            seq=0,
            at=self.at,
            by=self.by,
            what=name,
            ml=None if dry else amount,
            g=amount if dry else None,
        )
        self.poured.append(made)
        why = pour_doubt(made, self.rack, self.events)
        if why:
            self.asks.append(why)

    def water(self, what: str, typed: str) -> None:
        out = typed.strip().lstrip("-−")
        if what == "water" and out != typed.strip():
            raise CallError(
                _("added_water counts what went in"),
                _("What went out is: drained={amount}").format(amount=out),
            )
        litres = self.number(typed, Quantity.VOLUME)
        most = 2.0 * (self.rack.reservoir.brim_l or self.rack.reservoir.full_l)
        if litres > most + (self.rack.reservoir.pipes_l or 0.0):
            raise CallError(
                _("{what}: {litres:g} litres is more than this rack holds twice over").format(
                    what=what, litres=litres
                ),
                _("Look at the number and its unit again."),
            )
        self.poured.append(Poured(id="", seq=0, at=self.at, by=self.by, what=what, litres=litres))

    def number(self, typed: str, quantity: Quantity) -> float:
        return read_number(typed, quantity=quantity, show=self.rack.show, meter=self.rack.meter)

    def judged(self, name: str, typed: str, quantity: Quantity, *, tier: str | None = None) -> float:
        value = self.number(typed, quantity)
        refused = cannot_be(value, quantity=quantity, reservoir=self.rack.reservoir, show=self.rack.show)
        if refused:
            raise CallError(refused.removesuffix("."))
        if quantity is Quantity.CONDUCTIVITY and not self.rack.meter.temperature_compensated:
            value = self.at_25(name, value)
        why = suspicion(
            value,
            quantity=quantity,
            band=self.bands.get(quantity),
            habit=habit_of(self.events, quantity, tier, now=self.at, widen=widen_of(self.rack)),
            show=self.rack.show,
            meter=self.rack.meter,
            reservoir=self.rack.reservoir,
        )
        if why:
            self.doubt.append(name)
            self.said.append(f"{name}: {why}")
        return value

    def at_25(self, name: str, value: float) -> float:
        """Bring the strength that a bare meter shows to 25 °C; else leave a doubt. [mS/cm]."""
        temperature_c = self.values.get("temperature_c")
        last = last_reading(self.events, Quantity.TEMPERATURE)
        if temperature_c is None and last is not None and self.at - last[0].at <= TEMPERATURE_GOOD_FOR:
            temperature_c = last[1]
        if temperature_c is None:
            self.doubt.append(name)
            self.said.append(
                _("{name}: this meter doesn't reckon with the temperature, and none was read.").format(
                    name=name
                )
            )
            return value
        return at_25_c(conductivity_ms_cm=value, temperature_c=max(temperature_c, 0.0))

    def unmixed(self) -> tuple[str, ...]:
        """Give what was read of strength and pH while something that went in was still mixing."""
        names = tuple(name for name in MIXES if READING_FIELDS[name][0] in self.values)
        poured_at = mixing_since(self.events, self.at) if names else None
        if poured_at is None:
            return ()
        self.said.append(still_mixing(poured_at, self.at))
        return names

    def done(self) -> Recorded:
        made: list[Event] = []
        if self.values or self.flows:
            made.append(
                Reading(
                    id="",
                    seq=0,
                    at=self.at,
                    by=self.by,
                    flow_l_min=self.flows,
                    doubt=tuple(dict.fromkeys(self.doubt)),
                    unmixed=self.unmixed(),
                    level_l=self.values.get("level_l"),
                    conductivity_ms_cm=self.values.get("conductivity_ms_cm"),
                    ph=self.values.get("ph"),
                    temperature_c=self.values.get("temperature_c"),
                    alkalinity_meq_l=self.values.get("alkalinity_meq_l"),
                )
            )
        if self.changed:
            made.append(Change(id="", seq=0, at=self.at, by=self.by))
        if self.noted or self.about:
            text = self.noted or happening_words(self.about)
            self.other.append(Note(id="", seq=0, at=self.at, by=self.by, text=text, about=self.about))
            if self.stops:
                from tendtui.core.finding_follow import stop_said

                self.other += stop_said(self.about, text, at=self.at, by=self.by, stops=self.stops)
        return Recorded(
            events=(*made, *self.poured, *self.other), doubts=tuple(self.said), asks=tuple(self.asks)
        )


def _one_of(typed: str, known: list[str], kind: str) -> str:
    wanted = " ".join(typed.split()).casefold()
    for name in known:
        if name.casefold() == wanted:
            return name
    raise CallError(
        _("there is no {kind} called {name!r}").format(kind=kind, name=typed), _nearest(typed, known)
    )


def _nearest(name: str, known: Iterable[str]) -> str:
    from difflib import get_close_matches

    names = list(known)
    near = get_close_matches(name, names, n=1, cutoff=0.5)
    if near:
        return _("Did you mean {near}?").format(near=near[0])
    return _("Known: {names}.").format(names=", ".join(names) or _("none"))
