"""Whole-word search for kitchen words, singular or plural."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache


@cache
def pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    """One pattern for all of ``words``, longest first, as whole words with a plural ending."""
    ordered = sorted(set(words), key=len, reverse=True)
    inner = "|".join(re.escape(word) for word in ordered) or r"(?!)"
    return re.compile(rf"(?<![\w-])(?:{inner})(?:s|es)?(?![\w])", re.IGNORECASE)


def find(words: Iterable[str], text: str) -> list[str]:
    """Which of ``words`` stand in ``text``, as they stand there, in order, once each."""
    found = (m.group(0).lower() for m in pattern(tuple(words)).finditer(text))
    return list(dict.fromkeys(found))


def without(phrases: Iterable[str], text: str) -> str:
    """``text`` with ``phrases`` taken out."""
    return pattern(tuple(phrases)).sub(" ", text)
