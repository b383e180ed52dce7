"""Mends misspelt food words ("potatos", "brocolli", "vanila"), which typed notes are full of.

A word is misspelt only if the pronouncing dictionary (CMUdict) and the pantry
lack it, and one food word lies within an edit or two of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rapidfuzz import process
from rapidfuzz.distance import OSA

from hobnote.marking import sounds
from hobnote.marking.lexicon import verb_forms

SHORTEST: Final = 5
"""Fewest letters of a word that is mended."""
ALIKE: Final = 0.8
"""Least likeness of sound between a misspelt word and the one that was meant."""
LONG: Final = 8
"""Letters from which two edits are allowed."""


class Spelling:
    """The words of the ``names`` of foods, and what misspelt ones stand for."""

    def __init__(self, names: Iterable[str]) -> None:
        names = list(names)
        self._words = {w for name in names for w in name.split() if w.isalpha()}
        self._by_ends: dict[str, list[str]] = {}
        for name in sorted(n for n in names if n.isalpha() and len(n) >= SHORTEST - 1):
            # the first and the last letter are seldom wrong
            self._by_ends.setdefault(name[0] + name[-1], []).append(name)
        self._mended: dict[str, str] = {}

    def mend(self, word: str) -> str:
        """``word`` (lower case), or the food word that it was meant for."""
        if len(word) < SHORTEST or word in self._words or not word.isalpha():
            return word
        if word not in self._mended:
            self._mended[word] = self._nearest(word)
        return self._mended[word]

    def _nearest(self, word: str) -> str:
        if word in verb_forms() or sounds.in_dictionary(word):
            return word
        if word[-1] == "s" and word[:-1] not in self._words and sounds.in_dictionary(word[:-1]):
            return word  # "skillets", "someones"
        near = process.extract(
            word,
            self._by_ends.get(word[0] + word[-1], ()),
            scorer=OSA.distance,
            score_cutoff=2 if len(word) >= LONG else 1,
            limit=4,
        )
        fitting = [n for n, distance, _ in near if self._sounds_like(word, n) >= ALIKE]
        # letters only swapped come before letters changed
        fitting.sort(key=lambda n: sorted(n) != sorted(word))
        return str(fitting[0]) if fitting else word

    @staticmethod
    def _sounds_like(word: str, name: str) -> float:
        return sounds.likeness(sounds.pronounce(word), sounds.pronounce(name))
