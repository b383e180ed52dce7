"""Marks the words that steer: corrections, totals, negations, swaps, options, parts of the dish.

CUE values are the kinds of cues.csv; PART values are plain part names.
"""

from __future__ import annotations

from functools import cache

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.lexicon import PhraseTable, table
from hobnote.marking.marks import AMOUNT, CUE, FOOD, PART, TIME, covered, marks, put
from hobnote.marking.tables import rows

_NO = frozenset({"no", "naw", "nah", "nope", "mm"})
_AFTER_NO = frozenset({"that", "it", "make", "wait", "sorry", "hang", "call", "let", "say"})
_HEAD_AFTER = frozenset({".", ":", ",", "-", "–", "next", "\n", "is", "'s", "are", "now"})
_MAKERS = frozenset({"make", "making", "mix", "do", "doing", "whisk", "start", "prepare", "now",
                     "next", "then"})  # fmt: skip
_PLAIN = frozenset(
    {"little", "quick", "own", "same", "other", "next", "final", "whole", "main", "first", "last",
     "nice", "easy", "simple", "hot", "cold", "second", "good", "rest", "half", "soy", "fish",
     "oyster", "right", "okay", "chilli", "worcester", "worcestershire", "bottom", "pan",
     "baking", "left", "remaining", "now", "then", "so", "well", "wet", "dry"}
)  # fmt: skip
_HEAD_BEFORE = frozenset(
    {"now", "next", "then", "okay", "ok", "right", ":", "and", "so", "the", "or", ",", "meanwhile",
     "a", "my"}
)  # fmt: skip
_AFTER_PART = frozenset({"the", "a", "my", "our", "this", "that", "your"})


@cache
def cue_tables() -> tuple[tuple[str, PhraseTable], ...]:
    """One phrase table a kind; a word may carry cues of several kinds."""
    kinds: dict[str, list[tuple[str, str]]] = {}
    for row in rows("cues.csv"):
        kind = row["kind"]
        kinds.setdefault(kind, []).extend(
            (phrase, kind) for phrase in row["phrases"].split("|") if phrase
        )
    return tuple((kind, PhraseTable(pairs)) for kind, pairs in kinds.items())


@cache
def _all_cues() -> dict[str, list[tuple[tuple[str, ...], str]]]:
    """First token to ``(phrase, kind)`` of every cue, longest first: one pass over the Doc."""
    merged: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for _, phrases in cue_tables():
        for first, entries in phrases.entries().items():
            merged.setdefault(first, []).extend(entries)
    for entries in merged.values():
        entries.sort(key=lambda e: -len(e[0]))
    return merged


@Language.component("hobnote_cues")
def cues(doc: Doc) -> Doc:
    """Put CUE marks (longest of each kind at a place) and PART marks."""
    lowers = [t.lower_.replace("’", "'") for t in doc]
    by_first = _all_cues()
    open_until: dict[str, int] = {}
    for i, lower in enumerate(lowers):
        entries = by_first.get(lower)
        if not entries:
            continue
        for phrase, kind in entries:
            end = i + len(phrase)
            if open_until.get(kind, 0) > i or tuple(lowers[i:end]) != phrase:
                continue
            open_until[kind] = end
            put(doc, CUE, i, end, kind)
    for i, lower in enumerate(lowers):
        if lower in _NO and _interrupts(lowers, i):
            put(doc, CUE, i, i + 1, "correction")
    taken = covered(doc, AMOUNT, TIME)
    for start, end, name in table("parts.csv", "name").find(lowers):
        if start not in taken:
            _part(doc, lowers, start, end, name)
    return doc


def _interrupts(lowers: list[str], i: int) -> bool:
    """Whether a "no" breaks off to correct: "half a, no, a whole one", "four, no five"."""
    before = lowers[i - 1] if i else "."
    after = lowers[i + 1] if i + 1 < len(lowers) else "."
    if after in (",", ".", "-", "–", "…", "..."):
        return before not in ("if", "with", "there's")
    return before in (",", "-", "–", "…", "...", ".") and after in _AFTER_NO


def _part(doc: Doc, lowers: list[str], start: int, end: int, name: str) -> None:
    """Mark a part's name and, where it begins the part, what opens it.

    "the dressing", "Dressing. 60 g tahini", "creamy dressing:", "mint sauce is a
    bunch of mint", "make a paste". Words that tell one dressing from another
    stay in its name.
    """
    first = start
    while first > 0 and start - first < 2 and _tells(doc, first - 1):
        first -= 1
    opened = first == 0 or bool(doc[first].is_sent_start) or lowers[first - 1] in _HEAD_BEFORE
    after = lowers[end] if end < len(lowers) else "."
    named = " ".join([*lowers[first:start], name])
    before = lowers[first - 1] if first else "."
    known = any(m.start < start < m.end and m.value.known for m in marks(doc, FOOD))
    if known and after not in ("is", "'s", "are", ":"):
        return
    if opened and (after in _HEAD_AFTER or _number(doc, end)):
        put(doc, PART, first, end, named)
        put(doc, CUE, first, end, "component_open")
        return
    if before in _AFTER_PART:
        put(doc, PART, first, end, named)
        maker = first - 2 if first > 1 else 0
        if lowers[maker] in _MAKERS or lowers[max(0, first - 3)] in _MAKERS:
            put(doc, CUE, maker, end, "component_open")


def _tells(doc: Doc, i: int) -> bool:
    """Whether a word belongs to the part's own name ("creamy", "tahini")."""
    token = doc[i]
    return token.tag_ in ("JJ", "NN", "NNP", "VBG") and token.lower_ not in _PLAIN


def _number(doc: Doc, i: int) -> bool:
    return i < len(doc) and (doc[i].tag_ == "CD" or doc[i].like_num)
