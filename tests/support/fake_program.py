"""The screens over the session in memory, as a program of its own: for tests in a pseudo-terminal.

Every entry that the session has confirmed is appended, as one line, to the file named in the call.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tendtui.core.walk import Turn
from tendtui.errors import TendError
from tendtui.tui.run import run_screens
from tests.support.fake_session import AT, FakeOutcome, FakeSession, a_note

FAULT = "13"
"""The answer at which the program fails from inside."""


class WritingSession(FakeSession):
    """A session that writes down what it confirmed."""

    path: Path

    def _commit(self, kind: str, turn: Turn) -> FakeOutcome:
        if turn.walk.entries[-1].typed == FAULT:
            raise RuntimeError("a fault of the program's own")
        outcome = super()._commit(kind, turn)
        with self.path.open("a") as file:
            file.write(turn.walk.entries[-1].typed + "\n")
        return outcome


def main() -> None:
    """Open the screens."""
    desk = WritingSession(events=(a_note(),), at=AT, slow_s=float(sys.argv[3]) if len(sys.argv) > 3 else 0.0)
    desk.path = Path(sys.argv[1])
    run_screens(desk, first=f"walk:{sys.argv[2]}" if len(sys.argv) > 2 else "today")


if __name__ == "__main__":
    try:
        main()
    except TendError as error:
        print(error, file=sys.stderr)
        raise SystemExit(error.exit_code) from None
