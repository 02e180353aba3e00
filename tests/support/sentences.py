"""Every sentence that a person reads: those marked in the code, and those of the packaged data."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

__all__ = ["DATA_KEYS", "PACKAGE", "code_sentences", "data_sentences", "plurals"]

PACKAGE = Path(__file__).parents[2] / "tendtui"

DATA_KEYS: Mapping[str, frozenset[str]] = {
    "drills": frozenset({"name", "first", "steps"}),
    "cards": frozenset({"name", "lines"}),
    "glossary": frozenset({"term.name", "says"}),
    "patterns": frozenset({"what", "means", "check", "do"}),
    "practice": frozenset({"card", "number", "level", "seconds", "cup", "good", "see", "says"}),
    "round": frozenset(
        {
            "else_text", "skip_text", "name", "place", "ask", "where", "how", "why", "good", "text", "short",
            "advice", "ask_jug", "ask_cup", "how_jug", "how_cup",
        }
    ),
    "safety_checks": frozenset({"what", "place", "how", "good", "if_not", "why", "wrong"}),
    "tasks": frozenset({"what", "place", "how", "good", "if_not", "why"}),
    "seasons": frozenset({"title", "why", "said", "do"}),
    "setup": frozenset(
        {
            "place", "ask", "why", "how", "choices", "usual", "origin", "unsure", "refused", "safety",
            "needed", "doubtful",
        }
    ),
    "sheet": frozenset(
        {
            "first", "photo", "normal", "welcome", "advice", "title", "lines", "none", "mixed", "what",
            "good", "text",
        }
    ),
    "regions": frozenset({"trip_name", "trip_level", "rule", "wiring", "emergency", "poison"}),
}  # fmt: skip
"""Data file -> keys whose words people read; `table.key` where the key alone would take in more."""


@cache
def code_sentences() -> tuple[str, ...]:
    """Give every text marked `_("…")` or `n_("…", "…")`."""
    found: dict[str, None] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        for text in _marked(ast.parse(path.read_text(encoding="utf-8"))):
            found[text] = None
    return tuple(found)


@cache
def plurals() -> tuple[tuple[str, str], ...]:
    """Give every pair marked `n_("…", "…")`."""
    found: dict[tuple[str, str], None] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            texts = _texts(node, "n_", 2)
            if len(texts) == 2:
                found[(texts[0], texts[1])] = None
    return tuple(found)


@cache
def data_sentences() -> tuple[str, ...]:
    """Give every text of the packaged data that people read."""
    found: dict[str, None] = {}
    for name, keys in DATA_KEYS.items():
        table = tomllib.loads((PACKAGE / "data" / f"{name}.toml").read_text(encoding="utf-8"))
        for text in _read(table, "", "", keys):
            found[text] = None
    return tuple(text for text in found if text)


def _marked(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        yield from _texts(node, "_", 1)
        yield from _texts(node, "n_", 2)
        yield from _help(node)


def _help(node: ast.AST) -> Iterator[str]:
    """Give what the parsers print: it is translated where the parser is built."""
    if isinstance(node, ast.Call):
        for keyword in node.keywords:
            if keyword.arg == "help" and isinstance(keyword.value, ast.Constant):
                yield str(keyword.value.value)
    if isinstance(node, ast.AnnAssign | ast.Assign):
        targets = [node.target] if isinstance(node, ast.AnnAssign) else node.targets
        names = {target.id for target in targets if isinstance(target, ast.Name)}
        if "EXAMPLES" in names and isinstance(node.value, ast.Constant):
            yield str(node.value.value)
        if "COMMANDS" in names and isinstance(node.value, ast.Dict):
            rows = (value for value in node.value.values if isinstance(value, ast.Tuple))
            yield from (str(row.elts[1].value) for row in rows if isinstance(row.elts[1], ast.Constant))


def _texts(node: ast.AST, name: str, many: int) -> list[str]:
    if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name):
        return []
    return [a.value for a in node.args[:many] if isinstance(a, ast.Constant) and isinstance(a.value, str)]


def _read(value: object, table: str, key: str, keys: frozenset[str]) -> Iterator[str]:
    if isinstance(value, dict):
        for inner, item in value.items():
            yield from _read(item, key or table, inner, keys)
    elif isinstance(value, list):
        # an answer of the set-up is its own word, which is stored, and the words that are read
        shown = value[1:] if key == "choices" and value and isinstance(value[0], str) else value
        for item in shown:
            yield from _read(item, table, key, keys)
    elif (
        isinstance(value, str) and (key in keys or f"{table}.{key}" in keys) and any(map(str.isalpha, value))
    ):
        yield value
