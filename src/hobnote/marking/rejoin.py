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

from hobnote.marking.marks import AMOUNT, FOOD, RELATIVE, AmountValue, Mark, marks

_INSTEAD: Final = frozenset({"instead", "insted"})
_INSTEAD_OF: Final = frozenset(
    {("in", "stead"), ("in", "place"), ("in", "lieu"), ("rather", "than")}
)
_RELENTING: Final = frozenset(
    {"leave", "use", "skip", "swap", "omit", "drop", "ditch", "replace", "sub", "substitute"}
)
_OPTIONAL: Final = frozenset(
    {"like", "want", "fancy", "wish", "prefer", "it", "some", "any", "them"}
)
_EATERS: Final = frozenset(
    {"vegan", "vegans", "veggie", "veggies", "vegetarian", "vegetarians", "coeliac", "coeliacs",
     "celiac", "celiacs"}
)  # fmt: skip
REACH: Final = 7
"""Words back to the "if" of a condition."""
GAP: Final = 3
"""Most words between the members of one list."""
_STOPS: Final = frozenset({".", "!", "?", "\n", ";", ":"})
_OF: Final = frozenset({"of", "worth"})


@Language.component("hobnote_rejoin")
def rejoin(doc: Doc) -> Doc:
    """Take back ``is_sent_start`` between a food and its amount inside unpunctuated lists."""
    chain: list[Mark] = []
    for mark in marks(doc, FOOD, AMOUNT, RELATIVE):
        if mark.label == AMOUNT and _bare_article(mark):
            continue
        if chain and (mark.start < chain[-1].end or not _near(doc, chain[-1], mark)):
            _join(doc, chain)
            chain = []
        chain.append(mark)
    _join(doc, chain)
    _mend(doc)
    return doc


def _mend(doc: Doc) -> None:
    """No boundary inside what one mark covers, nor between a food and what it goes instead of."""
    for mark in marks(doc):
        for i in range(mark.start + 1, mark.end):
            if doc[i].is_sent_start and "\n" not in doc[i - 1].text:
                doc[i].is_sent_start = False
    _conditions(doc)
    ends = {m.end for m in marks(doc, FOOD)}
    for i in range(1, len(doc) - 1):
        if not doc[i].is_sent_start or doc[i - 1].is_punct or "\n" in doc[i - 1].text:
            continue
        words = (doc[i].lower_, doc[i + 1].lower_)
        opens = words in _INSTEAD_OF or words[1] == "of"
        if (words[0] in _INSTEAD or opens) and (not opens or ends & {i, i - 1}):
            doc[i].is_sent_start = False


def _conditions(doc: Doc) -> None:
    """ "if someone's coeliac | leave the crumbs out": the condition goes with what follows it."""
    for i in range(2, len(doc)):
        if not doc[i].is_sent_start or doc[i].lower_ not in _RELENTING:
            continue
        condition = [t.lower_ for t in doc[max(0, i - REACH) : i]]
        if doc[i - 1].is_punct or "\n" in doc[i - 1].text:
            continue
        rest: list[str] = []
        if "if" in condition:
            rest = condition[len(condition) - condition[::-1].index("if") :]
        eater = "for" in condition and bool(_EATERS & set(condition[-3:]))
        if eater or (len(rest) > 1 and rest[-1] not in _OPTIONAL):
            doc[i].is_sent_start = False


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
        first, second = (b, a) if food_first else (a, b)
        if first.label == FOOD or second.label != FOOD:
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
    if second.label != FOOD:
        return not _of(doc, second)
    return chain[-1].label != FOOD and not any(_of(doc, m) for m in chain if m.label != FOOD)


def _of(doc: Doc, mark: Mark) -> bool:
    return mark.end < len(doc) and doc[mark.end].lower_ in _OF
