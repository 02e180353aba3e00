"""Logging what was done with plants, in a few keys: sow, move up, harvest, pull, say the stage."""

from __future__ import annotations

from datetime import datetime

from tendtui.core.event import Event, Note, Plants
from tendtui.core.plants import STAGES, Batch, check_plants, standing
from tendtui.core.prompt import Choice, Kind, Question, Station
from tendtui.core.quantity import Quantity
from tendtui.core.rack_script import RackScript
from tendtui.core.show import unit_words
from tendtui.core.walk_value import Answers, Entry, Finish, Walk
from tendtui.errors import RefusedError
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["PlantsScript"]

_ACT, _WHICH, _CROP, _TIER, _COUNT, _STAGE = (
    f"plants.{name}" for name in ("act", "which", "crop", "tier", "count", "stage")
)
_OTHER = "other"


@value_class
class PlantsScript(RackScript):
    """The walk that logs one thing done with plants."""

    past: tuple[Event, ...]
    """Effective events from before the walk began, in time order."""
    act: str = ""
    """What was done, where a task says it already; empty: it is asked."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "plants"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("PLANTS")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Ask what was done, with which plants, where and how many."""
        act = self._done(answers)
        questions = [] if self.act else [self._act()]
        if act == "sow":
            questions += [self._crop(), self._count()]
        elif act == "move":
            questions += [self._which(tray=True), *self._bought(answers), self._tier(), self._count()]
        elif act in ("pull", "harvest", "stage"):
            questions.append(self._which(tray=act != "harvest"))
        if act == "pull":
            questions.append(self._count())
        if act == "stage":
            questions.append(self._stage())
        return (Station(id="plants", name=_("plants"), questions=tuple(questions)),)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse plants that aren't there."""
        event = self._event(question, typed, answers)
        if event is None:
            return ""
        if typed.value is not None and typed.value != int(typed.value):
            return _("Whole plants only")
        try:
            check_plants(
                standing(self.past),
                self.rack,
                act=event.act,
                crop=event.crop,
                count=event.count,
                tier=event.tier,
                stage=event.stage,
            )
        except RefusedError as refused:
            return f"{refused.what}. {refused.do}"
        return ""

    def found(self, station: Station, answers: Answers) -> str:
        """Say what was chosen."""
        del station
        return next((c.text for c in self._acts() if c.word == self._done(answers)), "")

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Log it with the last answer."""
        event = self._event(question, entry, answers)
        return () if event is None else (event,)

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Leave the notes; after moving up, say what the first days want."""
        notes = tuple(Note(id="", seq=0, at=now, by=walk.by, text=text) for text in answers.notes.values())
        said = {
            "sow": _("Sown. Damp, 18 to 22 °C, light from the first green."),
            "move": _(
                "Moved. Soil off, pebbles rinsed, roots reaching water? Look twice a day for three days."
            ),
            "harvest": _("Harvested. Rinse it in running drinking water, no soap."),
            "pull": _("Pulled. Roots out of the pipe whole; look at the outlet."),
            "stage": _("The stage is kept."),
        }
        return Finish(events=notes, said=(said[self._done(answers)],))

    # what it makes

    def _done(self, answers: Answers) -> str:
        return self.act or answers.word(_ACT)

    def _event(self, question: Question, entry: Entry, answers: Answers) -> Plants | None:
        """Give the event once the last question of its act is answered."""
        act = self._done(answers)
        if question.key != {"harvest": _WHICH, "stage": _STAGE}.get(act, _COUNT):
            return None
        word = entry.word if question.key == _WHICH else answers.word(_WHICH)
        batch = self._batch(word)
        crop = self._named(answers) if batch is None else batch.crop
        tier = answers.word(_TIER) if act == "move" else "" if batch is None else batch.tier
        count = batch.count if batch is not None and act in ("harvest", "stage") else int(entry.value or 0)
        return Plants(
            id="",
            seq=0,
            at=entry.at,
            by=entry.by,
            act=act,
            crop=crop,
            count=count,
            tier=tier,
            stage=entry.word if act == "stage" else "",
        )

    def _named(self, answers: Answers) -> str:
        """Give the crop that was chosen by its digit, or typed."""
        word = answers.word(_CROP)
        return answers.text(_CROP) if word in ("", _OTHER) else word

    def _groups(self, *, tray: bool) -> list[Batch]:
        """Give what stands, one group a crop and place."""
        groups: dict[tuple[str, str], Batch] = {}
        for batch in standing(self.past):
            key = (batch.tier, batch.crop.casefold())
            if batch.tier or tray:
                groups.setdefault(key, batch)
        return list(groups.values())

    def _batch(self, word: str) -> Batch | None:
        return next((batch for batch in self._groups(tray=True) if _word(batch) == word), None)

    # questions

    def _act(self) -> Question:
        return self._choice(_ACT, _("What was done?"), self._acts())

    @staticmethod
    def _acts() -> tuple[Choice, ...]:
        return (
            Choice(digit="1", word="sow", text=_("sown")),
            Choice(digit="2", word="move", text=_("moved up into the rack")),
            Choice(digit="3", word="harvest", text=_("harvested, plants stay")),
            Choice(digit="4", word="pull", text=_("pulled")),
            Choice(digit="5", word="stage", text=_("say the stage: seedling, leaf, flower, fruit")),
        )

    def _which(self, *, tray: bool) -> Question:
        groups = self._groups(tray=tray)
        counts = {_word(b): sum(o.count for o in standing(self.past) if _word(o) == _word(b)) for b in groups}
        choices = tuple(
            Choice(
                digit=str(n),
                word=_word(batch),
                text=_("{n} {crop}, {place}").format(
                    n=counts[_word(batch)], crop=batch.crop, place=batch.tier or _("seedling tray")
                ),
            )
            for n, batch in enumerate(groups, start=1)
        )
        other = Choice(digit=_after(len(groups)), word=_OTHER, text=_("others, bought or not in the log"))
        return self._choice(_WHICH, _("Which plants?"), (*choices, other))

    def _bought(self, answers: Answers) -> list[Question]:
        return [self._crop()] if answers.word(_WHICH) == _OTHER else []

    def _crop(self) -> Question:
        """Offer what the rack is for and what stands already by its digit; any other by its name."""
        planned = [crop for tier in self.rack.tiers for crop in tier.crops]
        names = {crop.casefold(): crop for crop in (*planned, *(b.crop for b in standing(self.past)))}
        crops = tuple(
            Choice(digit=str(n), word=crop, text=crop) for n, crop in enumerate(names.values(), start=1)
        )
        other = Choice(
            digit=_after(len(crops)), word=_OTHER, text=_("another crop: type its name"), ask_text=True
        )
        return self._choice(_CROP, _("Which crop?"), (*crops, other))

    def _tier(self) -> Question:
        choices = tuple(
            Choice(digit=str(n), word=tier.name, text=tier.name)
            for n, tier in enumerate(self.rack.tiers[:9], start=1)
        )
        return self._choice(_TIER, _("Which tier do they stand on now?"), choices)

    def _count(self) -> Question:
        return Question(
            key=_COUNT,
            place=_("plants"),
            ask=_("How many plants?"),
            kind=Kind.NUMBER,
            quantity=Quantity.COUNT,
            unit=unit_words(Quantity.COUNT, self.show),
            may_skip=False,
        )

    def _stage(self) -> Question:
        names = {"seedling": _("seedling"), "leaf": _("leaf"), "flower": _("flower"), "fruit": _("fruit")}
        choices = tuple(Choice(digit=str(n), word=s, text=names[s]) for n, s in enumerate(STAGES, start=1))
        return self._choice(_STAGE, _("Which stage?"), choices)

    def _choice(self, key: str, ask: str, choices: tuple[Choice, ...]) -> Question:
        return Question(
            key=key, place=_("plants"), ask=ask, kind=Kind.CHOICE, choices=choices, may_skip=False
        )


def _after(many: int) -> str:
    """Give the number for what is in no list: the same one as long as the list is short."""
    return str(max(9, many + 1))


def _word(batch: Batch) -> str:
    """Give the word under which a group of plants is stored: crop and place."""
    return f"{batch.crop.casefold()} @ {batch.tier}"
