"""The lists: every walk that can be begun, and everything that is due, now or later."""

from __future__ import annotations

from itertools import zip_longest

from tendtui.core.printed_page import PrintedPage
from tendtui.core.today import Item, Today
from tendtui.tui.commands import LISTS
from tendtui.tui.line import Line, Look, pad, span, wrap
from tendtui.tui.screens.printed import PRINTED
from tendtui.tui.screens.text_page import TextPage
from tendtui.words import _

__all__ = ["ListsPage", "courses", "walks"]


def walks() -> tuple[Item, ...]:
    """Give the walks that a person may begin at any time."""
    return (
        Item(what=_("Round"), because=_("level, meters, pump, tiers, leaks"), opens="walk:round"),
        Item(what=_("Dose"), because=_("correct the solution from the last readings"), opens="walk:dose"),
        Item(what=_("All tasks"), because=_("do, silence, say what was done"), opens="page:tasks"),
        Item(what=_("Change day"), because=_("empty, refill and feed anew"), opens="walk:change"),
        Item(what=_("Plants"), because=_("sown, moved up, harvested, pulled"), opens="walk:plants"),
        Item(
            what=_("Something happened"),
            because=_("power cut, leak, trip, new device, days away"),
            opens="walk:happened",
        ),
        Item(
            what=_("New bottle or meter"),
            because=_("what was learned of the old one is kept aside"),
            opens="walk:renewed",
        ),
        Item(what=_("Practice round"), because=_("on a copy; two faults are planted"), opens="walk:practice"),
        Item(what=_("Stand-in"), because=_("who stands in, and what to do before"), opens="walk:cover"),
        Item(what=_("Back again"), because=_("what was done while away"), opens="walk:return"),
        Item(what=_("Jar test"), because=_("try a mix in a jar before the reservoir"), opens="walk:jar"),
        Item(
            what=_("Describe the rack"), because=_("change what was said in the set-up"), opens="walk:setup"
        ),
        Item(what=_("First fill"), because=_("leak watch, litres by jug, marks"), opens="walk:fill"),
        Item(what=_("End of season"), because=_("empty, clean, put away"), opens="walk:season-end"),
        Item(
            what=_("Start of season"),
            because=_("look over everything before the first water"),
            opens="walk:season-start",
        ),
    )


def _printed(page: PrintedPage) -> Item:
    return Item(what=page.name, because=page.about, opens=f"page:{PRINTED}{page.id}")


def courses() -> tuple[Item, ...]:
    """Give the pages that look back and ahead."""
    return (
        Item(what=_("Trends"), because=_("week, month, season; the same as a table"), opens="page:trends"),
        Item(what=_("What the readings say"), because=_("seen, how sure, what to do"), opens="page:signs"),
        Item(what=_("What lies ahead"), because=_("days left, change, bottles"), opens="page:ahead"),
        Item(what=_("Going away"), because=_("day by day, and what to do before"), opens="page:away"),
        Item(what=_("What this rack taught"), because=_("feed, acid, thirst, drift"), opens="page:taught"),
    )


class ListsPage(TextPage[None]):
    """Numbers open what they stand before."""

    OFFERS = LISTS

    def __init__(self, today: Today, pages: tuple[PrintedPage, ...] = ()) -> None:
        super().__init__()
        self.blocks: tuple[tuple[str, tuple[Item, ...]], ...] = (
            (_("Left open"), today.left_open),
            (_("Due now"), (*today.stop, *today.due)),
            (_("Later"), today.later),
            (_("At any time"), walks()),
            (_("Looking back and ahead"), courses()),
            (_("To read and to print"), tuple(_printed(page) for page in pages)),
        )

    @property
    def items(self) -> tuple[Item, ...]:
        """Everything that a number opens, in order."""
        return tuple(item for _title, items in self.blocks for item in items)

    def heading(self) -> tuple[str, str]:
        """Give the title."""
        return _("LISTS"), _("a number, then Enter, opens a line")

    def lines(self, width: int) -> tuple[Line, ...]:
        """Give each list under its title."""
        lines: list[Line] = []
        number = 1
        for title, items in self.blocks:
            if not items:
                continue
            lines += [(), span(" " + title, Look.BOLD)] if lines else [span(" " + title, Look.BOLD)]
            for item in items:
                told = zip_longest(wrap(item.what, 30), wrap(item.because, width - 42), fillvalue="")
                rows = [pad(what, 30) + " " + because for what, because in told]
                mark: Line = ((f"  {item.mark or '   '} ", Look.LOOK), (f"{number:>2}  ", Look.BOLD))
                lines.append((*mark, (rows[0], Look.PLAIN)))
                lines += [span(" " * 10 + row) for row in rows[1:]]
                number += 1
        return tuple(lines)

    def command(self, name: str) -> bool:
        """Go to all tasks, or back."""
        if name == "OpenTasks":
            self.tend.open("page:tasks")
            self.open_field()
            return True
        return super().command(name)

    def entered(self, typed: str) -> None:
        """Open the line."""
        typed, items = typed.strip(), self.items
        if typed.isdigit() and 1 <= int(typed) <= len(items):
            self.tend.open(items[int(typed) - 1].opens)
        elif typed:
            self.notice = _("There is no line {typed} here.").format(typed=typed)
        self.open_field()
