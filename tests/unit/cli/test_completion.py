"""Completion and the man page: made from the parsers, and taken by the programs that read them."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from tendtui.cli.call_shape import shapes
from tendtui.cli.completion import SHELLS
from tendtui.cli.main import COMMANDS, main
from tendtui.cli.manpage import manpage

BASH = shutil.which("bash")


def script(shell: str) -> str:
    return SHELLS[shell](shapes())


def completed(*words: str) -> list[str]:
    """Give what bash offers for the last word."""
    assert BASH is not None
    line = " ".join(f"'{word}'" for word in words)
    program = f"{script('bash')}\nCOMP_WORDS=({line}); COMP_CWORD={len(words) - 1}; _tendtui\n"
    program += 'printf "%s\\n" "${COMPREPLY[@]}"'
    done = subprocess.run([BASH, "-c", program], capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return done.stdout.split("\n")[:-1]


@pytest.mark.skipif(BASH is None, reason="there is no bash here")
@pytest.mark.parametrize(
    ("words", "offered"),
    [
        (("tendtui", "ro"), ["round"]),
        (("tendtui", "--state", "/nowhere", "exp"), ["export"]),
        (("tendtui", "round", "--pl"), ["--plain"]),
        (("tendtui", "export", "--"), ["--help", "--state", "--csv", "--jsonl"]),
        (("tendtui", "record", "co"), ["conductivity="]),
        (("tendtui", "completion", ""), ["bash", "zsh", "fish"]),
        (("tendtui", "record", "--by", ""), [""]),
        (("tendtui", "check", "--state", "/et"), ["/etc"]),
        (("tendtui", "nothing", ""), [""]),
    ],
)
def test_bash_offers_what_the_parser_takes(words: tuple[str, ...], offered: list[str]) -> None:
    assert completed(*words) == offered


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_command_and_option_can_be_completed(shell: str) -> None:
    text = script(shell)
    for shape in shapes():
        assert shape.name in text
        for option in shape.options:
            for name in option.names:
                assert (name if shell != "fish" else name.lstrip("-")) in text


@pytest.mark.parametrize(("shell", "check"), [("bash", "-n"), ("zsh", "-n"), ("fish", "--no-execute")])
def test_the_shell_itself_takes_the_script(shell: str, check: str) -> None:
    found = shutil.which(shell)
    if found is None:
        pytest.skip(f"there is no {shell} here")
    done = subprocess.run([found, check, "/dev/stdin"], input=script(shell), capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")


def test_an_unknown_shell_is_a_wrong_call(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "tcsh"]) == 2
    assert capsys.readouterr().err.startswith("tendtui: ")


def test_the_command_prints_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", "bash"]) == 0
    assert capsys.readouterr().out == script("bash")


def test_the_man_page_names_every_command_and_option() -> None:
    text = manpage()
    for shape in shapes():
        assert f".SS {shape.name}" in text
        for option in shape.options:
            if "--help" not in option.names:
                assert all(name.replace("-", "\\-") in text for name in option.names)
    assert len(shapes()) == len(COMMANDS)


def test_no_line_of_the_man_page_is_taken_for_an_order_by_chance() -> None:
    orders = {line.split()[0] for line in manpage().splitlines() if line.startswith(".")}
    assert orders == {".TH", ".SH", ".SS", ".TP", ".PP", ".B", ".nf", ".fi"}


def test_groff_takes_the_man_page_without_a_warning() -> None:
    groff = shutil.which("groff")
    if groff is None:
        pytest.skip("there is no groff here")
    done = subprocess.run(
        [groff, "-man", "-ww", "-Tutf8"], input=manpage().encode(), capture_output=True, check=True
    )
    assert done.stderr == b""
    assert (
        "exit status".upper() in done.stdout.decode().upper().replace("\x08", "") or b"E\x08E" in done.stdout
    )
