"""Calling commands as the shell would, without a new process."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tendtui.cli.main import main
from tendtui.value import value_class


@value_class(kw_only=False)
class Called:
    """What a call left."""

    status: int
    out: str
    err: str

    @property
    def table(self) -> dict[str, object]:
        """What was printed, as JSON."""
        found = json.loads(self.out)
        assert isinstance(found, dict)
        return found


def call(capsys: pytest.CaptureFixture[str], state: Path, *words: str) -> Called:
    """Call the program on a state folder; its help and version exits count as statuses too."""
    try:
        status = main(["--state", str(state), *words])
    except SystemExit as left:
        status = int(left.code or 0)
    printed = capsys.readouterr()
    return Called(status=status, out=printed.out, err=printed.err)
