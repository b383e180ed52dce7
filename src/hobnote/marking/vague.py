"""Vague measures as the pantry lists them ("pinch", "a good glug", "to taste").

The words and their keys are the pantry's ``vague_words.csv``. Many of them are
verbs or plain words too ("pour", "lot", "crack"), so each stands only in a
frame: after a number, an article or an adjective of size, or before "of".
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from hobnote.marking.context import boundary, nounish, tag
from hobnote.marking.lexing import Words
from hobnote.marking.tables import Phrases, bag, rows, size_words, word_list

PANTRY: Final = "hobnote.pantry"
# Keys whose phrases stand without an article, and how.
ALONE: Final = frozenset(("to_taste",))
QUANTIFIERS: Final = frozenset(("some", "plenty", "enough", "lots"))
# Words that the quantifier frame must not take: pronouns and adverbs.
_NOT_QUANTIFIED: Final = bag(
    "people days day time times point reason sort kind how where what thing things folks of "
    "recipes stage more"
)
# "a bit", "a little", "a touch", "a tad" are adverbs before an adjective ("a bit thick").
ADVERBIAL: Final = frozenset(("bit", "little", "touch", "tad", "smidgen", "lots", "shake", "few"))
_ADVERB_TAGS: Final = frozenset(("JJ", "JJR", "RB", "RBR", "RP", "VBN", "VBG"))
_NOT_ADVERB: Final = bag(
    "more extra less olive plain dried fresh warm cold hot black white red green brown soy "
    "soft lemon grated double single chopped melted salted unsalted sliced minced ground"
)


@dataclass(frozen=True, slots=True)
class Vague:
    """``key`` of the vague table; ``more`` when the phrase itself says more."""

    key: str
    more: bool
    plural: bool


_HEDGES: Final = frozenset({"a", "an", "just", "only", "quite", "maybe", "about", "like"})


@cache
def vague_words() -> Phrases[Vague]:
    """Every phrase of the pantry's vague words, an article at its start cut off."""
    entries = []
    for row in rows("vague_words.csv", PANTRY):
        for phrase in row["phrases"].split("|"):
            words = phrase.lower().replace("-", " - ").split()
            if words[0] in ("a", "an"):
                words = words[1:]
            more = words[-1] in ("more", "extra") and len(words) > 1
            if words[-1] == "of":
                words = words[:-1]
            plural = words[0].endswith("s") and len(words) == 1
            entries.append((" ".join(words), Vague(row["key"], more, plural)))
    return Phrases(entries)


def vague_at(
    w: Words, i: int, *, counted: bool, article: bool
) -> tuple[int, Vague, str | None] | None:
    """A vague measure at ``i`` after a number (``counted``) or an ``article``.

    Gives (end, vague, size). Adjectives of size before the word are read
    ("a good small glug"); ``end`` stands after a following "of".
    """
    sizes, j, size = size_words(), i, None
    hit = vague_words().at(w.text, j)
    while hit is None and w.get(j) in sizes and j < i + 3:
        size = size or sizes[w.get(j)]
        j += 1
        while w.get(j) in ("old", "-", "sized"):
            j += 1
        hit = vague_words().at(w.text, j)
    if hit is None:
        return None
    end, vague = hit
    if vague.key == "little":
        inner = vague_words().at(w.text, end)
        if inner is not None and inner[1].key not in ADVERBIAL:
            (end, vague), size = inner, size or "small"
    of = w.get(end) == "of"
    if w.get(end + of) in word_list("no_measure_of"):
        return None
    if vague.key in ALONE:
        return (end, vague, size) if j == i else None
    if vague.key in QUANTIFIERS and not (article or counted):
        return _quantifier(w, j, end, vague, of)
    if (
        not counted
        and vague.key in ADVERBIAL
        and not of
        and not _little_bit(w, j, end)
        and not _measures(w, end, vague)
        and not _set_off(w, i, end)
    ):
        return None
    if not (article or counted or of or size is not None):
        return (end, vague, size) if _terse(w, i, end, vague) else None
    if not article and not counted and not of and tag(w, j)[:2] == "VB":
        return None
    return (end + 1 if of else end), vague, size


def _little_bit(w: Words, i: int, end: int) -> bool:
    """ "white pepper little bit", but not "a little bit salty"."""
    return w.text[i] == "little" and end > i + 1 and tag(w, end) not in _ADVERB_TAGS


def _terse(w: Words, i: int, end: int, vague: Vague) -> bool:
    """ "Pinch chilli flakes", "bit more flour", "white pepper little bit": clipped speech."""
    if (w.text[i] == "little" and end > i + 1) or _set_off(w, i, end):
        return True
    before = w.get(i - 1)
    opens = not before or not before[0].isalnum()
    if not opens or not nounish(w, end):
        return False
    return vague.more or vague.key in word_list("terse_vague")


def _set_off(w: Words, i: int, end: int) -> bool:
    """ "salt, pinch." and "pepper, lots.": alone between what it measures and a stop."""
    closed = w.get(end) in ("", ".", ",", "!", ";", "\n", "each")
    while i > 0 and w.get(i - 1) in _HEDGES:
        i -= 1
    return closed and i > 1 and w.get(i - 1) in (",", ":") and nounish(w, i - 2)


def _quantifier(
    w: Words, i: int, end: int, vague: Vague, of: bool
) -> tuple[int, Vague, str | None] | None:
    """ "some oil", "plenty of salt", "enough water": no article, a noun must follow."""
    if of:
        after = w.get(end + 1)
        if after in ("the", "that", "this", "it", "those", "these") and vague.key == "some":
            return end + 1, vague, None
        return (end + 1, vague, None) if nounish(w, end + 1) else None
    if _set_off(w, i, end) and vague.key in ("plenty", "lots"):
        return end, vague, None
    if vague.key in ("plenty", "lots"):
        return None
    if end - i == 1 and w.get(end) in _NOT_QUANTIFIED:
        return None
    if vague.more and boundary(w, end):
        return end, vague, None
    return (end, vague, None) if nounish(w, end) or tag(w, end) == "VBZ" else None


def _measures(w: Words, end: int, vague: Vague) -> bool:
    """True when "a bit", "a little", "a touch" measures a food and is no adverb."""
    word = w.get(end)
    if vague.more:
        return tag(w, end) not in _ADVERB_TAGS or word in _NOT_ADVERB or tag(w, end + 1)[:2] == "NN"
    if word in ("more", "extra", "less"):
        return tag(w, end + 1) not in ("JJ", "JJR", "RB", "RBR") or w.get(end + 1) in _NOT_ADVERB
    if vague.key not in ("little", "few"):
        return False
    if boundary(w, end) or word.endswith(("ly", "while", "bit")):
        return False
    found = tag(w, end)
    return found not in _ADVERB_TAGS or word in _NOT_ADVERB or tag(w, end + 1)[:2] == "NN"
