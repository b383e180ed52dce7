"""What stands around a number: words of approximation, "another", noun-like words."""

from __future__ import annotations

from typing import Final

from spacy.lang.en.stop_words import STOP_WORDS

from hobnote.marking.lexing import Words
from hobnote.marking.tables import Phrases, bag, phrase_list, word_list

MORE_BEFORE: Final = frozenset(("another", "extra", "further", "additional"))
MORE_AFTER: Final = frozenset(("more", "extra"))
_NOUN_TAGS: Final = frozenset(("NN", "NNS", "NNP", "NNPS", "JJ", "JJR", "JJS", "FW", "VBN"))
_FUNCTION: Final = (
    frozenset(STOP_WORDS)
    | bag("w til abt add put stir mix cook then ok okay um uh er erm ah oh yeah yes right so like")
    | bag("stirring cooking pop chuck throw tip pour 's 're 've 'll 'm n't")
)


def approximately(w: Words, start: int) -> tuple[int, bool]:
    """Step back over "about", "roughly", "up to", "a good": (new start, found)."""
    approximate, bounds = word_list("approximate"), _bounds()
    i, found = start, False
    while i > 0:
        word = w.text[i - 1]
        if word in approximate and word not in ("some", "like", "say", "maybe", "probably"):
            i, found = i - 1, True
            continue
        if word in ("maybe", "probably", "say", "like", "some"):
            return i, True
        step = next(
            (n for n in (4, 3, 2, 1) if i - n >= 0 and tuple(w.text[i - n : i]) in bounds), 0
        )
        if not step:
            return i, found
        exact = " ".join(w.text[i - step : i]) in word_list("exact_fillers")
        i, found = i - step, found or not exact
    return i, found


def _bounds() -> frozenset[tuple[str, ...]]:
    global _BOUNDS
    if _BOUNDS is None:
        _BOUNDS = frozenset(tuple(p.split()) for p in word_list("bounds"))
    return _BOUNDS


_BOUNDS: frozenset[tuple[str, ...]] | None = None


def ish_after(w: Words, end: int) -> tuple[int, bool]:
    """Step over "ish", "or so", "give or take" after ``end``: (new end, found)."""
    phrases: Phrases[bool] = phrase_list("ish")
    hit = phrases.at(w.text, end)
    return (hit[0], True) if hit else (end, False)


def tag(w: Words, i: int) -> str:
    """The fine part-of-speech tag of word ``i``, "" where no tagger ran."""
    return w.doc[w.token[i]].tag_ if 0 <= i < len(w) else ""


def nounish(w: Words, i: int) -> bool:
    """True when word ``i`` can head or begin a noun phrase without its determiner."""
    word = w.get(i)
    if not word or not word[0].isalpha() or word in _FUNCTION:
        return False
    found = tag(w, i)
    return found in _NOUN_TAGS if found else True


def boundary(w: Words, i: int) -> bool:
    """True at the end, a sign, a function word or a number: no noun phrase goes on here."""
    word = w.get(i)
    return not word or not word[0].isalpha() or word in _FUNCTION


def near(w: Words, i: int, names: frozenset[str], before: int, after: int) -> bool:
    """True when one of ``names`` stands within ``before`` or ``after`` words of ``i``."""
    return not names.isdisjoint(w.text[max(0, i - before) : i + after])
