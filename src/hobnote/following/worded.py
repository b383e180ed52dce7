"""Worded claims about the dish: "this is high protein", "low in fat, that".

Said of a food ("low fat yoghurt", "use a fat free one") or denied, they are none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Final, NamedTuple

from hobnote.following.clauses import Clause
from hobnote.marking.marks import FOOD
from hobnote.marking.tables import rows

_SAYS: Final = frozenset(
    {"is", "'s", "it's", "its", "was", "are", "'re", "has", "have", "got", "makes", "be", "there's",
     "that's", "so", "contains", "keeps", "stays", "being"}
)  # fmt: skip
_DENIES: Final = frozenset({"not", "n't", "never", "isn't", "hardly", "if", "want", "for"})
_LEAD: Final = frozenset(
    {"and", ",", ".", "a", "an", "the", "very", "really", "pretty", "quite", "also", "both",
     "nice", "nicely", "super", "fairly", "dead", "but", "still", "all", "you", "know", "too"}
)  # fmt: skip
_ANOTHER: Final = frozenset({"one", "ones", "version", "versions", "stuff", "kind", "sort"})
_ENDS: Final = frozenset({"and", "but", "so", "too", "then", "really", "though", "enough", "as"})
_NEAR: Final = 2


class Worded(NamedTuple):
    """A claim as said and the tokens that hold it."""

    claim: str
    start: int
    end: int


@cache
def _frames() -> dict[str, str]:
    return {row["phrase"]: row["frame"] for row in rows("worded_claims.csv")}


@cache
def _pattern() -> re.Pattern[str]:
    inner = "|".join(re.escape(phrase) for phrase in sorted(_frames(), key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{inner})(?!\w)")


def worded_claims(clause: Clause) -> Iterator[Worded]:
    """The worded claims of a clause, in order."""
    doc = clause.doc
    span = doc[clause.start : clause.end]
    text = span.text.lower().replace("-", " ")
    last = clause.start  # after a claim another may follow: "high protein and low fat"
    for found in _pattern().finditer(text):
        held = doc.char_span(
            span.start_char + found.start(),
            span.start_char + found.end(),
            alignment_mode="expand",
        )
        if held is None or not _of_the_dish(clause, held.start, held.end):
            continue
        if _said(clause, held.start, last, _frames()[found[0]]):
            last = held.end
            yield Worded(found[0], held.start, held.end)


def _of_the_dish(clause: Clause, start: int, end: int) -> bool:
    """Whether no food is meant: none that the words are part of, none that they stand before."""
    follows = clause.doc[end].lower_ if end < clause.end else ""
    if follows in _ANOTHER:
        return False
    if end - start == 1 and follows.isalpha() and follows not in _ENDS:
        return False  # "the light sauce"
    for mark in clause.of(FOOD):
        inside = start <= mark.start and mark.end <= end
        if inside:
            continue
        if mark.start < end and mark.end > start:
            return False
        between = clause.doc[end : mark.start]
        if end <= mark.start <= end + _NEAR and not any(t.is_punct for t in between):
            return False
    return True


def _said(clause: Clause, start: int, after: int, frame: str) -> bool:
    """Whether the words are said of something, and not denied."""
    before = [t.lower_ for t in clause.doc[after:start]]
    near = before[-4:]
    if not _DENIES.isdisjoint(near):
        return False
    if not _SAYS.isdisjoint(near) or after > clause.start:
        return True
    return frame == "alone" and all(word in _LEAD or word == "-" for word in before)
