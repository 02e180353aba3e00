"""The stations of the whole set-up, as they stand after what was answered."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from tendtui.core.bands import bands_of
from tendtui.core.crops import CropTable
from tendtui.core.prompt import Question, Station
from tendtui.core.rack import Show
from tendtui.core.setup_again import (
    again_key,
    brim_fits,
    is_older,
    least_fits,
    newest_key,
    newest_value,
)
from tendtui.core.setup_ask import Asks, ask_id
from tendtui.core.setup_names import (
    adjuster_names,
    count_of,
    crops_of,
    device_names,
    feed_names,
    numbered_names,
    tier_names,
)
from tendtui.core.setup_rack import rack_of, show_of
from tendtui.core.setup_rack_said import rack_said
from tendtui.core.setup_said import bands_said, drain_back_said, litres_said
from tendtui.core.walk_value import Answers
from tendtui.value import value_class
from tendtui.words import _

__all__ = ["SetupPages", "goes_on"]


_MEASURES = ("bore", "length", "lip", "lip2", "same", "full", "brim")
"""Names of questions whose mending shows the litres again."""
_UNITS = ("units.conductivity", "units.temperature", "units.volume")
_WORTH_SAYING = ("source.", "meter.", "adjuster.percent", "tools.")
"""Questions whose `don't know` a dose rests on."""
_SOURCE = ("source.conductivity", "source.ph", "source.alkalinity")


def goes_on(answers: Answers) -> bool:
    """Say whether the later part was chosen to be asked now."""
    return answers.word("later.now") == "now"


@value_class
class SetupPages:
    """Makes the stations; holds what they are made from."""

    asks: Asks
    crops: CropTable

    def stations(self, answers: Answers) -> tuple[Station, ...]:
        """Give all stations in order; what depends on a count appears once it was said."""
        show = show_of(answers)
        made = [
            self._station("welcome", _("Before you begin"), ("welcome.ready", "welcome.state"), show),
            self._station("rack", _("Name and people"), ("rack.name", "rack.people"), show),
            self._station("units", _("Units"), _UNITS, show),
            self._reservoir(answers, show),
            self._station("tiers", _("How many tiers"), ("tiers.count",), show),
            *self._tiers(answers, show),
        ]
        made.append(self._pause("tiers.seen", self._litres, made, answers, of=_MEASURES))
        made.append(self._pause("crops.seen", self._bands, made, answers, of=("crops",)))
        made += [
            self._station("source", _("Source water"), _SOURCE, show),
            self._station("meter", _("Meters"), ("meter.ec_step", "meter.ph_step"), show),
            self._station("feeds", _("Parts of the feed"), ("feeds.count",), show),
            *self._feeds(answers, show),
            self._station("adjusters", _("pH bottles"), ("adjusters.count",), show),
            *self._adjusters(answers, show),
            self._tools(answers, show),
        ]
        made.append(self._pause("later.now", self._enough, made, answers))
        if goes_on(answers):
            made += self._later(answers, show)
        made += self._plants(answers, show)
        made.append(self._pause("end.write", self._summary, made, answers))
        return tuple(made)

    # the first part

    def _reservoir(self, answers: Answers, show: Show) -> Station:
        keys = ["reservoir.full", *self._rechecked("reservoir.brim", answers)]
        keys += [*self._rechecked("reservoir.least", answers), "reservoir.aerated"]
        return self._station("reservoir", _("Reservoir"), tuple(keys), show)

    def _rechecked(self, key: str, answers: Answers) -> tuple[str, ...]:
        """Give a mark's question, and once more where the full mark was mended and no longer fits it."""
        newest = newest_key(answers, key)
        asked = (key,) if newest == key else (key, newest)
        full_l, mark_l = answers.value("reservoir.full"), newest_value(answers, key)
        if full_l is None or mark_l is None or not is_older(answers, key, ("reservoir.full",)):
            return asked
        fits = brim_fits if key == "reservoir.brim" else least_fits
        return asked if fits(mark_l, full_l=full_l) else (*asked, again_key(answers, key))

    def _tiers(self, answers: Answers, show: Show) -> tuple[Station, ...]:
        return tuple(
            self._tier(n, name, answers, show) for n, name in enumerate(tier_names(answers), start=1)
        )

    def _tier(self, n: int, name: str, answers: Answers, show: Show) -> Station:
        fields = ["same"] if n > 1 else []
        fields.append("name")
        if answers.word(f"tier-{n}.same") != "same":
            fields += ["bore", "length", "lip"]
            bore, lip = answers.value(f"tier-{n}.bore"), answers.value(f"tier-{n}.lip")
            if bore is not None and lip is not None and lip > bore:
                fields.append("lip2")
            fields.append("outlets")
        fields += ["crops", "plants"]
        questions = tuple(
            self.asks[f"tier.{field}"].question(
                f"tier-{n}.{field}", show, names={"tier": name}, same=_above(answers, n, field)
            )
            for field in fields
        )
        return Station(id=f"tier-{n}", name=name, questions=questions, section=f"tier-{n}")

    def _feeds(self, answers: Answers, show: Show) -> tuple[Station, ...]:
        made = []
        for n, name in enumerate(feed_names(answers), start=1):
            powder = answers.word(f"feed-{n}.kind") == "powder"
            fields = ("name", "kind", "amount_g" if powder else "amount_ml")
            made.append(self._numbered("feed", n, name, fields, show))
        if made:
            made.append(self._station("strength", _("Strength of the feed"), ("feeds.strength",), show))
        return tuple(made)

    def _adjusters(self, answers: Answers, show: Show) -> tuple[Station, ...]:
        made = []
        for n, name in enumerate(adjuster_names(answers), start=1):
            up = answers.word(f"adjuster-{n}.direction") == "up"
            fields = ("name", "direction", "alkali" if up else "acid", "percent")
            made.append(self._numbered("adjuster", n, name, fields, show))
        return tuple(made)

    def _tools(self, answers: Answers, show: Show) -> Station:
        many = count_of(answers, "feeds.count", most=12)
        powders = any(answers.word(f"feed-{n}.kind") == "powder" for n in range(1, many + 1))
        keys = ("tools.liquid", "tools.powder", "tools.water") if powders else ("tools.liquid", "tools.water")
        return self._station("tools", _("Measuring tools"), keys, show)

    # the later part

    def _later(self, answers: Answers, show: Show) -> tuple[Station, ...]:
        mains = ["mains.volts"]
        if answers.word("mains.volts") not in ("unknown", ""):
            mains.append("mains.amps")
            if answers.word("mains.amps") != "unknown":  # without it the whole table is left out
                mains.append("mains.protection")
        devices = tuple(
            self._numbered("device", n, name, ("kind", "name", "watts", "count"), show)
            for n, name in enumerate(device_names(answers), start=1)
        )
        return (
            self._station("jug", _("Jug"), ("tools.jug",), show),
            self._station(
                "place", _("Place and meters"), ("meter.compensated", "place.region", "place.altitude"), show
            ),
            self._station("mains", _("Plugs and fuses"), tuple(mains), show),
            self._station("devices", _("Devices"), ("devices.count",), show),
            *devices,
            self._station("phones", _("Numbers to ring"), ("phones.list",), show),
            self._station("change", _("Change days"), ("target.change_days",), show),
        )

    # what was made of it

    def _litres(self, answers: Answers) -> tuple[str, ...]:
        rack, show = rack_of(answers, self.asks), show_of(answers)
        return (*litres_said(rack, show), *drain_back_said(rack, show))

    def _bands(self, answers: Answers) -> tuple[str, ...]:
        rack = rack_of(answers, self.asks)
        return bands_said(bands_of(rack, self.crops), show_of(answers))

    def _enough(self, answers: Answers) -> tuple[str, ...]:
        rack = rack_of(answers, self.asks)
        lines = [_("That is enough for a first dose.")]
        if not rack.feeds:
            lines = [_("Without a feed no dose can be worked out; say it here when it is bought.")]
        if not rack.adjusters:
            lines.append(_("Without a pH bottle no pH can be corrected; say it here when it is bought."))
        if rack.source.alkalinity_mg_l_caco3 is None:
            lines.append(
                _("The alkalinity of your water isn't known: a drop test would make the acid doses surer.")
            )
        return tuple(lines)

    def _summary(self, answers: Answers) -> tuple[str, ...]:
        rack, show = rack_of(answers, self.asks), show_of(answers)
        back = drain_back_said(rack, show) if rack.reservoir.brim_l is not None else ()
        return (*rack_said(rack, show), *self._unknown(answers), *back)

    def _unknown(self, answers: Answers) -> tuple[str, ...]:
        """Say what nobody knew, and what stands in for it."""
        left = [
            f"{_(ask.ask)} {_(ask.unsure)}"
            for key, answer in answers.by_key.items()
            if answer.word == "unknown"
            and (ask := self.asks[ask_id(key)]).unsure
            and ask.id.startswith(_WORTH_SAYING)
        ]
        return (_("Not known yet: {what}.").format(what="; ".join(left)),) if left else ()

    def _plants(self, answers: Answers, show: Show) -> tuple[Station, ...]:
        """Ask once more for the plants of tiers that have crops and none of them."""
        questions = tuple(
            self.asks["tier.plants_again"].question(
                f"tier-{n}.plants_again", show, names={"tier": name, "crops": ", ".join(crops)}
            )
            for n, name in enumerate(tier_names(answers), start=1)
            if (crops := crops_of(answers.text(f"tier-{n}.crops")))
            and answers.done(f"tier-{n}.plants")
            and not answers.value(f"tier-{n}.plants")
        )
        if not questions:
            return ()
        return (Station(id="plants", name=_("Plants"), questions=questions, section="plants"),)

    # pieces

    def _pause(
        self,
        key: str,
        said: Callable[[Answers], tuple[str, ...]],
        earlier: Iterable[Station],
        answers: Answers,
        *,
        of: tuple[str, ...] = (),
    ) -> Station:
        # What it says is worked out only once everything it speaks of has been answered.
        is_reached = all(answers.done(q.key) for station in earlier for q in station.questions)
        before = said(answers) if is_reached else ()
        watched = [key for key in answers.by_key if key.partition("~")[0].rpartition(".")[2] in of]
        asked = newest_key(answers, key)
        if is_reached and is_older(answers, key, watched):
            asked = again_key(answers, key)  # something it speaks of was mended since it was read
        question = self.asks[key].question(asked, show_of(answers), before=before)
        return Station(id=key.partition(".")[0] + "-pause", name="", questions=(question,), listed=False)

    def _station(self, station: str, name: str, keys: tuple[str, ...], show: Show) -> Station:
        return Station(
            id=station, name=name, questions=tuple(self._ask(key, show) for key in keys), section=station
        )

    def _ask(self, key: str, show: Show) -> Question:
        before = (_("The full mark was changed: does this still hold?"),) if "~" in key else ()
        return self.asks[ask_id(key)].question(key, show, before=before)

    def _numbered(self, kind: str, n: int, name: str, fields: tuple[str, ...], show: Show) -> Station:
        questions = tuple(
            self.asks[f"{kind}.{field}"].question(
                f"{kind}-{n}.{field}", show, names=numbered_names(kind, n, name)
            )
            for field in fields
        )
        return Station(id=f"{kind}-{n}", name=name, questions=questions, section=f"{kind}-{n}")


def _above(answers: Answers, n: int, field: str) -> str:
    """Give what `=` puts into a tier's field: as the tier above has it; its name and its lip are its own."""
    if n == 1 or field in ("same", "name", "lip2"):
        return ""
    answer = answers.by_key.get(f"tier-{n - 1}.{field}")
    return "" if answer is None else answer.typed
