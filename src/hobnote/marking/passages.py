"""Cuts the speech into passages, each small enough for one Doc.

One long Doc costs more than linear time and memory; passages of a few
sentences keep the whole reading linear. A passage ends where an utterance
ends, if possible where a message or paragraph ends.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from hobnote.marking.boundaries import opens_firmly
from hobnote.marking.sentences import punctuated_starts, utterance_starts

FEWEST: Final = 40
"""Words from which a passage may end at the end of a message or paragraph."""
MOST: Final = 120
"""Words that a passage may hold when its utterances allow it."""
LONGEST_UTTERANCE: Final = 160
"""Words of one utterance beyond which it is cut in spite of itself."""
LONGEST_WORD: Final = 24
"""Characters without a blank after which a word is taken in pieces, so that any text is cut."""
CROWDED: Final = 8
"""Words that such a piece counts for, since each of its signs may become a token."""

_CLAUSE, _OPENER, _SENTENCE, _PARAGRAPH = range(4)
_WORD: Final = re.compile(rf"\S{{1,{LONGEST_WORD}}}")


@dataclass(frozen=True, slots=True)
class Passage:
    """``text`` is ``spoken[start:end]``; the passages of a text lie end to end and cover it."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class _Unit:
    """An utterance or part of one: offset, words, and how well a passage begins with it."""

    start: int
    words: int
    fit: int


def passages(spoken: str) -> list[Passage]:
    """Cut ``spoken`` into passages of about 40 to 120 words; no passage for an empty text."""
    if not spoken:
        return []
    cuts: list[int] = [0]
    held: list[_Unit] = []
    words = 0
    for unit in _units(spoken):
        if words >= FEWEST and unit.fit == _PARAGRAPH:
            cuts.append(unit.start)
            held, words = [], 0
        elif held and words + unit.words > MOST:
            held = _cut([*held, unit])
            cuts.append(held[0].start)
            words = sum(u.words for u in held[:-1])
        if not held or held[-1] is not unit:
            held.append(unit)
        words += unit.words
    cuts.append(len(spoken))
    return [Passage(a, b, spoken[a:b]) for a, b in pairwise(cuts) if a < b]


def _cut(units: list[_Unit]) -> list[_Unit]:
    """The units of the next passage: from the last of the best openings that leaves enough."""
    before = 0
    best = len(units) - 1
    choices: list[int] = []
    for i, unit in enumerate(units):
        if before >= FEWEST:
            choices.append(i)
        before += unit.words
    if choices:
        best = max(choices, key=lambda i: (units[i].fit, i))
    return units[best:]


def _units(spoken: str) -> list[_Unit]:
    """The utterances; one that is far too long comes in several parts."""
    found: list[_Unit] = []
    plain = set(punctuated_starts(spoken))
    for start, end in pairwise([*utterance_starts(spoken), len(spoken)]):
        part, words = start, 0
        for piece in _WORD.finditer(spoken, start, end):
            weight = CROWDED if piece.end() - piece.start() == LONGEST_WORD else 1
            if words and words + weight > LONGEST_UTTERANCE:
                found.append(_Unit(part, words, _fit(spoken, part, end, part in plain)))
                part, words = piece.start(), 0
            words += weight
        if words:
            found.append(_Unit(part, words, _fit(spoken, part, end, part in plain)))
    return found


def _fit(spoken: str, start: int, end: int, punctuated: bool) -> int:
    if punctuated:
        return _PARAGRAPH if "\n" in spoken[max(0, start - 4) : start] else _SENTENCE
    first = spoken[start:end].split(None, 2)[:2]
    return _OPENER if opens_firmly([w.lower() for w in first]) else _CLAUSE
