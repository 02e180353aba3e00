"""At the end of a run, the table of faults: what was done to the program, and what it lost."""

from __future__ import annotations

import pytest

from tests.support.tally import TALLY


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the table, if anything was counted."""
    if not TALLY:
        return
    terminalreporter.section("faults")
    for what, times in sorted(TALLY.items()):
        terminalreporter.write_line(f"{what:<52} {times:>7}")
    failed = sum(len(terminalreporter.stats.get(kind, ())) for kind in ("failed", "error"))
    terminalreporter.write_line(f"{'tests that saw something lost, changed or left behind':<52} {failed:>7}")
