"""What was found in the files: file, line, what is wrong and what to do."""

from __future__ import annotations

import asyncio

from tendtui.core.finding import Finding
from tendtui.errors import TendError
from tendtui.tui.commands import PROBLEMS
from tendtui.tui.line import Line, Look, span, wrap
from tendtui.tui.screens.text_page import TextPage
from tendtui.words import _, n_

__all__ = ["ProblemsPage"]


class ProblemsPage(TextPage[None]):
    """Every finding; none hides another."""

    OFFERS = PROBLEMS
    FIELD = 1

    def __init__(self) -> None:
        super().__init__()
        self.findings: tuple[Finding, ...] | None = None

    def arrive(self) -> None:
        """Read the files off the loop: a long log takes a moment."""
        desk = self.tend.desk

        async def work() -> None:
            try:
                self.findings = await asyncio.to_thread(desk.findings)
            except TendError as error:
                self.findings = ()
                self.notice = "[!] " + str(error)
            self.redraw()

        self.run_worker(work(), group="read")
        super().arrive()

    def heading(self) -> tuple[str, str]:
        """Give the title and the count."""
        if self.findings is None:
            return _("PROBLEMS"), _("the files are being read")
        count = len(self.findings)
        return _("PROBLEMS"), n_("{n} finding", "{n} findings", count).format(n=count)

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give each finding with its place in bold."""
        if self.findings is None:
            return ()
        if not self.findings:
            return (span("  " + _("All files were read; nothing is wrong in them.")),)
        lines: list[Line] = []
        for finding in self.findings:
            place = finding.file if finding.line is None else f"{finding.file}:{finding.line}"
            mark = "[!]" if finding.severity == "error" else "   "
            lines.append(((f" {mark} ", Look.LOOK), (place, Look.BOLD)))
            lines += [span(line) for line in wrap(f"{finding.what}. {finding.do}", width - 1, first="     ")]
            lines.append(())
        return tuple(lines)
