"""The foods that a heard word may stand for, by sound."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from hobnote.marking import sounds
from hobnote.marking.places import singulars
from hobnote.marking.tables import rows

CLOSEST: Final = 6
"""How many foods, nearest by a coarse key, are compared sound by sound."""
SHORTEST_FRAME: Final = 2
"""Fewest consonants of a name that several words together may stand for."""

LEAST: Final = 0.75
"""Likeness up to which a food is no candidate: less than any proposal asks for."""
RARER: Final = 0.08
"""How much more alike a rarer food must sound."""

# Consonants that recognisers confuse share a letter of the coarse keys.
_GROUPS: Final = (
    ("B P", "P"), ("D T TH DH", "T"), ("G K", "K"), ("V F", "F"), ("Z S", "S"),
    ("ZH SH CH JH", "C"), ("M N NG", "N"), ("L", "L"),
)  # fmt: skip
_FRAME: Final = str.maketrans(
    {
        sounds.encode(p): next((key for group, key in _GROUPS if p in group.split()), "")
        for p in sounds.PHONEMES
    }
)
_COARSE: Final = str.maketrans(
    {
        sounds.encode(p): next(
            (key for group, key in _GROUPS if p in group.split()), "a" if p[0] in "AEIOU" else p[0]
        )
        for p in sounds.PHONEMES
    }
)


@lru_cache(maxsize=20_000)
def frame(word: str) -> str:
    """The grouped consonants of a word's sounds ("celery" and "sell a re" share SL)."""
    return sounds.pronounce(word).translate(_FRAME)


class Soundalikes:
    """Finds the foods that sound like what was heard.

    The common ones of ``data/food_sounds.csv``, and ``rarer`` names, which are
    sounded from the dictionary or their letters and must fit a little better.
    """

    def __init__(self, rarer: Iterable[str] = ()) -> None:
        self._sounds: dict[str, list[str]] = {}
        self._frames: dict[str, list[str]] = {}
        for row in rows("food_sounds.csv"):
            self._learn(row["name"], sounds.encode(row["sounds"]))
        self._rarer = {n for n in rarer if n not in self._sounds}
        for name in sorted(self._rarer):
            self._learn(name, sounds.pronounce(name))
        self._coarse: list[str] = []
        self._names: list[str] = []
        for name, ways in self._sounds.items():
            for said in ways:
                self._names.append(name)
                self._coarse.append(said.translate(_COARSE))
        self._memory: dict[str, tuple[str, float]] = {}

    def _learn(self, name: str, said: str) -> None:
        settled = sounds.settle(said)
        self._sounds.setdefault(name, []).extend((settled, settled + sounds.encode("Z")))
        own = said.translate(_FRAME)
        if len(own) >= SHORTEST_FRAME:
            for key in (own, own + "S"):
                self._frames.setdefault(_squeeze(key), []).append(name)

    def is_name(self, *names: str) -> bool:
        """Whether one of ``names`` is itself a food here, in the singular or a plain plural."""
        return any(w in self._sounds for name in names for w in singulars(name))

    def same_frame(self, words: Sequence[str]) -> list[str]:
        """Foods whose grouped consonants equal those of the words joined."""
        return self._frames.get(_squeeze("".join(frame(w) for w in words)), [])

    def best(self, heard: str, names: Iterable[str] | None = None) -> tuple[str, float]:
        """The food most like the sounds ``heard`` and its likeness, 0 to 1.

        Among all foods when ``names`` is None. ("", 0) where none is more than
        :data:`LEAST` alike.
        """
        if names is not None:
            return self._nearest(heard, names)
        if heard not in self._memory:
            near = process.extract(
                heard.translate(_COARSE),
                self._coarse,
                scorer=Levenshtein.normalized_similarity,
                limit=CLOSEST,
                score_cutoff=0.5,
            )
            self._memory[heard] = self._nearest(heard, {self._names[n[2]] for n in near})
        return self._memory[heard]

    def _nearest(self, heard: str, names: Iterable[str]) -> tuple[str, float]:
        found, floor = ("", 0.0), LEAST
        for name in sorted(names):
            less = RARER * (name in self._rarer)
            for said in self._sounds[name]:
                likeness = sounds.likeness(heard, said, floor + less) - less
                if likeness > floor:
                    found, floor = (name, likeness), likeness
        return found


def _squeeze(key: str) -> str:
    """``key`` without immediate repeats."""
    return "".join(c for i, c in enumerate(key) if not i or key[i - 1] != c)
