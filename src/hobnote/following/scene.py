"""One utterance as the ingredient walk sees it, and small questions asked of its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from spacy.tokens import Doc

from hobnote.following.clauses import Clause
from hobnote.following.moods import Mood
from hobnote.following.state import RowState, State
from hobnote.marking.marks import ACTION, AMOUNT, FOOD, RELATIVE, TIME, AmountValue, FoodValue, Mark
from hobnote.record import Heard

TERSE: Final = 6
"""Tokens up to which a clause that opens with an amount speaks of nothing else."""
DOUBTFUL: Final = 0.5
"""Aside score from which a food without an amount does not become a row."""


@dataclass(slots=True)
class Scene:
    """One utterance with what was worked out about it."""

    clauses: Sequence[Clause]
    moods: list[Mood]
    base: int
    rows: dict[int, RowState]
    """Rows by the first token of the food that named them."""
    parts: set[int] = field(default_factory=set)
    """Tokens that name a part of the dish and no food."""
    replaced: dict[Mark, Mark] = field(default_factory=dict)
    """Amounts said only to be overruled, each with the one that stands."""
    offers: dict[int, RowState] = field(default_factory=dict)
    """Swaps without an amount of their own, by the first token of their food."""
    aside: float = 0.0
    """Learned score of the utterance's being an aside, 0 to 1."""

    def clause_at(self, token: int) -> int:
        """Index of the clause that holds ``token``."""
        for n, clause in enumerate(self.clauses):
            if clause.start <= token < clause.end:
                return n
        return len(self.clauses) - 1


class Walker:
    """Base of the walkers over scenes: they share one state and emit through it."""

    def __init__(self, state: State) -> None:
        self.state = state

    def heard(self, scene: Scene, start: int, end: int) -> tuple[Heard, ...]:
        span = scene.clauses[0].doc[start:end]
        return self.state.heard(scene.base, span.start_char, span.end_char)


def known(state: State, mark: Mark) -> RowState | None:
    """The row that a FOOD mark speaks of without an amount, if there is one."""
    value = mark.value
    if not isinstance(value, FoodValue):
        return None
    return state.find(value, state.component, measured=False)


def copula(clause: Clause, mark: Mark) -> bool:
    """ "peppers were 380": an amount for what was named before."""
    doc = clause.doc
    return mark.end < clause.end and doc[mark.end].lower_ in ("was", "were")


def yields(clause: Clause, mark: Mark) -> bool:
    """ "it makes about a kilo": what the dish comes to, not an ingredient."""
    before = [t.lower_ for t in clause.doc[max(clause.start, mark.start - 5) : mark.start]]
    return "for" in before[-2:] or any(
        w in ("makes", "yields", "gives", "making") for w in before
    )


def lone_amount(clause: Clause) -> bool:
    """A clause that holds amounts and nothing else that matters ("a whole bottle, 500 ml")."""
    amounts = {i for m in clause.of(AMOUNT, TIME) for i in range(m.start, m.end)}
    if clause.of(FOOD):
        return False
    first = min((m.start for m in clause.of(AMOUNT)), default=clause.end)
    while first > clause.start + 1 and (
        clause.doc[first - 1].is_punct or clause.doc[first - 1].tag_ == "UH"
    ):
        first -= 1
    if first - clause.start <= 1 and clause.end - clause.start <= TERSE and not clause.of(ACTION):
        return True  # "Six, wholemeal."
    return all(
        t.is_punct or t.i in amounts or t.tag_ in ("UH", "RB", "CC", "IN", "DT", "_SP", "JJ", "VBN")
        for t in clause.doc[clause.start : clause.end]
    )


def references(clauses: Sequence[Clause]) -> set[Mark]:
    """Foods that a relative amount only compares with ("as much water as *lentils*")."""
    found: set[Mark] = set()
    for clause in clauses:
        for relative in clause.of(RELATIVE):
            if not relative.value.reference:
                continue
            for food in clause.of(FOOD):
                gap = food.start - relative.end
                before = clause.doc[food.start - 1].lower_ if food.start else ""
                if 0 < gap <= (2 if before == "the" else 8) and before in ("as", "than", "the"):
                    found.add(food)
    return found


def bare_article(amount: Mark) -> bool:
    """ "a coffee": the article alone is no measure; "teaspoon of oil" is."""
    value = amount.value
    return (
        isinstance(value, AmountValue)
        and value.article
        and value.unit in (None, "piece")
        and (value.noun is None)
    )


def shape(clause: Clause, mark: Mark) -> bool:
    """ "in big lumps", "into four pieces": how it is cut, not how much of it."""
    if mark.start <= clause.start or clause.doc[mark.start - 1].lower_ not in ("in", "into"):
        return False
    if any(a.start < mark.start <= a.end and a.end - a.start > 1 for a in clause.of(ACTION)):
        return False  # "put in a handful": the "in" is the verb's
    value = mark.value
    return value.vague is not None or value.unit == "piece" or value.unit is None


def each_word(scene: Scene, amount: Mark) -> bool:
    """ "100 of each", "a spoon each": the word right after the amount."""
    doc = scene.clauses[0].doc
    after = [t.lower_ for t in doc[amount.end : amount.end + 2]]
    return "each" in after[:1] or after in (["of", "each"], ["on", "each"], ["in", "each"])


def of_each(scene: Scene, amount: Mark) -> bool:
    """ "carrots, celery and onions, 100 g of each": of each food, not for each eater."""
    doc = scene.clauses[0].doc
    said = [t.lower_ for t in doc[amount.start : amount.end + 2]]
    if "of each" in " ".join(said):
        return True
    foods = [m for c in scene.clauses for m in c.of(FOOD)]
    earlier = [m.end for c in scene.clauses for m in c.of(AMOUNT) if m.end <= amount.start]
    since = max(earlier, default=0)
    ahead = any(0 <= f.start - amount.end <= 3 for f in foods)
    return ahead or sum(since <= f.start < amount.start for f in foods) > 1


def before_foods(doc: Doc, amount: Mark, foods: Sequence[Mark]) -> bool:
    """Whether "each" looks forward: "100 g each of A and B", "1 tsp each A and B"."""
    i = amount.end
    while i < len(doc) and doc[i].lower_ in ("each", "of", "the"):
        i += 1
    return any(f.start - i <= 2 for f in foods)
