"""Files spoilt in the ways that disks, editors, file syncs and people spoil them; the same every run."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

__all__ = ["mutations"]

_WRONG = (
    b"nan", b"-inf", b'"text"', b"true", b"[]", b"{}", b"[[1]]", b"-1", b"1e400", b"0x7f", b"2026-01-01",
    b"07:30:00", b"2026-01-01T00:00:00", b"'''\n'''", b'"\\u001b[31m"', b"9" * 4400, b"[" * 600, b"",
    b"{a = {b = {c = 1}}}", b"2026-13-45T99:99:99Z", b'"\xff"', b"1_000",
)  # fmt: skip


def mutations(data: bytes, many: int, *, seed: int) -> Iterator[bytes]:
    """Give `many` spoilt versions of a file."""
    chance = random.Random(seed)
    ways = (
        _cut,
        _flip,
        _nul,
        _mark,
        _ends,
        _latin,
        _value,
        _value,
        _value,
        _line_twice,
        _line_gone,
        _swap,
        _header,
    )
    for n in range(many):
        spoilt = ways[n % len(ways)](data, chance)
        if chance.random() < 0.2:
            spoilt = chance.choice(ways)(spoilt, chance)
        yield spoilt


Way = Callable[[bytes, random.Random], bytes]


def _place(data: bytes, chance: random.Random) -> int:
    return chance.randrange(max(1, len(data)))


def _cut(data: bytes, chance: random.Random) -> bytes:
    return data[: _place(data, chance)]


def _flip(data: bytes, chance: random.Random) -> bytes:
    place = _place(data, chance)
    return data[:place] + bytes([chance.randrange(256)]) + data[place + 1 :]


def _nul(data: bytes, chance: random.Random) -> bytes:
    place = _place(data, chance)
    return data[:place] + b"\0" * chance.choice((1, 512)) + data[place + 512 :]


def _mark(data: bytes, chance: random.Random) -> bytes:
    return chance.choice((b"\xef\xbb\xbf", b"\xff\xfe")) + data


def _ends(data: bytes, chance: random.Random) -> bytes:
    return data.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\n")))


def _latin(data: bytes, chance: random.Random) -> bytes:
    place = _place(data, chance)
    return data[:place] + b"\xe9\xdf" + data[place:]


def _value(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    with_value = [n for n, line in enumerate(lines) if b" = " in line]
    if not with_value:
        return data
    n = chance.choice(with_value)
    lines[n] = lines[n].partition(b" = ")[0] + b" = " + chance.choice(_WRONG)
    return b"\n".join(lines)


def _line_twice(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    lines.insert(_at(lines, chance), chance.choice(lines))
    return b"\n".join(lines)


def _line_gone(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    del lines[_at(lines, chance)]
    return b"\n".join(lines)


def _swap(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    a, b = _at(lines, chance), _at(lines, chance)
    lines[a], lines[b] = lines[b], lines[a]
    return b"\n".join(lines)


def _header(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    name = chance.choice((b"reading", b"reading.looks", b"walk", b"tier", b"done", b"x.y"))
    lines.insert(_at(lines, chance), chance.choice((b"[%s]", b"[[%s]]")) % name)
    return b"\n".join(lines)


def _at(lines: list[bytes], chance: random.Random) -> int:
    return chance.randrange(len(lines))
