"""Names that are nearly spelt like known ones."""

from __future__ import annotations

from collections.abc import Collection

from rapidfuzz.distance import DamerauLevenshtein


def letters(text: str) -> set[str]:
    """The three-letter runs of a name, its start and end included."""
    padded = f" {text} "
    return {padded[i : i + 3] for i in range(len(padded) - 2)}


def nearest(word: str, known: Collection[str]) -> str | None:
    """The one known word that a slip or two make of this one; None when it may be several."""
    slips = 1 if len(word) < 9 else 2
    if len(word) < 6:
        return None
    near = [
        other
        for other in known
        if other[0] == word[0]
        and abs(len(other) - len(word)) <= slips
        and DamerauLevenshtein.distance(word, other, score_cutoff=slips) <= slips
    ]
    return near[0] if len(near) == 1 else None
