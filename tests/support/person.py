"""A person at a terminal, who reads the question off the screen and answers it; knows no session."""

from __future__ import annotations

import re
import time
from collections.abc import Mapping

from tests.support.terminal import Window

__all__ = ["Person"]

QUIET_S = 0.55
"""A little longer than the program waits for before it takes a key at a look."""


class Person:
    """Answers what stands on the screen: the last value for numbers, 1 for lists, the bottle asked for."""

    def __init__(self, window: Window, answers: Mapping[str, str] | None = None) -> None:
        self.window = window
        self.answers_to = answers or {}
        """Words of a question -> what to answer instead."""
        self.said: list[tuple[str, str]] = []

    @property
    def is_asked(self) -> bool:
        return (
            "your answer >" in self.text or "second reading" in self.text or "Enter to go on >" in self.text
        )

    @property
    def text(self) -> str:
        return self.window.text

    def waits_for_a_question(self) -> None:
        self.window.sees(" >")
        until = time.monotonic() + 15
        while not self.is_asked and time.monotonic() < until:
            self.window.read()
        assert self.is_asked, self.text
        self.window.quiet(0.1)

    def answers(self) -> str:
        """Answer the question on the screen and wait for the next; give what was typed."""
        answer = self._answer()
        before = self.text
        time.sleep(QUIET_S)
        self.said.append((self._asked(), answer))
        self.window.type(answer + "\r")
        until = time.monotonic() + 10
        while time.monotonic() < until:
            self.window.read(0.02)
            if self.text != before and not self._still_typing(answer, before):
                break
        self.window.quiet(0.08)
        return answer

    def _still_typing(self, answer: str, before: str) -> bool:
        """Say whether only the field changed."""
        return self._without_field(self.text) == self._without_field(before)

    @staticmethod
    def _without_field(text: str) -> str:
        head, _line, rest = text.partition("\n")  # the clock in the head goes on while nothing is answered
        lines = (re.sub(r"\d\d:\d\d", "", head), *rest.split("\n"))
        return "\n".join(line for line in lines if " > " not in line + " ")

    def _asked(self) -> str:
        lines = [line.strip() for line in self.text.split("\n")]
        at = next((n for n, line in enumerate(lines) if line.endswith(">") or " > " in line), len(lines))
        return " ".join(lines[max(0, at - 14) : at])

    def _answer(self) -> str:
        text = self.text
        for words, answer in self.answers_to.items():
            if words in text:
                return answer
        if "Enter to go on >" in text:
            return ""
        if re.search(r"^\s+1  \S", text, re.MULTILINE):
            return "1"
        if named := re.search(r"Next is (.+?)\. ", text.replace("\n", " ")):
            return named[1].strip()
        if poured := re.search(r"(?:Pour|Add) ([\d.]+) ", text):
            return poured[1]
        if stood := re.search(r"stood in it\s+([\d.]+)", text):
            return stood[1]
        if last := re.search(r"last time\s+([\d.]+)", text):
            return last[1]
        raise AssertionError(f"no answer to this:\n{text}")
