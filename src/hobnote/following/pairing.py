"""Which amount belongs to which food within one utterance.

Every amount and food of an utterance is weighed against its neighbours; the
best-scoring pairs win first. Nothing is decided here about rows of the record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from spacy.tokens import Doc, Token

from hobnote.marking.marks import AMOUNT, FOOD, RELATIVE, AmountValue, Mark

_LINK: Final = frozenset({"of", "the", "some", "my", "your", "our", "a", "an", "that", "this",
                          "those", "these", "worth", "in", "nice", "good", "more"})  # fmt: skip
_COPULA: Final = frozenset(
    {"is", "was", "are", "were", "it", "that", "'s", "’s", "s", "its", "they", "about", "around",
     "roughly", "at", "there", "'re", "that's", "it's", "weighs", "weighing", "weighed",
     "i", "use", "used",
     "i'm", "'m", "using", "just", "maybe", "say", "probably", "be", "exactly", "approximately",
     "so", "got", "have", "'ve", "which", "comes", "came", "to", "total", "of", "and", "then",
     "we", "put", "in", "need", "want", "you", "i've", "will", "'ll", "went", "only", "today",
     "for", "this", "like", "well", "should", "now", "on", "the", "scale", "scales", "here",
     "reading", "reads",
     "'d", "would", "reckon", "guess", "think", "take", "go", "did", "do",
     "says", "saying", "makes", "made", "actually", "them", "all"}
)  # fmt: skip
_PUNCTUATION: Final = frozenset({",", ":", "-", "–", "—", "(", ")", "=", "...", "…", '"'})
_MODIFIER_TAGS: Final = frozenset({"JJ", "JJR", "JJS", "VBN", "VBD", "RB", "NN", "NNP", "VBG",
                                   "CD", "HYPH", "NNS"})  # fmt: skip
_CLOSERS: Final = frozenset(
    {
        "and",
        "or",
        "but",
        "then",
        ";",
        ".",
        "with",
        "for",
        "total",
        "altogether",
        "together",
        "tops",
        "max",
        "because",
        "not",
        "if",
        "when",
        "until",
        "since",
        "while",
        "till",
    }
)
_PERCENT: Final = frozenset({"percent", "%", "per", "pc"})
_IN_NUMBER: Final = frozenset({"and", "a", "half", "point", "quarter"})
_HOLDING: Final = frozenset({"in", "into", "over", "on", "to"})
_PRONOUNS: Final = frozenset({"it", "that", "them", "this", "those", "these", "each", "both"})


CHAIN_GAP: Final = 4
"""Most words between the members of one list."""
STEADY: Final = 1.0
"""What a pair gains by standing in the same order as the pair just before it."""
LEAN: Final = 6.0
"""What a "food amount, food amount" list adds to the reading that the food came first."""


@dataclass(frozen=True, slots=True)
class Pair:
    """``amount`` (an AMOUNT or RELATIVE mark) of ``food``; ``before`` if it was said first."""

    amount: Mark
    food: Mark
    score: float
    before: bool


def pronoun_after(doc: Doc, mark: Mark) -> bool:
    """Whether the amount is "of it", "of them": its food was named earlier."""
    i = mark.end
    if i < len(doc) and doc[i].lower_ == "of":
        return i + 1 < len(doc) and doc[i + 1].lower_ in _PRONOUNS and not _noun_at(doc, i + 2)
    return False


def pair(doc: Doc, items: Sequence[Mark]) -> list[Pair]:
    """The best one-to-one pairs among the AMOUNT, RELATIVE and FOOD marks of one utterance.

    Every amount may go to the food on its left, to the one on its right or to
    none; of all ways to do that the one whose scores add up highest is taken,
    so that a list keeps the order in which it began ("salt one teaspoon pepper
    half a teaspoon stir in the milk").
    """
    ordered = sorted(
        (m for m in items if m.label in (AMOUNT, RELATIVE, FOOD)), key=lambda m: m.start
    )
    amounts = [m for m in ordered if m.label != FOOD and not pronoun_after(doc, m)]
    foods = [m for m in ordered if m.label == FOOD]
    chains = _chains(ordered)
    best: dict[Mark | None, tuple[float, Pair | None, tuple[Pair, ...]]] = {None: (0.0, None, ())}
    for amount in amounts:
        choices = [None, *_candidates(doc, amount, foods, ordered, chains)]
        after: dict[Mark | None, tuple[float, Pair | None, tuple[Pair, ...]]] = {}
        for total, last, taken in best.values():
            for choice in choices:
                if choice is not None and any(choice.food is p.food for p in taken[-2:]):
                    continue
                value, kept = total, taken
                if choice is not None:
                    value += choice.score + _steady(last, choice)
                    kept = (*taken, choice)
                food = choice.food if choice is not None else last.food if last else None
                if food not in after or after[food][0] < value:
                    after[food] = (value, choice or last, kept)
        best = after
    chosen = max(best.values(), key=lambda b: b[0])[2]
    return sorted(chosen, key=lambda p: p.food.start)


def _candidates(
    doc: Doc,
    amount: Mark,
    foods: Sequence[Mark],
    ordered: Sequence[Mark],
    chains: dict[Mark, bool],
) -> list[Pair]:
    """The foods that ``amount`` may belong to: around it, after it, before it."""
    left = max((f for f in foods if f.end <= amount.start), key=lambda f: f.end, default=None)
    right = min((f for f in foods if f.start >= amount.end), key=lambda f: f.start, default=None)
    inside = next(
        (
            f
            for f in foods
            if amount.start <= f.start < amount.end or f.start < amount.start < f.end
        ),
        None,
    )
    found: list[Pair] = []
    if _trait(doc, left, amount, right):
        right = None
    if inside is not None:
        return [Pair(amount, inside, 20.0, True)]
    if right is not None:
        score = _right(doc, amount, right, ordered)
        if score > 0:
            found.append(Pair(amount, right, score, True))
    if left is not None:
        score = _left(doc, left, amount, ordered)
        left = _within(doc, left, foods)
        if score > 0:
            lean = LEAN if chains.get(amount) and not of_food(doc, amount) else 0.0
            found.append(Pair(amount, left, score + lean, False))
    return found


def _trait(doc: Doc, left: Mark | None, amount: Mark, right: Mark | None) -> bool:
    """ "cheddar, two kilos of mature": what follows is no food but says which one is meant."""
    if left is None or right is None or not left.value.known or right.value.known:
        return False
    near = amount.start - left.end <= 1 and right.start - amount.end <= 1
    return near and right.end - right.start == 1 and of_food(doc, amount)


def _guessed(doc: Doc, amount: Mark, ordered: Sequence[Mark]) -> bool:
    """Whether what the amount is "of" is a word that the pantry does not know."""
    after = next((m for m in ordered if m.label == FOOD and m.start >= amount.end), None)
    if after is None or after.start - amount.end > 1:
        return False
    return not after.value.known and after.end - after.start == 1


def _plain(doc: Doc, start: int, end: int) -> list[Token]:
    """The words of a gap without a share said in percent ("water's *eighty percent*, so 400")."""
    gap = [doc[i] for i in range(start, end)]
    stop = next((n for n, t in enumerate(gap) if t.lower_ in _PERCENT), None)
    if stop is None:
        return gap
    begin = stop
    while begin > 0 and (gap[begin - 1].tag_ == "CD" or gap[begin - 1].lower_ in _IN_NUMBER):
        begin -= 1
    if gap[stop].lower_ == "per" and stop + 1 < len(gap):
        stop += 1
    return gap[:begin] + gap[stop + 1 :]


def _steady(last: Pair | None, new: Pair) -> float:
    """What going on in the same order, close by, adds to a pair."""
    if last is None or last.before != new.before:
        return 0.0
    near = min(new.amount.start, new.food.start) - max(last.amount.end, last.food.end)
    return STEADY if near <= CHAIN_GAP else 0.0


def _within(doc: Doc, food: Mark, foods: Sequence[Mark]) -> Mark:
    """ "the salt in the lentils, a teaspoon": the first, where the second only holds it."""
    before = [t.lower_ for t in doc[max(0, food.start - 2) : food.start]]
    if before[-1:] != ["the"] or before[0] not in _HOLDING:
        return food
    return next((f for f in foods if f.end == food.start - 2), food)


def _noun_at(doc: Doc, i: int) -> bool:
    return i < len(doc) and doc[i].tag_ in ("NN", "NNS", "JJ", "NNP")


def of_food(doc: Doc, mark: Mark) -> bool:
    """Whether the amount is "of" a food that follows, not "of them", "of the big ones"."""
    if mark.end + 2 < len(doc) and doc[mark.end + 1].lower_ in ("the", "those", "these"):
        # "wraps, six of the big wholemeal ones": of what was named
        ahead = [t.lower_ for t in doc[mark.end + 2 : mark.end + 6]]
        if "ones" in ahead or "kind" in ahead:
            return False
    return mark.end < len(doc) and doc[mark.end].lower_ in ("of", "worth")


def _chains(ordered: Sequence[Mark]) -> dict[Mark, bool]:
    """For every amount, whether it stands in a list that says the food first.

    A chain is a run of amounts and foods with few words between; one that
    begins with a food and ends with an amount reads "food amount, food amount".
    """
    leaning: dict[Mark, bool] = {}
    chain: list[Mark] = []
    for mark in [*ordered, None]:
        if mark is not None and (not chain or mark.start - chain[-1].end <= CHAIN_GAP):
            chain.append(mark)
            continue
        foods = sum(m.label == FOOD for m in chain)
        lean = bool(chain) and chain[0].label == FOOD and chain[-1].label != FOOD
        lean = lean and len(chain) >= 4 and foods * 2 >= len(chain)
        leaning.update({m: lean for m in chain if m.label != FOOD})
        chain = [mark] if mark is not None else []
    return leaning


def _bare(mark: Mark) -> bool:
    value = mark.value
    return isinstance(value, AmountValue) and value.unit is None and value.vague is None


def _counting(mark: Mark) -> bool:
    """A number of whole things, or an article alone ("a lemon"); "a teaspoon" is a measure."""
    value = mark.value
    return (
        isinstance(value, AmountValue)
        and value.noun is None
        and (value.unit == "piece" or (value.article and value.unit is None))
    )


def _right(doc: Doc, amount: Mark, food: Mark, ordered: Sequence[Mark]) -> float:
    """How well ``amount`` fits the food that follows it; 0 if not at all."""
    gap = [doc[i] for i in range(amount.end, food.start)]
    if _between(amount.end, food.start, ordered):
        return 0.0
    lowers = [t.lower_ for t in gap]
    if not gap:
        return 10.0
    if food.value.kind_of is not None and len(gap) == 1:
        return 12.0  # "stock, 500 ml, chicken"
    if any(t in _CLOSERS for t in lowers):
        return 0.0
    plain = all(
        t.lower_ in _LINK or t.tag_ in _MODIFIER_TAGS or t.lower_ in ("-", "and") for t in gap
    )
    strict = _counting(amount) or _bare(amount)
    if plain and len(gap) <= (4 if strict else 7):
        verbs = sum(t.tag_ in ("VBG", "VBD", "NNS") for t in gap)
        return 10.0 - 0.4 * len(gap) - 0.5 * verbs + (2.0 if lowers[0] in ("of", "worth") else 0.0)
    if strict or ("," in lowers and lowers[0] != "of"):
        return 0.0
    if lowers[0] == "of" and len(gap) <= 8:
        return 6.0 - 0.3 * len(gap)
    return 3.0 - 0.4 * len(gap) if len(gap) <= 5 else 0.0


def _left(doc: Doc, food: Mark, amount: Mark, ordered: Sequence[Mark]) -> float:
    """How well ``amount`` fits the food that was said before it; 0 if not at all."""
    if _counting(amount) and amount.value.article:
        return 0.0
    trait = of_food(doc, amount) and _guessed(doc, amount, ordered)
    if (of_food(doc, amount) and not trait) or _between(food.end, amount.start, ordered):
        return 0.0
    gap = _plain(doc, food.end, amount.start)
    odd = sum(
        t.lower_ not in _COPULA and t.lower_ not in _PUNCTUATION and t.tag_ not in ("VBN", "RB")
        for t in gap
    )
    if not gap:
        return 8.0
    if odd == 0 and len(gap) <= 10:
        trailing = 1.0 if gap and gap[0].lower_ in (",", ":", "-", "–", "is", "'s", "at") else 0.0
        return 7.0 + trailing - 0.3 * len(gap) - (1.5 if _bare(amount) else 0.0)
    if _bare(amount):
        # "feta, the light one, 100.": set off by commas at both ends
        closed = amount.end >= len(doc) or doc[amount.end].is_punct
        set_off = bool(gap) and gap[-1].lower_ in _PUNCTUATION and closed
        return max(0.5, 4.0 - 0.3 * len(gap)) if set_off and odd <= 3 and len(gap) <= 9 else 0.0
    return 3.0 - 0.5 * odd - 0.15 * len(gap) if odd <= 4 and len(gap) <= 12 else 0.0


def _between(start: int, end: int, ordered: Sequence[Mark]) -> bool:
    """Whether another amount or food stands between two offsets."""
    return any(start <= m.start and m.end <= end for m in ordered if m.start < end)
