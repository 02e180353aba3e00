"""Three keepers: the program driven through its commands, rules of thumb, and one who sees the true state."""

from __future__ import annotations

import contextlib
import io
import json
import os
import subprocess
import sys
import tomllib
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import mean
from typing import Any, Protocol

from tests.season.rig import Rig
from tests.season.score import Score
from tests.season.water import HENRY_MMOL_ATM, REAGENTS, Water

START = datetime(2026, 1, 5, tzinfo=UTC)
MOST_CYCLES = 7
MIX_H = 0.33


class Keeper(Protocol):
    """Somebody who comes in the morning."""

    name: str

    def morning(self, rig: Rig, score: Score, day: int) -> None:
        """Do the round and what it asks for."""


class Program:
    """A stand-in who types what the meters show and pours what `dose` says."""

    name = "program"

    def __init__(self, folder: Path, rig: Rig, *, installed: bool = False) -> None:
        self.folder = folder
        self.installed = installed
        rack = folder / "rack-to-be.toml"
        rack.write_text(rig.rack_toml(), encoding="utf-8")
        self.now = START
        self.call("setup", "--from", str(rack))
        self.call("record", f"added_water={rig.full_l}", "changed=yes", "--by", "S")
        self.patterns = _pattern_words()
        self.before: set[str] = set()

    def call(self, *words: str) -> tuple[int, str, str]:
        """Run one command at this season's time; what it printed."""
        stamp = self.now.isoformat()
        line = [*words, "--state", str(self.folder)]
        if self.installed:
            env = {**os.environ, "TENDTUI_NOW": stamp}
            done = subprocess.run(
                [sys.executable, "-m", "tendtui", *line], env=env, capture_output=True, text=True, check=False
            )
            return done.returncode, done.stdout, done.stderr
        from tendtui.cli.main import main

        os.environ["TENDTUI_NOW"] = stamp
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(line)
        return status, out.getvalue(), err.getvalue()

    def morning(self, rig: Rig, score: Score, day: int) -> None:
        self.now = START + timedelta(hours=rig.clock_h)
        shown = rig.read()
        typo = day == rig.troubles.typo_day
        typed = {**shown, "conductivity": _slip(shown["conductivity"])} if typo else shown
        words = [f"{n}={v}" for n, v in typed.items()]
        if day % 7 == 0:
            words += [f"flow.{n}={v}" for n, v in rig.flows().items()]
        status, _out, said = self.call("record", *words, "--by", "S")
        if status:
            score.notes.append(f"day {day}: record {status} {said.strip()}")
        if typo and said.strip():
            score.named["typo"] = 0.0
        self._correct(rig, score, day)
        self._listen(rig, score, day)

    def _correct(self, rig: Rig, score: Score, day: int) -> None:
        ph_pours = 0
        for _cycle in range(MOST_CYCLES):
            status, out, said = self.call("dose", "--json")
            if status:
                score.notes.append(f"day {day}: dose {status} {said.strip()}")
                break
            plan = json.loads(out)
            if not plan["steps"]:
                break
            ph_pours += self._do(rig, score, plan, day, first=ph_pours == 0)
        if ph_pours:
            score.corrections.append(ph_pours)

    def _do(self, rig: Rig, score: Score, plan: Mapping[str, Any], day: int, *, first: bool) -> int:
        poured: str | None = None
        changed = plan["verdict"] == "change"
        said_change = False
        for step in plan["steps"]:
            self.now = START + timedelta(hours=rig.clock_h)
            match step["do"]:
                case "add_water":
                    rig.water(step["litres"])
                    more = ["changed=yes"] if changed and not said_change else []
                    said_change = changed
                    self._log(f"added_water={step['litres']}", *more)
                case "drain":
                    rig.drain(step["litres"])
                    self._log(f"drained={step['litres']}")
                case "pour" if step["what"] in ("A", "B"):
                    twice = day >= rig.troubles.double_day and "double" not in rig.mended
                    for _turn in range(2 if twice else 1):
                        rig.feed(step["what"], step["mL"])
                    if twice:
                        score.named.setdefault("double", None)
                        if step["what"] == "B":
                            rig.troubles.double_day = day
                            rig.mended.add("double")
                    self._log(f"poured.{step['what']}={step['mL']}")
                case "pour":
                    poured = step["what"]
                    rig.adjust(rig.acid if poured == "Down" else "potassium bicarbonate", step["mL"])
                    self._log(f"poured.{poured}={step['mL']}")
                case "wait":
                    rig.live(step["minutes"] / 60.0)
                case "read":
                    self._read(rig, score, plan, step["what"], poured, first=first)
            rig.live(0.03)
        return int(poured is not None)

    def _read(
        self,
        rig: Rig,
        score: Score,
        plan: Mapping[str, Any],
        what: list[str],
        poured: str | None,
        *,
        first: bool,
    ) -> None:
        self.now = START + timedelta(hours=rig.clock_h)
        shown = rig.read()
        self._log(*[f"{name}={shown[name]}" for name in what if name in shown])
        if poured is not None:
            score.pours += 1
            score.past += _is_past(rig, poured == "Down")
            if first and plan["expect"]["ph"] is not None:
                score.landing.append(abs(shown["ph"] - plan["expect"]["ph"]))

    def _log(self, *words: str) -> None:
        status, _out, said = self.call("record", *words, "--by", "S")
        if status:
            raise RuntimeError(f"record {words}: {said}")

    def _listen(self, rig: Rig, score: Score, day: int) -> None:
        """Hear what the program names, and mend it; what names nothing that happened is a false word."""
        _status, out, _said = self.call("status", "--json")
        spoken = {name for w in json.loads(out)["wrong"] for name, text in self.patterns if text in w["what"]}
        for trouble, (begin, answers) in _answers(rig).items():
            waits = trouble not in rig.mended or (
                trouble == "double" and score.named.get("double", 0) is None
            )
            if day >= begin and waits and spoken & answers:
                if score.named.get(trouble) is None:
                    score.named[trouble] = float(day - begin)
                if trouble in ("leak", "closing", "sick"):
                    rig.mended.add(trouble)
        score.false_words += [
            f"day {day}: {name}" for name in sorted(spoken - self.before) if not _excused(rig, name, day)
        ]
        self.before = spoken


class Thumb:
    """Rules of thumb: label doses, a fixed amount of acid a pH unit, a change every fortnight."""

    name = "thumb"

    def morning(self, rig: Rig, score: Score, day: int) -> None:
        if day % 14 == 0:
            rig.drain(rig.level_l)
            rig.level_to(rig.full_l)
        elif rig.level_l < 0.9 * rig.full_l:
            rig.level_to(rig.full_l)
        rig.live(MIX_H)
        shown = rig.read()
        middle = mean(rig.band_ms)
        if shown["conductivity"] < rig.band_ms[0]:
            ml = (middle - shown["conductivity"]) / rig.label_ms * rig.full_l
            rig.feed("A", ml)
            rig.feed("B", ml)
        elif shown["conductivity"] > rig.band_ms[1]:
            rig.drain(0.2 * rig.full_l)
            rig.level_to(rig.full_l)
        rig.live(MIX_H)
        self._ph(rig, score)

    def _ph(self, rig: Rig, score: Score) -> None:
        shown = rig.read()["ph"]
        low, high = rig.band_ph
        aim = (low + high) / 2.0
        if low <= shown <= high or (shown < low and not rig.has_up):
            return
        down = shown > high
        mmol = 0.25 * abs(shown - aim) * rig.full_l
        per_ml = rig._mmol_ml(rig.acid, rig.acid_percent) if down else rig.up_mmol_ml
        rig.adjust(rig.acid if down else "potassium bicarbonate", mmol / per_ml)
        rig.live(MIX_H)
        score.pours += 1
        score.past += _is_past(rig, down)
        score.landing.append(abs(rig.seen().ph - aim))
        score.corrections.append(1)


class Seer:
    """Sees the true composition and solves for it; only the hands are human."""

    name = "seer"

    def morning(self, rig: Rig, score: Score, day: int) -> None:
        del day
        rig.level_to(rig.full_l)
        rig.live(MIX_H)
        self._strength(rig)
        aim = rig.band_ph[0] + 0.42 * (rig.band_ph[1] - rig.band_ph[0])
        settled = _open(rig.tank, rig)
        wish = _ph_of(settled, rig)
        if abs(wish - aim) < 0.12:
            return
        down = wish > aim
        if not down and not rig.has_up:
            return
        reagent = rig.acid if down else "potassium bicarbonate"
        mmol = _mmol_to(rig, reagent, aim)
        expected = rig.tank.copy()
        expected.dissolve(REAGENTS[reagent], mmol)
        per_ml = rig.acid_mmol_ml if down else rig.up_mmol_ml
        rig.adjust(reagent, mmol / per_ml)
        rig.live(MIX_H)
        score.pours += 1
        score.past += _is_past(rig, down)
        score.landing.append(abs(rig.seen().ph - expected.seen(rig.warm_c).ph))
        score.corrections.append(1)

    def _strength(self, rig: Rig) -> None:
        now, middle = rig.seen().conductivity_ms_cm, mean(rig.band_ms)
        if now > rig.band_ms[1] - 0.05:
            rig.drain(0.5 * (now - middle) / now * rig.tank.litres)
            rig.level_to(rig.full_l)
        if now < middle - 0.04:
            ml = (middle - now) / 0.6 * rig.tank.litres / rig.feed_truth
            rig.feed("A", ml)
            rig.feed("B", ml)
        rig.live(MIX_H)


def keep(rig: Rig, keeper: Keeper) -> Score:
    """Live through the season with one keeper."""
    score = Score(keeper=keeper.name, seed=rig.seed)
    for day in range(1, rig.days + 1):
        rig.live(24.0 * day + 7.5 + rig.rng.gauss(0, 0.4) - rig.clock_h)
        if day == rig.troubles.leak_day + 4:
            rig.mended.add("leak")
        seen = rig.seen()
        score.mornings.append(
            rig.band_ph[0] <= seen.ph <= rig.band_ph[1]
            and rig.band_ms[0] <= seen.conductivity_ms_cm <= rig.band_ms[1]
        )
        if rig.rng.random() > 0.08 or day in (rig.troubles.typo_day, rig.troubles.double_day):
            keeper.morning(rig, score, day)
    score.hours = 100.0 * mean(a and b for a, b in rig.hours_in)
    score.ph_hours = 100.0 * mean(a for a, _b in rig.hours_in)
    score.strength_hours = 100.0 * mean(b for _a, b in rig.hours_in)
    score.drained_l = rig.drained_l
    if keeper.name == "program":
        for trouble in ("leak", "closing", "typo"):
            score.named.setdefault(trouble, None)
    return score


def _is_past(rig: Rig, down: bool) -> int:
    ph = rig.seen().ph
    return int(ph < rig.band_ph[0] if down else ph > rig.band_ph[1])


def _open(water: Water, rig: Rig) -> Water:
    """Give the water as it stands in balance with the room's air."""
    settled = water.copy()
    for _turn in range(12):
        seen = settled.seen(rig.warm_c)
        settled.amounts["DIC"] = max(
            1e-3,
            settled.amounts["DIC"] - 0.9 * HENRY_MMOL_ATM * (seen.pco2_atm - rig.air_atm) * settled.litres,
        )
    return settled


def _ph_of(water: Water, rig: Rig) -> float:
    return water.seen(rig.warm_c).ph


def _mmol_to(rig: Rig, reagent: str, aim: float) -> float:
    """Bisect for the amount that, once the air has had its way, stands at the aim."""
    down = reagent == rig.acid
    low, high = 0.0, 4.0 * rig.tank.litres
    for _turn in range(22):
        middle = (low + high) / 2.0
        trial = rig.tank.copy()
        trial.dissolve(REAGENTS[reagent], middle)
        ph = _ph_of(_open(trial, rig), rig)
        short = ph > aim if down else ph < aim
        closed = _ph_of(trial, rig)
        if short and (closed > rig.band_ph[0] + 0.08 or not down):
            low = middle
        else:
            high = middle
    return low


def _slip(value: float) -> float:
    text = f"{value:.2f}"
    swapped = float(f"{text[0]}.{text[3]}{text[2]}")
    return swapped if abs(swapped - value) > 0.15 else round(10.0 * value, 2)


def _pattern_words() -> list[tuple[str, str]]:
    from tendtui.store.data_file import data_text

    rows = tomllib.loads(data_text("patterns.toml"))["pattern"]
    return [(row["id"], row["what"]) for row in rows if row["alarm"]]


def _answers(rig: Rig) -> dict[str, tuple[int, set[str]]]:
    t = rig.troubles
    return {
        "leak": (t.leak_day + 1, {"leak"}),
        "closing": (t.closing_day, {"outlet-closing"}),
        "typo": (
            t.typo_day,
            {"strength-jump-nobody-made", "strength-drop-nobody-made", "reading-off-both-sides"},
        ),
        "double": (t.double_day, {"feed-added-too-much"}),
        "sick": (t.sick_day, {"drinks-less", "ph-falls-fast", "ph-down-strength-up"}),
        "heat": (t.heat_day, {"heat"}),
    }


def _excused(rig: Rig, name: str, day: int) -> bool:
    """Say whether something that happened explains the word."""
    t = rig.troubles
    near = {
        "leak": range(t.leak_day, t.leak_day + 8),
        "typo": range(t.typo_day, t.typo_day + 4),
        "double": range(t.double_day, t.double_day + 4),
        "heat": range(t.heat_day - 1, t.heat_day + 8),
    }
    if name in ("outlet-closing", "all-outlets-down"):
        return day >= t.closing_day
    if name == "one-visit-cannot-hold-it" and (rig.softened or rig.acid == "citric acid"):
        return True
    if name == "no-bottle-for-that" and not rig.has_up:
        return True
    if name == "value-in-doubt":
        return any(day in days for days in near.values())
    return any(day in days for days in near.values()) or day >= t.sick_day
