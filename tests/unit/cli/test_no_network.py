"""No command without a screen ever asks for the network."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.folders import NOON, folder_in

WATCHED = """
import sys
def watch(event, args):
    if event.removeprefix("socket.") in ("connect", "bind", "getaddrinfo", "gethostbyname", "sendto"):
        print("network:", event, file=sys.stderr)
        raise RuntimeError(event)
sys.addaudithook(watch)
from tendtui.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize(
    "words",
    [
        ["record", "level=44", "ph=6.1"],
        ["status"],
        ["check"],
        ["export"],
        ["backup", "copy.tar.gz"],
        ["dose"],
        ["tasks"],
        ["sheet"],
        ["calendar"],
    ],
    ids=lambda words: words[0],
)
def test_a_command_leaves_the_network_alone(tmp_path: Path, words: list[str]) -> None:
    folder = folder_in(tmp_path)
    ran = subprocess.run(
        [sys.executable, "-c", WATCHED, *words],
        env={
            "TENDTUI_STATE": str(folder.path),
            "TENDTUI_NOW": NOON.isoformat(),
            "PYTHONPATH": str(Path(__file__).parents[3]),
            "TENDTUI_DEBUG": "1",
        },
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )
    assert "network" not in ran.stderr
    assert ran.returncode in (0, 1, 3), ran.stderr


def test_the_watch_sees_a_call() -> None:
    program = WATCHED.partition("from tendtui")[0] + "import socket\nsocket.getaddrinfo('localhost', 80)\n"
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=30, check=False
    )
    assert ran.returncode == 1
    assert "network: socket.getaddrinfo" in ran.stderr
