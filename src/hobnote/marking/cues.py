"""Marks the words that steer: corrections, totals, negations, swaps, options, parts of the dish.

CUE values are the kinds of cues.csv; PART values are plain part names.
"""

from __future__ import annotations

from functools import cache

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.lexicon import PhraseTable, table
from hobnote.marking.marks import AMOUNT, CUE, PART, TIME, covered, put
from hobnote.marking.tables import rows

_HEAD_BEFORE = frozenset({"now", "next", "then", "okay", "ok", "right", ":", "and", "so"})
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
    taken = covered(doc, AMOUNT, TIME)
    for start, end, name in table("parts.csv", "name").find(lowers):
        if start in taken:
            continue
        if start > 0 and lowers[start - 1] in _AFTER_PART:
            put(doc, PART, start, end, name)
        elif _heads(doc, lowers, start, end):
            put(doc, PART, start, end, name)
            put(doc, CUE, start, end, "component_open")
    return doc


def _heads(doc: Doc, lowers: list[str], start: int, end: int) -> bool:
    """A part's name alone at the head of an utterance: "Dressing. 60 g tahini", "Topping: …"."""
    opened = start == 0 or bool(doc[start].is_sent_start) or lowers[start - 1] in _HEAD_BEFORE
    return opened and end < len(lowers) and lowers[end] in (".", ":", ",", "-", "–", "next", "\n")
