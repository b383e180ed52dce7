"""What a food without an amount needs to become a row, and which names are no rows at all.

Evidence is a verb that uses the food, a listing phrase, a list under way, or a
fragment that is nothing but a list. Dishes, what the dish comes to, and what a
stated figure is reckoned with are no rows, however they are measured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from hobnote.following.amounts import dimension
from hobnote.following.clauses import Clause
from hobnote.following.kinds import row_of
from hobnote.following.pairing import Pair
from hobnote.following.scene import DOUBTFUL, Scene, Walker, bare_article, yields
from hobnote.following.state import State, related
from hobnote.marking.marks import ACTION, AMOUNT, CLAIM, FOOD, RELATIVE, FoodValue, Mark
from hobnote.record import Amount

# "because the soy's salty enough": a reason names foods without bringing them in.
_REASONS: Final = frozenset({"because", "cause", "'cause", "cos", "coz", "since", "otherwise"})
_BARE_WATER: Final = frozenset({"water", "ice", "boiling water", "cold water", "hot water"})
_PLENTY: Final = frozenset({"plenty", "lots", "enough", "covering"})
_IN_ACTION: Final = frozenset({"add", "cook", "prep", "hold", "serve", "heat", "weak", "weigh"})
_MAKING: Final = frozenset({"make", "cook", "do", "prepare", "bake", "start"})
SURE: Final = 0.02
"""Aside score below which a list goes on although something else was told in between."""
EARLY: Final = 3
"""Utterances within which foods may be announced before any is measured."""
_USING: Final = ("add", "prep", "cook", "serve")


class Evidence(Walker):
    """Judges the foods of an utterance; ``dishes`` are the names of dishes, to their kind."""

    def __init__(self, state: State, dishes: Mapping[str, str]) -> None:
        super().__init__(state)
        self.dishes = dishes

    def kind(self, name: str) -> str | None:
        """The kind of dish or collective that ``name`` or its last word is."""
        return self.dishes.get(name) or self.dishes.get(name.split()[-1])

    @staticmethod
    def asks(clause: Clause, amount: Amount | None) -> bool:
        """ "Olives? No.": a question brings nothing in until it is answered."""
        return amount is None and clause.doc[clause.end - 1].text == "?"

    @staticmethod
    def _beside(scene: Scene, clause: Clause) -> bool:
        """Whether what the clause names is served beside the dish, or may be ("… if you like")."""
        if clause.cues("serving", "optional"):
            return True
        n = scene.clauses.index(clause) + 1
        after = scene.clauses[n] if n < len(scene.clauses) else None
        return after is not None and any(m.start - after.start <= 1 for m in after.cues("optional"))

    def is_dish(
        self,
        scene: Scene,
        clause: Clause,
        food: FoodValue,
        amount: Amount | None,
        match: Pair | None,
    ) -> bool:
        """Whether the name is the dish's own, or a collective word for other rows."""
        relation = match is not None and match.amount.label == RELATIVE
        beside = self._beside(scene, clause)
        if food.name in _BARE_WATER and not relation:
            if food.name == "ice" and beside:
                return False
            return amount is None or amount.noun in _PLENTY
        kind = self.dishes.get(food.name)
        if kind == "family":  # "serve with flatbreads" brings them in all the same
            return amount is None and not relation and not beside
        kind = self.kind(food.name)
        if kind in ("dish", "mixture") and match is not None and yields(clause, match.amount):
            return True
        if kind == "dish" and amount is None and not food.definite and beside and self.state.recent:
            return False  # "a green salad on the side"
        if kind != self.dishes.get(food.name):
            return kind == "dish" and amount is None  # "swedish meatballs"
        measured = amount is not None and dimension(amount) in ("mass", "volume")
        return kind is not None and (not measured or food.definite)

    @staticmethod
    def reckoned(scene: Scene, clause: Clause, mark: Mark, amount: Amount | None) -> bool:
        """ "a slice and a cup of tea is 300 calories": what a figure counts is no row by that."""
        n = scene.clause_at(mark.start)
        here = [c for c in scene.clauses[n : n + 2] if c.of(CLAIM)]
        if not here or (n + 1 < len(scene.clauses) and clause is not here[0] and clause.of(ACTION)):
            return False
        if amount is not None and (amount.basis == "vague" or dimension(amount) != "count"):
            return False
        if clause.cues("serving", "optional", "list", "choice"):
            return False
        listed = [m for m in clause.cues("list_weak") if 0 <= mark.start - m.end <= 2]
        if any(clause.doc[m.start].lower_ != "with" for m in listed):
            return False
        return not any(
            m.end <= mark.start and m.value.kind in ("add", "prep", "cook")
            for m in clause.of(ACTION)
        )

    def announces(self, clause: Clause) -> bool:
        """ "it's prawn with vegetables and noodles, three of us": what is to come, no list yet.

        Only before anything was measured or done, and where nothing is done or
        listed in the clause either.
        """
        if any(r.measured for r in self.state.rows) or self.state.utterance > EARLY:
            return False
        if clause.cues("list", "serving", "optional", "component_open"):
            return False
        measured = [m for m in clause.of(AMOUNT) if not bare_article(m) and not _some(m)]
        if (measured or clause.of(RELATIVE)) and not clause.cues("title"):
            return False
        if len(clause.of(FOOD)) == 1 and self.fragment(clause):
            return False  # "Rice first.", and then its amount
        done = [m for m in clause.of(ACTION) if m.value.verb not in _MAKING]
        return not done

    def met(self, food: FoodValue) -> bool:
        """Whether an announced food is a row by now, under this name or another, or a dish."""
        if self.kind(food.name) is not None:
            return True
        said = set(food.name.split())
        row_id = row_of(food.name)
        return any(
            said & set(r.name.split())
            or related(food.name, r.name)
            or (row_id is not None and row_of(r.name) == row_id)
            for r in self.state.living()
        )

    def brings_in(
        self,
        scene: Scene,
        clause: Clause,
        mark: Mark,
        usable: Sequence[Mark],
        paired: set[Mark],
    ) -> bool:
        """Whether the clause brings the food in: a verb, a listing phrase, a list under way."""
        food: FoodValue = mark.value
        foods = [m for m in usable if m.label == FOOD and m.start > mark.start]
        until = foods[0].start if foods else clause.end
        for m in usable:
            # "thighs, skin on, I've got six of those, 750 grams": measured further on
            later = m.label == AMOUNT and m not in paired and mark.end <= m.start < until
            if later and m.start < clause.end and not bare_article(m):
                return True
        if scene.aside >= DOUBTFUL or clause.doc[clause.start].lower_ in _REASONS:
            return False
        verbs = [m for m in clause.of(ACTION) if m.value.kind in _IN_ACTION]
        doing = [m for m in verbs if m.value.kind in _USING]
        if not food.known:
            return any(m.end <= mark.start for m in doing)
        if doing or self._beside(scene, clause):
            return True
        using = [m for m in verbs if m.value.kind not in ("hold", "heat")]
        if any(m.end <= mark.start for m in (*clause.cues("list"), *using)):
            return True
        near = [m for m in clause.cues("list_weak") if 0 <= mark.start - m.end <= 3]
        listing = any(r.utterance == self.state.utterance for r in self.state.recent)
        if near and (listing or near[-1].start == clause.start):
            return True
        previous = scene.clause_at(mark.start) - 1
        if previous >= 0 and listing:
            # a list runs on over clause joints once it has begun
            return scene.moods[previous] == "recipe"
        return self.fragment(clause) and (not self.state.aside_before or scene.aside < SURE)

    @staticmethod
    def fragment(clause: Clause) -> bool:
        """A clause that is nothing but foods, amounts and joints ("salt. pepper. bit of oil")."""
        covered = {i for m in clause.of(FOOD, AMOUNT, RELATIVE) for i in range(m.start, m.end)}
        rest = [
            t
            for t in clause.doc[clause.start : clause.end]
            if t.i not in covered
            and not t.is_punct
            and t.tag_ not in ("CC", "JJ", "DT", "RB", "VBN", "IN", "NN", "UH", "_SP", "CD")
        ]
        return not rest


def _some(amount: Mark) -> bool:
    """ "some grilled corn": no measure of its own."""
    return amount.value.vague is not None and amount.end - amount.start == 1


def told_by_kind(usable: Sequence[Mark]) -> list[Mark]:
    """Without the foods whose kinds are measured one by one ("peppers: two red, one yellow").

    A count before the food itself ("2 onions, one red, one white") is the
    whole; then the kinds go instead.
    """
    starts = {m.start: m.value.name for m in usable if m.label == FOOD}
    heads = {
        m.value.kind_of
        for m in usable
        if m.label == FOOD and not m.value.name.startswith(starts.get(m.value.kind_of, "?") + " ")
    } & set(starts)
    if not heads:
        return list(usable)
    amounts = [m for m in usable if m.label == AMOUNT]
    counted = {
        f.start
        for f in usable
        if f.label == FOOD and f.start in heads
        for a in amounts
        if 0 <= f.start - a.end <= 1 and not bare_article(a)
    }
    left = [
        m
        for m in usable
        if m.label != FOOD
        or (
            (m.start not in heads or m.start in counted)
            and (m.value.kind_of not in counted or _weighed(m, amounts))
        )
    ]
    gone = {m.start for m in usable} - {m.start for m in left}
    kinds = [m for m in usable if m.start in gone and m.value.kind_of is not None]
    taken = [k.start for k in kinds]
    return [m for m in left if m.label != AMOUNT or not any(0 <= k - m.end <= 1 for k in taken)]


def _weighed(kind: Mark, amounts: Sequence[Mark]) -> bool:
    """ "800 g of flour, 50 of rye": a weight of its own makes the kind a row of its own."""
    near = [a for a in amounts if 0 <= kind.start - a.end <= 1]
    return any(a.value.unit not in (None, "piece") for a in near)
