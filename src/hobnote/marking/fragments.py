"""Marks what is done without a verb: "chicken in", "sauce over the top", "lid on".

Needs the foods, the vessels and the verbs. The phrases stand in fragments.csv.
"""

from __future__ import annotations

from functools import cache
from typing import Final, NamedTuple

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    HEAT,
    TIME,
    VESSEL,
    Mark,
    covered,
    marks,
    put,
)
from hobnote.marking.tables import Phrases, rows

_PARTS_OF_MEAT: Final = frozenset({"bone", "bones", "skin", "shell", "stone", "fat", "plug"})
_OPEN_THING: Final = frozenset({".", ",", "then", "and", "!", "\n", "now"})
_BREAKS: Final = frozenset({".", ",", "!", "\n", ";", "and", "then"})
_THING_END: Final = frozenset({",", ".", "for", "!", "the"})
_RUNNY: Final = frozenset({"oil", "ghee", "dripping", "syrup", "honey"})
_COVERS: Final = frozenset({"lid", "lids", "foil", "cover"})
_END: Final = frozenset(
    {",", ".", ";", "!", "and", "then", "next", "now", "first", "until", "till", "with", "for",
     "on", "-", "–", "\n", "as", "last", "at", "too", "n", "&", "again", "it", "them", "there",
     "everything", "together"}
)  # fmt: skip
_BLOCK: Final = frozenset({"put", "putting", "add", "throw", "tip", "is", "was", "no"})
_SERVED_BLOCK: Final = frozenset({"toss", "mix", "do", "did", "go", "goes", "start", "finish"})


class Fragment(NamedTuple):
    """What a phrase after a food comes to."""

    verb: str
    kind: str
    liquid: str
    ends: bool


@cache
def _phrases() -> Phrases[Fragment]:
    return Phrases(
        (phrase, Fragment(r["verb"], r["kind"], r["liquid"], bool(r["ends"])))
        for r in rows("fragments.csv")
        for phrase in r["phrases"].split("|")
    )


@cache
def _liquids() -> frozenset[str]:
    return frozenset(r["word"] for r in rows("liquids.csv"))


@cache
def stand_in_words() -> frozenset[str]:
    """Words that stand for foods named before ("meat", "veg"; stand_ins.csv)."""
    return frozenset(w for r in rows("stand_ins.csv") for w in r["word"].split("|"))


@Language.component("hobnote_fragments")
def fragments(doc: Doc) -> Doc:
    """Put ACTION marks (form "fragment") on phrases that say what is done without a verb."""
    lowers = [t.lower_ for t in doc]
    _after_foods(doc, lowers)
    _tops(doc, lowers)
    _things_in(doc, lowers)
    _lids(doc)
    return doc


def _after_foods(doc: Doc, lowers: list[str]) -> None:
    acting = covered(doc, ACTION)
    table = _phrases()
    for food in marks(doc, FOOD):
        i = food.end
        if i < len(doc) and lowers[i] == "," and not doc[i].is_sent_start:
            i += 1  # "pepper, both sides"
        hit = table.at(lowers, i) if i < len(doc) and i not in acting else None
        if hit is None or doc[i].is_sent_start or not _stands(doc, food, hit[0], hit[1], acting):
            continue
        if i > food.end and (hit[1].ends or hit[1].kind == "serve"):
            continue
        end, found = hit
        last = food.value.name.split()[-1]
        verb = found.verb
        if verb == "top" and last in _RUNNY:
            verb = "drizzle"
        elif found.liquid and last in _liquids():
            verb = found.liquid
        put(doc, ACTION, i, end, ActionValue(verb, found.kind, None, "fragment"))


def _stands(doc: Doc, food: Mark, end: int, found: Fragment, acting: set[int]) -> bool:
    """Whether the food and the phrase are a doing of their own: no verb takes them before."""
    before = {t.lower_ for t in doc[max(0, food.start - 6) : food.start]}
    if found.ends:
        after = doc[end].lower_ if end < len(doc) else "."
        ended = after in _END or (end < len(doc) and bool(doc[end].is_sent_start))
        if not ended or before & _BLOCK or {food.start - 1, food.start - 2} & acting:
            return False
        if _taken(doc, food):
            return False
        return not (after in ("it", "them") and before & {"with", "has"})
    if any(i in acting for i in _since_break(doc, food.start)):
        return False
    if found.kind == "serve" and before & _SERVED_BLOCK:
        return False
    return not {food.start - 1, food.start - 2} & acting


def _taken(doc: Doc, food: Mark) -> bool:
    """ "fold 100 g of spinach through": the verb before takes the food, and the phrase with it."""
    before = _since_break(doc, food.start)
    verbs = [m for m in marks(doc, ACTION) if m.start in before]
    if not verbs or verbs[-1].value.kind not in ("add", "prep"):
        return False
    between = range(verbs[-1].end, food.start)
    return not any(m.start in between for m in marks(doc, TIME, HEAT, VESSEL, FOOD))


def _things_in(doc: Doc, lowers: list[str]) -> None:
    """ "Dumplings in, twenty minutes", "meat back in": what is no food goes in all the same."""
    taken = covered(doc, ACTION, FOOD, VESSEL, AMOUNT, TIME)
    for i in range(1, len(doc)):
        if lowers[i] not in ("in", "out", "over") or i in taken or i - 1 in taken:
            continue
        back = lowers[i] == "in" and lowers[i - 1] == "back" and i > 1
        last = i - 2 if back else i - 1
        if last in taken:
            continue
        thing = doc[last]
        after = lowers[i + 1] if i + 1 < len(doc) else "."
        named = thing.tag_ in ("NN", "NNS", "NNP", "NNPS") or thing.lower_ in stand_in_words()
        if not named or after not in (_END if back else _THING_END):
            continue
        if (after == "the" and lowers[i] != "over") or thing.lower_ in _PARTS_OF_MEAT:
            continue
        first = last - 1 if last and lowers[last - 1] in ("the", "those", "your") else last
        opens = first == 0 or doc[first].is_sent_start or lowers[first - 1] in _OPEN_THING
        if opens or (back and thing.lower_ in stand_in_words()):
            hit = _phrases().at(["back", "in"] if back else [lowers[i]], 0)
            if hit is not None:
                value = ActionValue(hit[1].verb, hit[1].kind, None, "fragment")
                put(doc, ACTION, last + 1, i + 1, value)


def _tops(doc: Doc, lowers: list[str]) -> None:
    """ "sesame seeds on top", "on top icing sugar": the dish is topped."""
    acting = covered(doc, ACTION)
    foods = marks(doc, FOOD)
    for i, lower in enumerate(lowers):
        if lower != "top" or i == 0 or i in acting:
            continue
        start = i - 2 if lowers[i - 1] == "the" else i - 1
        if start < 0 or lowers[start] not in ("on", "over") or start in acting:
            continue
        beside = any(f.end == start or f.start in (i + 1, i + 2) for f in foods)
        if beside and not any(a in acting for a in _since_break(doc, start)):
            put(doc, ACTION, start, i + 1, ActionValue("top", "add", None, "fragment"))


def _since_break(doc: Doc, i: int) -> range:
    """Token indices from the last comma or sentence start before ``i``."""
    first = i
    while first > 0 and not doc[first].is_sent_start and doc[first - 1].lower_ not in _BREAKS:
        first -= 1
    return range(first, i)


def _lids(doc: Doc) -> None:
    """ "lid on" covers, "lid off" and "foil off" uncover."""
    acting = covered(doc, ACTION)
    for i, token in enumerate(doc[:-1]):
        if token.lower_ in _COVERS and i not in acting and i + 1 not in acting:
            verb = {"on": "cover", "over": "cover", "off": "uncover"}.get(doc[i + 1].lower_)
            if verb is not None:
                put(doc, ACTION, i, i + 2, ActionValue(verb, "weak", None, "fragment"))
