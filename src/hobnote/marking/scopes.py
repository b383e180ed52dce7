"""What a stated nutrition figure is said of: a portion, the whole dish, 100 g, a part by name."""

from __future__ import annotations

from typing import Final

from hobnote.marking.context import nounish
from hobnote.marking.lexing import Words
from hobnote.marking.tables import bag, phrase_list, word_list

STOPS: Final = frozenset((".", "\n", "?", "!", ";"))
CLAUSE_ENDS: Final = STOPS | {",", "and", "but", "so"}
_DETERMINERS: Final = bag("the this that our my of whole each per")
_SUBJECT_VERBS: Final = bag(
    "is 's has comes works alone by on at about around : , makes gives adds"
)
_ASIDE: Final = bag("with without over plus onto for in of from")
_MEASURED_PER: Final = bag("100 hundred a gram grams 100g kilo kg cent day week litre tablespoon")
# How far a scope may stand from its figure, in words.
_BEFORE: Final = 10
_AFTER: Final = 10


def near_scope(w: Words, start: int, end: int) -> str | None:
    """What the figure over words ``start`` to ``end`` is said of in its own clause.

    "portion", "total", "100g", the name of a part ("dressing", "spicy sauce"),
    or None when the clause does not say it.
    """
    if _per_hundred(w, start, end):
        return "100g"
    return _ahead(w, end, end + 3, CLAUSE_ENDS) or _back(w, start, CLAUSE_ENDS)


def scope(w: Words, start: int, end: int) -> str | None:
    """As :func:`near_scope`, and then in the rest of the sentence."""
    return (
        near_scope(w, start, end) or _ahead(w, end, end + _AFTER, STOPS) or _back(w, start, STOPS)
    )


def _per_hundred(w: Words, start: int, end: int) -> bool:
    for i in range(max(0, start - 9), min(len(w), end + 8)):
        if i >= end and w.text[i] in STOPS:
            return False
        if w.text[i] == "per":
            after = w.get(i + 1)
            if after in ("100", "hundred", "100g") or (after == "a" and w.get(i + 2) == "hundred"):
                return True
    return False


def _back(w: Words, start: int, stops: frozenset[str]) -> str | None:
    """The nearest scope before ``start``, up to one of ``stops``."""
    for i in range(start - 1, max(-1, start - _BEFORE), -1):
        if w.text[i] in stops:
            return None
        found = _scope_at(w, i) or _subject(w, i)
        if found == "total" and w.text[i] == "total" and w.get(i - 1) != "in":
            continue
        if found is not None:
            return found
    return None


def _ahead(w: Words, start: int, end: int, stops: frozenset[str]) -> str | None:
    """The nearest scope after ``start``; parts only as "in the sauce"."""
    for i in range(start, min(len(w), end)):
        if w.text[i] in stops:
            return None
        found = _scope_at(w, i)
        if found is None and w.text[i] in word_list("components"):
            name, first = _part(w, i)
            if name is not None and w.get(first - 1) in ("in", "for", "of", "is", "from"):
                found = name
        if found is not None:
            return found
    return None


def _scope_at(w: Words, i: int) -> str | None:
    """A scope phrase at ``i``; "the bowl of sauce" is the sauce."""
    hit = phrase_list("claim_scopes").at(w.text, i)
    if hit is None and w.text[i] == "per" and w.get(i + 1) not in _MEASURED_PER:
        hit = (i + 2, True) if nounish(w, i + 1) else None
    total = None if hit else phrase_list("claim_totals").at(w.text, i)
    end = (hit or total or (i, True))[0]
    if end == i:
        return None
    if w.get(end) == "of":
        for j in range(end + 1, min(len(w), end + 4)):
            if w.text[j] in word_list("components"):
                return " ".join(x for x in w.text[end + 1 : j + 1] if x not in _DETERMINERS)
    return "portion" if hit else "total"


def _part(w: Words, i: int) -> tuple[str | None, int]:
    """The part of a dish whose last word is at ``i``: its name and its determiner's index."""
    j = i
    while j > i - 2 and nounish(w, j - 1) and w.get(j - 1) not in _DETERMINERS:
        j -= 1
    if w.get(j - 1) not in _DETERMINERS:
        return None, i
    return " ".join(w.text[j : i + 1]), j - 1


def _subject(w: Words, i: int) -> str | None:
    """ "the dressing is about 90": a part of the dish that the figure is said of."""
    if w.text[i] not in word_list("components") or w.get(i + 1) not in _SUBJECT_VERBS:
        return None
    name, first = _part(w, i)
    return None if w.get(first - 1) in _ASIDE else name
