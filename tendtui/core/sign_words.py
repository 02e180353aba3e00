"""All that a pattern says, as lines to read: what, how sure, by which readings, what to check and do."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.pattern import Pattern, Sign, told_by_eyes
from tendtui.words import _

__all__ = ["pressing_lines", "sign_lines"]


def sign_lines(signs: Iterable[Sign], patterns: Iterable[Pattern]) -> tuple[str, ...]:
    """Say what the readings mean, then what needs nothing, then what only eyes can tell.

    Args:
        signs: What speaks now, the most pressing first.
        patterns: The data.
    """
    seen = tuple(signs)
    pressing = pressing_lines(seen)
    lines = list(pressing or (_("Nothing in the readings looks wrong."),))
    calm = [sign for sign in seen if not sign.pattern.alarm]
    if calm:
        lines += ["", _("ALSO SEEN")]
        for sign in calm:
            lines += [sign.what + ".", *_told(sign)]
    lines += ["", _("ONLY EYES CAN TELL")]
    for pattern in told_by_eyes(patterns):
        lines.append(f"{_(pattern.what)}: {_(pattern.means)}.")
        lines += [
            "    " + _("Check first: {check}").format(check=_(pattern.check)),
            "    " + _("Then: {do}").format(do=_(pattern.do)),
        ]
    return tuple(lines)


def pressing_lines(signs: Iterable[Sign]) -> tuple[str, ...]:
    """Say the patterns that something must be done about, each with all it has to say; empty: there is none.

    Args:
        signs: What speaks now, the most pressing first.
    """
    lines: list[str] = []
    for sign in signs:
        if sign.pattern.alarm:
            lines += [f"[!] {sign.what}", *_told(sign)]
    return tuple(lines)


def _told(sign: Sign) -> tuple[str, ...]:
    words = {"high": _("Likely: {means}."), "medium": _("Perhaps: {means}."), "low": _("Possibly: {means}.")}
    seen = " ".join(sign.evidence)
    return (
        "    " + words[sign.sure].format(means=_(sign.pattern.means)),
        *(("    " + _("Seen: {evidence}").format(evidence=seen),) if seen else ()),
        "    " + _("Check first: {check}").format(check=_(sign.pattern.check)),
        "    " + _("Then: {do}").format(do=_(sign.pattern.do)),
    )
