"""Changing one part of a rack that is there; what was written by hand in rack.toml stays."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tendtui.core.bands import bands_of
from tendtui.core.crops import CropTable
from tendtui.core.event import Event, Note
from tendtui.core.prompt import Choice, Question, Station
from tendtui.core.rack import Adjuster, Device, Feed, Tier
from tendtui.core.rack_script import RackScript
from tendtui.core.setup_ask import Asks, ask_id
from tendtui.core.setup_change import changes_of, now_of
from tendtui.core.setup_check import confirms, judgement_of, refusal_of
from tendtui.core.setup_foresee import as_changed
from tendtui.core.setup_names import numbered_names
from tendtui.core.setup_said import bands_said
from tendtui.core.walk_value import Answer, Answers, Entry, Finish, Judgement, Walk
from tendtui.value import replace, value_class
from tendtui.words import _

__all__ = ["PARTS", "EditScript"]

PARTS: Mapping[str, tuple[str, ...]] = {
    "rack": ("rack.name", "rack.people", "phones.list"),
    "units": (
        "units.conductivity",
        "units.temperature",
        "units.volume",
        "meter.ec_step",
        "meter.ph_step",
        "meter.compensated",
    ),
    "reservoir": (
        "reservoir.brim",
        "reservoir.full",
        "reservoir.least",
        "reservoir.aerated",
        "reservoir.pipes",
    ),
    "source": ("source.conductivity", "source.ph", "source.alkalinity"),
    "tools": ("tools.liquid", "tools.powder", "tools.water", "tools.jug"),
    "place": ("place.region", "place.altitude", "mains.volts", "mains.amps", "mains.protection"),
    "target": (
        "target.ec_low",
        "target.ec_high",
        "target.ph_low",
        "target.ph_high",
        "target.t_low",
        "target.t_high",
        "target.change_days",
    ),
    "tier": ("name", "bore", "length", "lip", "outlets", "crops", "plants"),
    "feed": ("name", "kind", "amount_ml"),
    "adjuster": ("name", "direction", "acid", "percent"),
    "device": ("kind", "name", "watts", "count"),
    "brim": ("reservoir.brim",),
    "mains": ("mains.volts", "mains.amps", "mains.protection"),
    "phones": ("phones.list",),
    "jug": ("tools.jug",),
}
"""Part -> its questions; those of a list's tables by their field. The last four are asked for one at a time,
when they first matter."""

_LISTS = ("tier", "feed", "adjuster", "device")


@value_class
class EditScript(RackScript):
    """Asks for one part; ends in changes to rack.toml by their dotted place."""

    asks: Asks
    crops: CropTable
    part: str = ""
    """Which part; empty: it is asked."""

    @property
    def kind(self) -> str:
        """The walk's kind."""
        return "setup"

    @property
    def title(self) -> str:
        """A word for the head of the page."""
        return _("RACK")

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give what is asked of the chosen part."""
        made = [] if self.part else [Station(id="edit", name=_("Part"), questions=(self._ask("edit.part"),))]
        part = self._part(answers)
        if part in _LISTS:
            made += self._list(part, answers)
        elif part:
            keys = [key for key in PARTS[part] if self._is_asked(key, answers)]
            made.append(
                Station(
                    id=part,
                    name=self._part_words(part),
                    questions=tuple(self._ask(key) for key in keys),
                    section=part,
                )
            )
        made.append(self._end(made, answers))
        return tuple(made)

    def judge(self, question: Question, value: float, answers: Answers) -> Judgement:
        """Ask again for what is far from usual; say what a measure makes."""
        return judgement_of(question, value, self._with_marks(answers), asks=self.asks)

    def near(self, question: Question, first: float, second: float) -> bool:
        """Say whether the number typed again is the one typed before."""
        del question
        return confirms(first, second)

    def refuse(self, question: Question, typed: Entry, answers: Answers) -> str:
        """Refuse what can't be, with what to do."""
        if question.key == "edit.which" and answers.word("edit.act") == "drop":
            if self._part(answers) == "tier" and len(self.rack.tiers) == 1:
                return _("A rack has at least one tier. Go back, add the new one first, then take this out.")
            return ""
        if question.key.startswith("edit.") or (typed.text and typed.typed == question.same):
            return ""  # a name that is kept was taken before
        return refusal_of(question, typed, self._seeded(answers), asks=self.asks, crops=self.crops)

    def found(self, station: Station, answers: Answers) -> str:
        """Say in a few words what was answered there."""
        told = []
        for question in station.questions:
            answer = answers.by_key.get(question.key)
            if answer is not None:
                chosen = next((c.text for c in question.choices if c.word == answer.word), "")
                told.append(chosen or answer.typed)
        return ", ".join(text for text in told if text)

    def events(self, question: Question, entry: Entry, answers: Answers) -> tuple[Event, ...]:
        """Leave nothing in the log before the end."""
        del question, entry, answers
        return ()

    def finish(self, walk: Walk, answers: Answers, now: datetime) -> Finish:
        """Give the changes by their place in rack.toml."""
        changes = self.changes(answers)
        if not changes:
            return Finish(said=(_("Nothing was changed."),))
        places = ", ".join(self._place_words(place) for place in changes)
        return Finish(
            events=(
                Note(
                    id="",
                    seq=0,
                    at=now,
                    by=walk.by,
                    text=_("The rack's description was changed: {places}.").format(places=places),
                ),
            ),
            context={"changes": changes},
            said=(_("Changed in rack.toml: {places}.").format(places=places),),
        )

    def changes(self, answers: Answers) -> dict[str, object]:
        """Give dotted place -> new value; None takes it out."""
        part, n = self._part(answers), self._which(answers)
        if part in _LISTS and answers.word("edit.act") == "drop":
            return {f"{part}.{n}": None}
        changes = changes_of(self.rack, answers, n=n, asks=self.asks)
        if part in _LISTS and n >= len(self._tables(part)):
            changes.setdefault(f"{part}.{n}.name", self._usual_name(part, n))
        return changes

    # the part

    def _part(self, answers: Answers) -> str:
        return self.part or answers.word("edit.part")

    def _part_words(self, part: str) -> str:
        named = next((text for word, text in self.asks["edit.part"].choices if word == part), "")
        return _(named or self.asks[PARTS[part][0]].place)

    def _is_asked(self, key: str, answers: Answers) -> bool:
        low = key.replace("_high", "_low")
        if low != key:
            return answers.word(low) != "unknown"
        if key == "mains.protection" and answers.word("mains.amps") == "unknown":
            return False
        if key in ("mains.amps", "mains.protection"):
            return answers.word("mains.volts") != "unknown"
        return True

    # one table of a list

    def _list(self, part: str, answers: Answers) -> list[Station]:
        many = len(self._tables(part))
        act = answers.word("edit.act") if many else "add"
        choose = [self._ask("edit.act")] if many else []
        if act in ("change", "drop"):
            choose.append(self._which_question(part))
        made = [Station(id="which", name=_("Which"), questions=tuple(choose))] if choose else []
        if act == "drop" or not act or (act == "change" and not answers.done("edit.which")):
            return made
        n = self._which(answers)
        station = f"{part}-{n + 1}"
        keys = [f"{station}.{name}" for name in self._fields(part, station, answers)]
        if part == "feed":
            keys.append("feeds.strength")
        name = self._usual_name(part, n)
        names = numbered_names(part, n + 1, name)
        questions = tuple(self._ask(key, n=n, names=names) for key in keys)
        return [*made, Station(id=station, name=name, questions=questions, section=station)]

    def _fields(self, part: str, station: str, answers: Answers) -> tuple[str, ...]:
        fields = PARTS[part]
        if part == "feed" and answers.word(f"{station}.kind") == "powder":
            return tuple("amount_g" if name == "amount_ml" else name for name in fields)
        if part == "adjuster" and answers.word(f"{station}.direction") == "up":
            return tuple("alkali" if name == "acid" else name for name in fields)
        return fields

    def _tables(self, part: str) -> tuple[str, ...]:
        tables: Mapping[str, tuple[Tier | Feed | Adjuster | Device, ...]] = {
            "tier": self.rack.tiers,
            "feed": self.rack.feeds,
            "adjuster": self.rack.adjusters,
            "device": self.rack.devices,
        }
        return tuple(table.name for table in tables[part])

    def _which(self, answers: Answers) -> int:
        part = self._part(answers)
        if part not in _LISTS:
            return 0
        many = len(self._tables(part))
        word = answers.word("edit.which")
        return int(word) if word and answers.word("edit.act") != "add" else many

    def _which_question(self, part: str) -> Question:
        choices = tuple(
            Choice(digit=str(n + 1), word=str(n), text=name) for n, name in enumerate(self._tables(part))
        )
        return replace(self._ask("edit.which"), choices=choices)

    def _usual_name(self, part: str, n: int) -> str:
        names = self._tables(part)
        if n < len(names):
            return names[n]
        usual = {"tier": _("Tier"), "feed": _("Feed"), "adjuster": _("pH bottle"), "device": _("Device")}
        taken = {name.casefold() for name in (*names, *self._tables("feed"), *self._tables("adjuster"))}
        number = n + 1
        while f"{usual[part]} {number}".casefold() in taken:
            number += 1
        return f"{usual[part]} {number}"

    # pieces

    def _ask(self, key: str, *, n: int = 0, names: Mapping[str, str] | None = None) -> Question:
        now = now_of(self.rack, key, n=n, asks=self.asks)
        ask = self.asks[ask_id(key)]
        shown = now
        if ask.choices and now:
            shown = _(ask.choices[int(now) - 1][1])
        return ask.question(key, self.rack.show, names=names, same=now, now=shown)

    def _end(self, earlier: list[Station], answers: Answers) -> Station:
        is_reached = all(answers.done(q.key) for station in earlier for q in station.questions)
        before = self._read_over(self.changes(answers), answers) if is_reached else ()
        question = self.asks["edit.write"].question("edit.write", self.rack.show, before=before)
        return Station(id="edit-end", name="", questions=(question,), listed=False)

    def _read_over(self, changes: Mapping[str, object], answers: Answers) -> tuple[str, ...]:
        if not changes:
            return (_("Nothing is different from what is there."),)
        said = [
            _("{place} is taken out").format(place=self._place_words(place))
            if value is None
            else _("{place} = {value}").format(place=self._place_words(place), value=_told(value))
            for place, value in changes.items()
        ]
        if self._part(answers) in ("tier", "target"):
            bands = bands_of(as_changed(self.rack, changes), self.crops)
            said += bands_said(bands, self.rack.show)[:2]
        return tuple(said)

    def _place_words(self, place: str) -> str:
        """Give a place in rack.toml by the name that stands there: `tier.1.crops` is `Low: crops`."""
        part, _dot, rest = place.partition(".")
        number, _dot, key = rest.partition(".")
        if part not in _LISTS or not number.isdigit():
            return place
        name = self._usual_name(part, int(number))
        return f"{name}: {key}" if key else name

    def _with_marks(self, answers: Answers) -> Answers:
        """Add the full mark as it stands, so that the other marks are seen beside it."""
        seeded = self._seeded(answers)
        full = {"reservoir.full": Answer(value=self.rack.reservoir.full_l)}
        return replace(seeded, by_key={**full, **seeded.by_key})

    def _seeded(self, answers: Answers) -> Answers:
        """Add the names that stand in the rack, so that no second one of a name is taken."""
        seeds: dict[str, Answer] = {}
        for part, counted in (
            ("tier", "tiers"),
            ("feed", "feeds"),
            ("adjuster", "adjusters"),
            ("device", "devices"),
        ):
            names = self._tables(part)
            seeds[f"{counted}.count"] = Answer(value=float(len(names) + 1))
            for n, name in enumerate(names, start=1):
                seeds[f"{part}-{n}.name"] = Answer(typed=name, text=name)
        return replace(answers, by_key={**seeds, **answers.by_key})


def _told(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {inner}" for key, inner in value.items())
    if isinstance(value, list):
        return ", ".join(str(item) for item in value)
    return str(value)
