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

from hobnote.marking.sentences import utterance_starts

FEWEST: Final = 40
"""Words from which a passage may end at the end of a message or paragraph."""
MOST: Final = 120
"""Words that a passage may hold when its utterances allow it."""
LONGEST_UTTERANCE: Final = 160
"""Words of one utterance beyond which it is cut in spite of itself."""
LONGEST_WORD: Final = 200
"""Characters without a blank that count as one word, so that any text is cut."""

_WORD: Final = re.compile(rf"\S{{1,{LONGEST_WORD}}}")


@dataclass(frozen=True, slots=True)
class Passage:
    """``text`` is ``spoken[start:end]``; the passages of a text lie end to end and cover it."""

    start: int
    end: int
    text: str


def passages(spoken: str) -> list[Passage]:
    """Cut ``spoken`` into passages of about 40 to 120 words; no passage for an empty text."""
    if not spoken:
        return []
    cuts: list[int] = [0]
    words = 0
    units = _units(spoken)
    for start, count in units:
        paragraph = "\n" in spoken[max(0, start - 4) : start]
        full = words + count > MOST or (words >= FEWEST and paragraph)
        if words and full:
            cuts.append(start)
            words = 0
        words += count
    cuts.append(len(spoken))
    return [Passage(a, b, spoken[a:b]) for a, b in pairwise(cuts) if a < b]


def _units(spoken: str) -> list[tuple[int, int]]:
    """(offset, words) of every utterance; one that is far too long comes in several parts."""
    found: list[tuple[int, int]] = []
    for start, end in pairwise([*utterance_starts(spoken), len(spoken)]):
        offsets = [m.start() for m in _WORD.finditer(spoken, start, end)]
        for i in range(0, len(offsets), LONGEST_UTTERANCE):
            part = offsets[i : i + LONGEST_UTTERANCE]
            found.append((part[0], len(part)))
    return found
