"""The gettext catalogues: `python -m tests.support.catalogue` brings them up to date with the sentences.

A catalogue is `tendtui/locale/<language>/LC_MESSAGES/tendtui.po`, in the standard form, one entry for each
sentence; beside it the compiled `.mo` that the program reads. Sentences that are gone are dropped, new ones
come with an empty translation, which the tests name. The standard tools (msgmerge, `.po` editors) work too.
"""

from __future__ import annotations

import ast
import struct
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

from tendtui.value import value_class
from tests.support.sentences import PACKAGE, code_sentences, data_sentences, plurals

__all__ = ["LOCALE", "Entry", "compiled", "current", "languages", "merged", "read_po", "written_po"]

LOCALE = PACKAGE / "locale"
NAME = "tendtui"
_HEADERS = {
    "de": "Content-Type: text/plain; charset=UTF-8\nLanguage: de\n"
    "Plural-Forms: nplurals=2; plural=(n != 1);\n",
}


@value_class
class Entry:
    """A sentence, its plural where it has one, and how a language says them."""

    one: str
    many: str = ""
    said: tuple[str, ...] = ("",)

    @property
    def is_done(self) -> bool:
        """Say whether every form is there."""
        return all(self.said)


def current() -> tuple[Entry, ...]:
    """Give every sentence of the program, untranslated, in a steady order."""
    pairs = dict(plurals())
    in_pairs = {text for pair in pairs.items() for text in pair}
    single = [
        text for text in dict.fromkeys((*code_sentences(), *data_sentences(), ".")) if text not in in_pairs
    ]
    entries = [Entry(one=text) for text in single]
    entries += [Entry(one=one, many=many, said=("", "")) for one, many in pairs.items()]
    return tuple(sorted(entries, key=lambda entry: (entry.one.casefold(), entry.one)))


def merged(old: Iterable[Entry], now: Iterable[Entry]) -> tuple[Entry, ...]:
    """Give the sentences of now with the translations there were."""
    known = {(entry.one, entry.many): entry for entry in old}
    return tuple(known.get((entry.one, entry.many), entry) for entry in now)


def languages() -> tuple[str, ...]:
    """Give the languages that have a catalogue."""
    return tuple(sorted(folder.name for folder in LOCALE.iterdir() if folder.is_dir()))


def po_file(language: str) -> Path:
    """Give the place of a catalogue."""
    return LOCALE / language / "LC_MESSAGES" / f"{NAME}.po"


def written_po(entries: Iterable[Entry], language: str) -> str:
    """Write a catalogue."""
    parts = [f'msgid ""\nmsgstr ""\n{_quoted_lines(_HEADERS[language])}']
    for entry in entries:
        if entry.many:
            forms = "\n".join(f"msgstr[{n}] {_quoted(said)}" for n, said in enumerate(entry.said))
            parts.append(f"msgid {_quoted(entry.one)}\nmsgid_plural {_quoted(entry.many)}\n{forms}")
        else:
            parts.append(f"msgid {_quoted(entry.one)}\nmsgstr {_quoted(entry.said[0])}")
    return "\n\n".join(parts) + "\n"


def read_po(text: str) -> tuple[Entry, ...]:
    """Read a catalogue; comments are passed over."""
    entries = []
    for block in text.split("\n\n"):
        fields = _fields(block)
        if fields.get("msgid"):
            said = tuple(value for key, value in fields.items() if key.startswith("msgstr"))
            entries.append(Entry(one=fields["msgid"], many=fields.get("msgid_plural", ""), said=said))
    return tuple(entries)


def compiled(entries: Iterable[Entry], language: str) -> bytes:
    """Give the catalogue as the program reads it; what isn't translated is left out.

    Source:
        GNU gettext manual, "The Format of GNU MO Files".
    """
    rows = {"": _HEADERS[language]}
    for entry in entries:
        if entry.is_done:
            key = f"{entry.one}\0{entry.many}" if entry.many else entry.one
            rows[key] = "\0".join(entry.said)
    pairs = sorted((key.encode(), value.encode()) for key, value in rows.items())
    many = len(pairs)
    start = 28 + 16 * many
    keys, values, table_keys, table_values = b"", b"", b"", b""
    for raw_key, _value in pairs:
        table_keys += struct.pack("<2I", len(raw_key), start + len(keys))
        keys += raw_key + b"\0"
    for _key, raw_value in pairs:
        table_values += struct.pack("<2I", len(raw_value), start + len(keys) + len(values))
        values += raw_value + b"\0"
    head = struct.pack("<7I", 0x950412DE, 0, many, 28, 28 + 8 * many, 0, 28 + 16 * many)
    return head + table_keys + table_values + keys + values


def _fields(block: str) -> Mapping[str, str]:
    fields: dict[str, str] = {}
    key = ""
    for line in block.splitlines():
        if line.startswith("#"):
            continue
        if line.startswith("msg"):
            key, _blank, line = line.partition(" ")
            fields[key] = ""
        if key and line:
            fields[key] += str(ast.literal_eval(line))
    return fields


def _quoted(text: str) -> str:
    if "\n" in text.rstrip("\n"):
        return '""\n' + _quoted_lines(text)
    return _one(text)


def _quoted_lines(text: str) -> str:
    return "\n".join(_one(line) for line in text.splitlines(keepends=True))


def _one(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{escaped}"'


def main() -> int:
    """Bring every catalogue up to date and compile it; name what is still to be translated."""
    for language in languages():
        file = po_file(language)
        old = read_po(file.read_text(encoding="utf-8")) if file.exists() else ()
        entries = merged(old, current())
        file.write_text(written_po(entries, language), encoding="utf-8")
        file.with_suffix(".mo").write_bytes(compiled(entries, language))
        left = [entry.one for entry in entries if not entry.is_done]
        print(f"{language}: {len(entries)} sentences, {len(left)} to be translated")
        if "--list" in sys.argv:
            print("\n".join(f"  {text!r}" for text in left))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
