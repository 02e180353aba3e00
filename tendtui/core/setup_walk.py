"""The set-up of a rack as a walk: from a tape measure and some labels to rack.toml."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.crops import CropTable
from tendtui.core.event import Event, Note
from tendtui.core.prompt import Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Meter, Rack, Show, Tier
from tendtui.core.setup_ask import Asks
from tendtui.core.setup_check import confirms, judgement_of, refusal_of
from tendtui.core.setup_edit import PARTS, EditScript
from tendtui.core.setup_rack import guesses_of, meter_of, rack_of, show_of, tier_value
from tendtui.core.setup_stations import SetupPages, goes_on
from tendtui.core.setup_toml import rack_toml
from tendtui.core.show import show_number, show_value
from tendtui.core.tier_volume import litres_in_tier
from tendtui.core.walk_fold import fold
from tendtui.core.walk_value import Answers, Entry, Finish, Judgement, Walk
from tendtui.value import field, value_class
from tendtui.words import _, n_

__all__ = ["SetupScript", "setup_script"]

_UNITS = {"unknown": "mS/cm", "ppm-unknown": "ppm500"}
"""What stands in for a meter that nobody knows."""


def setup_script(
    walk: Walk, *, asks: Asks, crops: CropTable, rack: Rack | None = None
) -> SetupScript | EditScript:
    """Make the script for the next act of a set-up.

    Args:
        walk: The walk as it stands; `context["part"]` or its kind (`setup:jug`) names the part to change,
            `whole = true` asks all anew.
        asks: The questions.
        crops: The crop table.
        rack: The rack that is there; None where there is none yet.
    """
    so_far = fold(walk.entries)
    is_whole = walk.context.get("whole") is True or any(e.key == "welcome.ready" for e in walk.entries)
    if rack is None or is_whole:  # a rack.toml that came meanwhile doesn't turn the walk into another
        return SetupScript(asks=asks, crops=crops, so_far=so_far)
    part = str(walk.context.get("part", "")) or walk.kind.partition(":")[2]
    return EditScript(rack=rack, asks=asks, crops=crops, part=part if part in PARTS else "")


@value_class
class SetupScript:
    """Asks for a whole rack.

    It is made anew for each act, from what was answered so far: units and meters are themselves answers.
    """

    asks: Asks
    crops: CropTable
    so_far: Answers = field(default_factory=Answers)
    """What was answered before this act; from here come the units in which numbers are read."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "setup"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("SET-UP")

    @property
    def show(self) -> Show:
        """The units said so far."""
        return show_of(self.so_far)

    @property
    def meter(self) -> Meter:
        """The meters said so far."""
        return meter_of(self.so_far)

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give the stations as they stand after these answers."""
        return SetupPages(asks=self.asks, crops=self.crops).stations(answers)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask again for what is far from usual; say what a measure makes."""
        return judgement_of(question, value, answers, asks=self.asks)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the number typed again is the one typed before."""
        del question
        return confirms(first, second)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse what can't be, with what to do."""
        return refusal_of(question, typed, answers, asks=self.asks, crops=self.crops)

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was answered there."""
        if station.id.startswith("tier-"):
            return self._tier_found(int(station.id.removeprefix("tier-")), answers)
        if station.id == "reservoir":
            return self._marks_found(answers)
        if station.id == "units":
            words = (answers.word(q.key) for q in station.questions)
            return ", ".join(_UNITS.get(word, word) for word in words if word)
        told = [
            answer.typed or answer.text
            for question in station.questions
            if (answer := answers.by_key.get(question.key)) is not None and not question.choices
        ]
        return ", ".join(text for text in told if text)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Leave nothing in the log before the end."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Give the text of rack.toml, and the first fill where the rack is still dry."""
        rack = rack_of(answers, self.asks)
        dry = answers.word("welcome.state") == "empty"
        said = [
            n_(
                "The rack is written down in rack.toml: {name}, {n} tier.",
                "The rack is written down in rack.toml: {name}, {n} tiers.",
                len(rack.tiers),
            ).format(name=rack.name, n=len(rack.tiers))
        ]
        if not goes_on(answers):
            said.append(
                _(
                    "Still open: jug, plugs and fuses, place, numbers to ring. Today's page asks when they "
                    "matter."
                )
            )
        said.append(_("Next: the first fill, with plain water.") if dry else _("Next: the first round."))
        return Finish(
            events=(
                Note(id="", seq=0, at=now, by=walk.by, text=_("The rack was described and written down.")),
            ),
            then="fill" if dry else None,
            context={
                "rack_toml": rack_toml(rack, guessed=guesses_of(answers)),
                **({"by": rack.people[0]} if len(rack.people) == 1 else {}),
            },
            said=tuple(said),
        )

    def _tier_found(self, n: int, answers: Answers) -> str:
        bore, length = tier_value(answers, n, "bore"), tier_value(answers, n, "length")
        lip = tier_value(answers, n, "lip")
        if bore is None or length is None or lip is None or lip > bore:
            return ""
        tier = Tier(name="", pipe_inside_mm=bore, length_m=length, outlet_height_mm=lip)
        return show_value(litres_in_tier(tier), Quantity.VOLUME, show_of(answers))

    def _marks_found(self, answers: Answers) -> str:
        if not answers.done("reservoir.least"):
            return ""
        rack, show = rack_of(answers, self.asks), show_of(answers)
        return _("least {least}, full {full}").format(
            least=show_number(rack.reservoir.least_l, Quantity.LEVEL, show),
            full=show_value(rack.reservoir.full_l, Quantity.LEVEL, show),
        )
