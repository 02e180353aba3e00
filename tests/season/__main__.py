"""`python -m tests.season [--racks N] [--first SEED] [--days D] [--jobs J]`: seasons, and their table."""

from __future__ import annotations

import argparse
import tempfile
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from tests.season.keepers import Program, Seer, Thumb, keep
from tests.season.rig import Rig
from tests.season.score import Score, table


def season(seed: int, days: int, *, installed: bool = False) -> list[Score]:
    """Run one rack with each keeper."""
    scores = [keep(Rig(seed, days), Thumb()), keep(Rig(seed, days), Seer())]
    with tempfile.TemporaryDirectory() as folder:
        rig = Rig(seed, days)
        scores.append(keep(rig, Program(Path(folder), rig, installed=installed)))
    return scores


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.season")
    parser.add_argument("--racks", type=int, default=20)
    parser.add_argument("--first", type=int, default=1)
    parser.add_argument("--days", type=int, default=90)
    parser.add_argument("--jobs", type=int, default=1, help="racks at the same time")
    parser.add_argument("--installed", action="store_true", help="a process for each call")
    args = parser.parse_args()
    seeds = range(args.first, args.first + args.racks)
    scores: list[Score] = []
    with ProcessPoolExecutor(max_workers=args.jobs) as pool:
        for new in pool.map(partial(season, days=args.days, installed=args.installed), seeds):
            scores += new
            for score in new:
                print(_line(score), flush=True)
    print(table(scores))


def _line(score: Score) -> str:
    row = " ".join(f"{value:8.2f}" for value in score.row())
    told = f"  {score.named} {score.false_words} {score.notes[:2]}" if score.keeper == "program" else ""
    return f"{score.seed:4d} {score.keeper:<8} {row}{told}"


if __name__ == "__main__":
    main()
