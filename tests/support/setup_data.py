"""The set-up's questions as they ship, and a way to answer them as a person would."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from importlib.resources import files

from tendtui.core.crops import CropTable
from tendtui.core.prompt import Question
from tendtui.core.setup_ask import Asks, asks_from
from tendtui.core.setup_walk import SetupScript
from tendtui.core.walk import Finish, Script, Turn, Walk, enter, fold, here, look_back, prompt, undo
from tendtui.value import value_class
from tests.support.crop_table import CROPS

__all__ = ["ASKS", "FIRST", "NOW", "ROOM", "Person", "scripted"]

ASKS: Asks = asks_from(tomllib.loads((files("tendtui") / "data" / "setup.toml").read_text(encoding="utf-8")))
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
ROOM: CropTable = CROPS

FIRST: Mapping[str, str] = {
    "welcome.ready": "",
    "welcome.state": "1",
    "rack.name": "Attic rack",
    "rack.people": "Ida, Bo",
    "units.conductivity": "1",
    "units.temperature": "1",
    "units.volume": "1",
    "reservoir.full": "60",
    "reservoir.brim": "",
    "reservoir.least": "25",
    "reservoir.aerated": "1",
    "tiers.count": "1",
    "tier.same": "1",
    "tier.name": "",
    "tier.bore": "80",
    "tier.length": "1.6",
    "tier.lip": "45",
    "tier.outlets": "1",
    "tier.crops": "lettuce, basil",
    "tier.plants": "10",
    "tiers.seen": "",
    "crops.seen": "",
    "source.conductivity": "0.3",
    "source.ph": "7.5",
    "source.alkalinity": "90mg",
    "meter.ec_step": "1",
    "meter.ph_step": "1",
    "feeds.count": "2",
    "feed-1.name": "Grow A",
    "feed-2.name": "Grow B",
    "feed.kind": "1",
    "feed.amount_ml": "2",
    "feed.amount_g": "0.5",
    "feeds.strength": "1.5",
    "adjusters.count": "1",
    "adjuster.name": "Down",
    "adjuster.direction": "1",
    "adjuster.acid": "1",
    "adjuster.percent": "10",
    "tools.liquid": "0.5",
    "tools.powder": "0.1",
    "tools.water": "0.5",
    "later.now": "1",
    "end.write": "",
}
"""What somebody types to get a first dose; by the question's key, else by its id."""


def scripted(walk: Walk) -> SetupScript:
    """Make the script for the next act, as the session does."""
    return SetupScript(asks=ASKS, crops=CROPS, so_far=fold(walk.entries))


@value_class(frozen=False, kw_only=False)
class Person:
    """Somebody at the keys; every act goes through the engine."""

    walk: Walk
    turn: Turn | None = None

    @classmethod
    def begins(cls) -> Person:
        return cls(walk=Walk(kind="setup", id="w", began=NOW, by="Ida"))

    def script(self) -> Script:
        return scripted(self.walk)

    def at(self) -> Question | None:
        place = here(self.walk, self.script())
        return None if place is None else place[1]

    @property
    def key(self) -> str:
        question = self.at()
        return "" if question is None else question.key

    def types(self, typed: str) -> Turn:
        self.turn = enter(self.walk, self.script(), key=self.key, typed=typed, now=self._next(), by="Ida")
        self.walk = self.turn.walk
        return self.turn

    def goes_back(self) -> None:
        self.walk = look_back(self.walk, self.script(), now=self._next(), by="Ida").walk

    def undoes(self) -> None:
        self.walk = undo(self.walk, self.script(), now=self._next(), by="Ida").walk

    def answers(self, given: Mapping[str, str], *, until: str = "") -> Person:
        """Answer every question from `given` until the end, or until a key is asked."""
        from tendtui.core.setup_ask import ask_id

        while (key := self.key) and key != until:
            typed = given.get(key, given.get(ask_id(key)))
            assert typed is not None, f"no answer for {key}"
            self.types(typed)
        return self

    def before(self) -> str:
        shown = prompt(self.walk, self.script())
        assert shown is not None
        return "\n".join(shown.question.before)

    def finishes(self) -> Finish:
        assert self.at() is None, self.key
        return self.script().finish(self.walk, fold(self.walk.entries), NOW)

    def _next(self) -> datetime:
        return NOW + timedelta(seconds=len(self.walk.entries))
