"""Puts utterance boundaries right where a list of foods and amounts runs on without punctuation.

"pork mince four hundred gram chinese cabbage three hundred gram" is a list that
says the food first, "four hundred grams of mince three hundred of cabbage" one
that says the amount first. A boundary never parts a food from its own amount.
"""

from __future__ import annotations

import itertools
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.marks import AMOUNT, FOOD, AmountValue, Mark, marks

GAP: Final = 3
"""Most words between the members of one list."""
_STOPS: Final = frozenset({".", "!", "?", "\n", ";", ":"})
_OF: Final = frozenset({"of", "worth"})


@Language.component("hobnote_rejoin")
def rejoin(doc: Doc) -> Doc:
    """Take back ``is_sent_start`` between a food and its amount inside unpunctuated lists."""
    chain: list[Mark] = []
    for mark in marks(doc, FOOD, AMOUNT):
        if mark.label == AMOUNT and _bare_article(mark):
            continue
        if chain and (mark.start < chain[-1].end or not _near(doc, chain[-1], mark)):
            _join(doc, chain)
            chain = []
        chain.append(mark)
    _join(doc, chain)
    return doc


def _bare_article(mark: Mark) -> bool:
    value = mark.value
    return isinstance(value, AmountValue) and value.article and value.unit in (None, "piece")


def _near(doc: Doc, a: Mark, b: Mark) -> bool:
    """Whether two marks stand close, without punctuation that ends a sentence between them."""
    if b.start - a.end > GAP:
        return False
    if doc[a.end - 1].text.endswith("."):
        return False  # "200 g. Kale": the tokenizer keeps the full stop with the unit
    return all(not doc[i].is_punct and "\n" not in doc[i].text for i in range(a.end, b.start))


def _join(doc: Doc, chain: list[Mark]) -> None:
    if len(chain) < 2:
        return
    second = chain[1]
    food_first = _food_first(doc, chain)
    if len(chain) == 2 and food_first and not doc[second.start].is_sent_start:
        return
    for a, b in itertools.pairwise(chain):
        wanted = (FOOD, AMOUNT) if food_first else (AMOUNT, FOOD)
        if (a.label, b.label) != wanted:
            continue
        for i in range(a.end, b.start + 1):
            if doc[i].is_sent_start:
                doc[i].is_sent_start = False


def _food_first(doc: Doc, chain: list[Mark]) -> bool:
    """Whether a list names the food before its amount ("the pork and soy sauce two spoons wine
    one"): it opens with a food and closes with an amount, or its second member is an amount.
    """
    first, second = chain[0], chain[1]
    if first.label != FOOD:
        return False
    if second.label == AMOUNT:
        return not _of(doc, second)
    return chain[-1].label == AMOUNT and not any(_of(doc, m) for m in chain if m.label == AMOUNT)


def _of(doc: Doc, mark: Mark) -> bool:
    return mark.end < len(doc) and doc[mark.end].lower_ in _OF
