"""The screens over the session in memory, as a program of its own: for tests in a pseudo-terminal.

Every entry that the session has confirmed is appended, as one line, to the file named in the call.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tendtui.core.walk import Turn
from tendtui.tui.start import run_app
from tests.support.fake_session import AT, FakeOutcome, FakeSession, a_note


class WritingSession(FakeSession):
    """A session that writes down what it confirmed."""

    path: Path

    def _commit(self, kind: str, turn: Turn) -> FakeOutcome:
        outcome = super()._commit(kind, turn)
        with self.path.open("a") as file:
            file.write(turn.walk.entries[-1].typed + "\n")
        return outcome


def main() -> int:
    """Open the screens."""
    desk = WritingSession(events=(a_note(),), at=AT, slow_s=float(sys.argv[3]) if len(sys.argv) > 3 else 0.0)
    desk.path = Path(sys.argv[1])
    return run_app(desk, start=sys.argv[2] if len(sys.argv) > 2 else "")


if __name__ == "__main__":
    raise SystemExit(main())
