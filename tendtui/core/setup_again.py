"""Questions of the set-up that are asked anew, since an answer they rest on was mended."""

from __future__ import annotations

from collections.abc import Iterable

from tendtui.core.walk_value import Answers

__all__ = ["again_key", "brim_fits", "is_older", "least_fits", "newest_key", "newest_value"]

BRIM_MOST = 2.5
"""A brim above so many times the full mark is asked about: a slip, or the full mark was mended since.
Source: chosen here; a full mark leaves a hand's width, not more than half of the reservoir."""

LEAST_LOW, LEAST_HIGH = 0.05, 0.9
"""Shares of the full mark outside which a least mark is asked about. Source: chosen here; a quarter to a half
is common practice."""


def newest_key(answers: Answers, key: str) -> str:
    """Give the key under which a question was last answered: `reservoir.brim`, then `reservoir.brim~2`."""
    newest, n = key, 2
    while answers.done(f"{key}~{n}"):
        newest, n = f"{key}~{n}", n + 1
    return newest


def again_key(answers: Answers, key: str) -> str:
    """Give the key under which an answered question is asked the next time."""
    newest = newest_key(answers, key)
    if not answers.done(newest):
        return newest
    _key, _sign, number = newest.partition("~")
    return f"{key}~{int(number or 1) + 1}"


def newest_value(answers: Answers, key: str) -> float | None:
    """Give the number that was answered last."""
    return answers.value(newest_key(answers, key))


def is_older(answers: Answers, key: str, than: Iterable[str]) -> bool:
    """Say whether a question was answered, and one of the others after it."""
    place = {answered: n for n, answered in enumerate(answers.by_key)}  # in the order they were answered
    newest = newest_key(answers, key)
    return newest in place and any(place.get(other, -1) > place[newest] for other in than)


def brim_fits(brim_l: float, *, full_l: float) -> bool:
    """Say whether a brim and a full mark can belong to one reservoir. [L]."""
    return full_l < brim_l <= BRIM_MOST * full_l


def least_fits(least_l: float, *, full_l: float) -> bool:
    """Say whether a least mark and a full mark can belong to one reservoir. [L]."""
    return LEAST_LOW * full_l <= least_l <= LEAST_HIGH * full_l
