"""`tendtui record`: log readings and pourings without a screen."""

from __future__ import annotations

import sys

from tendtui.cli.opened import open_session
from tendtui.core.event_words import event_line
from tendtui.core.recording import NAMES, record
from tendtui.core.show import when
from tendtui.errors import CallError
from tendtui.session.clock import read_time
from tendtui.session.knowledge import rack_bands, wanted
from tendtui.words import _

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable, Mapping

    from tendtui.core.event import Event
    from tendtui.core.rack import Rack

__all__ = ["add", "pairs_of", "run"]


def add(parser: argparse.ArgumentParser) -> None:
    """Name the options."""
    parser.add_argument("values", nargs="*", metavar="NAME=VALUE", help="NAME is " + ", ".join(NAMES))
    parser.add_argument("--at", metavar="TIME", help="when it was, like 2026-11-25T08:10; now, if left out")
    parser.add_argument("--by", metavar="NAME", default="", help="who did it")
    parser.epilog = _(
        'Like: tendtui record level=44 conductivity=1.2mS/cm ph=6,3 or "poured.Feed A=32.5" added_water=10 '
        "or note=pruned --at 2026-11-25T18:10"
    )


def pairs_of(words: list[str]) -> list[tuple[str, str]]:
    """Cut NAME=VALUE words.

    Raises:
        CallError: If a word has no `=`.
    """
    pairs = []
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            raise CallError(_("{word!r} has no =").format(word=word), _("Write it like ph=6.3"))
        pairs.append((name.strip(), value))
    return pairs


def _stops(words: list[str]) -> Mapping[str, object]:
    """Give which happenings raise a stop, where one is said: readings need not read it."""
    if not any(word.strip().casefold().startswith("happened") for word in words):
        return {}
    from tendtui.store.data_file import read_data

    stops = read_data("task_rules")["raises_stop"]
    return stops if isinstance(stops, dict) else {}


def _scales(words: list[str], events: Iterable[Event], rack: Rack) -> list[str]:
    """Say on which scale a bare ppm was read, where one was typed."""
    if not any("ppm" in word.casefold() for word in words):
        return []
    from tendtui.core.entry import scale_said
    from tendtui.core.event import Reading
    from tendtui.core.quantity import Quantity

    values = [e.conductivity_ms_cm for e in events if isinstance(e, Reading)]
    typed = [text for name, text in pairs_of(words) if name.casefold() == "conductivity"]
    said = [
        scale_said(text, value, quantity=Quantity.CONDUCTIVITY, show=rack.show, meter=rack.meter)
        for text, value in zip(typed, values, strict=False)
        if value is not None
    ]
    return [sentence for sentence in said if sentence]


def run(args: argparse.Namespace) -> int:
    """Log what the call says, all of it or nothing."""
    session = open_session(args.state, by=args.by)
    now = session.now()
    at = now if args.at is None else read_time(args.at, called="--at")
    if at > now:
        raise CallError(_("--at is in the future"), _("Log things when they have happened."))
    rack = session.rack
    before = session.events_before(at)
    stops = _stops(args.values)
    recorded = record(
        pairs_of(args.values),
        rack=rack,
        events=before,
        bands=wanted(rack_bands(rack, before, at)),
        at=at,
        by=args.by,
        stops=stops,
    )
    session.record_events(recorded.events)
    names = session.task_names() if stops else {}
    kept = "; ".join(event_line(event, rack.show, names) for event in recorded.events)
    print(_("Kept, {when}: {what}.").format(when=when(at, now), what=kept.removesuffix(".")))
    for sentence in _scales(args.values, recorded.events, rack):
        print(sentence)
    for sentence in recorded.doubts:
        print(
            f"tendtui: {sentence} " + _("It is kept with a mark. Measure again and record what you read."),
            file=sys.stderr,
        )
    for sentence in recorded.asks:
        print(
            f"tendtui: {sentence} " + _("It is kept; if it isn't so, correct it in the diary."),
            file=sys.stderr,
        )
    return 0
