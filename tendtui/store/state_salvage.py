"""What can still be read of a damaged state file: its tables, one by one."""

from __future__ import annotations

import re
from itertools import pairwise

from tendtui.core.state import State
from tendtui.errors import StateError
from tendtui.store.state_file import parse_state
from tendtui.value import replace
from tendtui.words import _, n_

__all__ = ["salvage_state"]

_HEADER = re.compile(rb"^(?=[ \t]*\[(?:\[|[^\[.\n]+\]))", re.MULTILINE)


_MOST_TABLES = 2000
"""A round has about a hundred; what has more is no state of ours."""


def salvage_state(data: bytes) -> tuple[State, str]:
    """Give the state that every readable table makes together, and a sentence's beginning about it.

    Tables are taken up one after another; one that spoils what was taken up so far is left out. Where
    something was left out only a round goes on: its lost answers are asked again. A dose or a change
    must not ask twice for what was done once, so those begin anew from the log.
    """
    good = b""
    state = State()
    left_out = 0
    for chunk in _chunks(data)[:_MOST_TABLES]:
        try:
            state = parse_state(good + chunk, file="")
        except StateError:
            left_out += bool(chunk.strip(b"\0 \t\r\n"))
        else:
            good += chunk if chunk.endswith(b"\n") else chunk + b"\n"
    if left_out:
        state = replace(state, walks={kind: walk for kind, walk in state.walks.items() if kind == "round"})
    if state == State():
        return state, _("nothing of it can be read; walks under way begin anew")
    told = n_(
        "all but {n} of its tables stay; a dose or task under way begins anew",
        "all but {n} of its tables stay; a dose or task under way begins anew",
        left_out,
    )
    return state, told.format(n=left_out)


def _chunks(data: bytes) -> list[bytes]:
    places = [0, *(found.start() for found in _HEADER.finditer(data) if found.start() > 0), len(data)]
    return [data[start:end] for start, end in pairwise(places)]
