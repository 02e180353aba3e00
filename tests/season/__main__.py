"""`python -m tests.season [--racks N] [--first SEED] [--days D] [--installed]`: seasons, and their table."""

from __future__ import annotations

import argparse
import tempfile
import time
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
    parser.add_argument("--installed", action="store_true", help="a process for each call")
    args = parser.parse_args()
    scores: list[Score] = []
    for seed in range(args.first, args.first + args.racks):
        began = time.monotonic()
        new = season(seed, args.days, installed=args.installed)
        scores += new
        for score in new:
            row = " ".join(f"{value:8.2f}" for value in score.row())
            print(
                f"{seed:4d} {score.keeper:<8} {row}  {score.named} {score.false_words} {score.notes[:2]}",
                flush=True,
            )
        print(f"     {time.monotonic() - began:.0f} s", flush=True)
    print(table(scores))


if __name__ == "__main__":
    main()
