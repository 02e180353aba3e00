"""What the set-up and the first fill write to rack.toml."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendtui.store.rack_file import edit_rack, install_rack

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tendtui.store.folder import Folder

__all__ = ["apply_rack"]


def apply_rack(folder: Folder, context: Mapping[str, object]) -> None:
    """Write a whole new rack.toml, or change places in the one that is there.

    Args:
        folder: The state folder.
        context: With `rack_toml` (the file's text) or `changes` (dotted place -> value; None takes it out).

    Raises:
        StateError: If the file can't be written, or would not be valid; the old one stands.
    """
    text = context.get("rack_toml")
    if isinstance(text, str):
        install_rack(folder, text.encode())
    changes = context.get("changes")
    if isinstance(changes, dict):
        edit_rack(folder, changes)
