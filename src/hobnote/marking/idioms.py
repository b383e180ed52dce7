"""Sayings in which a cooking word is no cooking: "work it out yourself" (idioms.csv)."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

from hobnote.marking.tables import rows

ANY: Final = "*"
LONGEST_GAP: Final = 4
"""Words that a "*" may stand for."""


@cache
def _phrases() -> dict[str, tuple[tuple[str, ...], ...]]:
    """Base form to what may follow it, word by word."""
    found: dict[str, list[tuple[str, ...]]] = {}
    for row in rows("idioms.csv"):
        for phrase in row["phrases"].split("|"):
            found.setdefault(row["verb"], []).append(tuple(phrase.split()[1:]))
    return {verb: tuple(after) for verb, after in found.items()}


def is_idiom(lowers: Sequence[str], i: int, verb: str) -> bool:
    """Whether the form of ``verb`` at token ``i`` begins one of its sayings."""
    after = _phrases().get(verb)
    return after is not None and any(_goes_on(lowers, i + 1, words) for words in after)


def _goes_on(lowers: Sequence[str], i: int, words: Sequence[str]) -> bool:
    if not words:
        return True
    if words[0] != ANY:
        return i < len(lowers) and lowers[i] == words[0] and _goes_on(lowers, i + 1, words[1:])
    return any(
        _goes_on(lowers, j, words[1:])
        for j in range(i + 1, min(i + LONGEST_GAP, len(lowers)) + 1)
        if not {".", "!", "?", ",", "\n"} & set(lowers[i:j])
    )
