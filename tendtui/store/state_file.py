"""Reading and writing `state.toml`."""

from __future__ import annotations

from tendtui.core.state import State
from tendtui.errors import StateError
from tendtui.store.atomic import read_file, unless_changed
from tendtui.store.fields import Faults, Fields
from tendtui.store.folder import Folder
from tendtui.store.schema import refuse_newer
from tendtui.store.state_table import decode_state, encode_state
from tendtui.store.toml_read import read_toml
from tendtui.store.toml_text import table_text
from tendtui.words import _

__all__ = ["open_state", "parse_state", "read_state", "state_bytes", "write_state"]

_HEAD = "# Written by tendtui at every answer; the rack is described in rack.toml.\n"


def read_state(folder: Folder) -> State:
    """Read the state; a missing file is an empty state.

    Raises:
        StateError: If the file can't be read or is damaged.
    """
    return open_state(folder)[0]


def open_state(folder: Folder) -> tuple[State, bytes | None]:
    """Read the state together with the bytes that it stood in, for `write_state`.

    Raises:
        StateError: If the file can't be read or is damaged.
    """
    data = read_file(folder.state)
    return (State(), None) if data is None else (parse_state(data, file=str(folder.state)), data)


def parse_state(data: bytes, *, file: str) -> State:
    """Read the bytes of a state file.

    Raises:
        StateError: At the first thing that is wrong.
    """
    faults = Faults(file=file, text=data)
    state = decode_state(Fields(read_toml(data, file), (), faults))
    if faults.errors:
        refuse_newer(data, file=file)  # then it isn't damage that makes it strange
    faults.raise_first()
    return state


def state_bytes(state: State) -> bytes:
    """Give the bytes in which the state is kept."""
    return (_HEAD + table_text(encode_state(state))).encode()


def write_state(folder: Folder, state: State, *, was: bytes | None) -> bytes:
    """Keep the state, if the file still holds what was read; give the bytes now on disk.

    Args:
        folder: The state folder.
        state: What to keep.
        was: The bytes that `open_state` or the last `write_state` gave; None: there was no file.

    Raises:
        ChangedError: If somebody else wrote the file meanwhile; nothing was overwritten.
        StateError: If it can't be written, or a newer version of the program wrote it.
        HeldError: If another writer doesn't let go in time.
    """
    if was is not None:
        refuse_newer(was, file=str(folder.state))
    try:
        data = state_bytes(state)
        parse_state(data, file=str(folder.state))  # what can't be read back must not be written
    except (TypeError, ValueError, StateError) as fault:
        why = fault.what if isinstance(fault, StateError) else fault
        raise StateError(
            _("it can't be kept ({why})").format(why=why), _("Nothing was changed."), file=str(folder.state)
        ) from fault
    from tendtui.store.lock import write_lock  # readers never wait

    with write_lock(folder):
        unless_changed(folder.state, was, data)
    return data
