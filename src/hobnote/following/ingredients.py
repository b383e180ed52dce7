"""Ingredient events of one utterance: who is named, how much, instead of what.

The walk goes over the utterance's foods and left-over amounts in the order in
which they were said. What a food needs to become a row is evidence: an amount,
a verb that uses it, a listing phrase, or a fragment that is nothing but a list.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from spacy.tokens import Doc

from hobnote.following import events as ev
from hobnote.following.amounts import dimension, is_exact, same, scaled
from hobnote.following.clauses import Clause
from hobnote.following.kinds import compatible, countable, likeness
from hobnote.following.moods import Mood, cue_before, drops, negated, within
from hobnote.following.pairing import Pair, pair, pronoun_after
from hobnote.following.quantities import MOST_COUNTED, amount_of
from hobnote.following.state import RowState, State, related
from hobnote.following.swaps import Role, swap_roles
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    MISHEARD,
    PART,
    RELATIVE,
    TIME,
    UNTIL,
    AmountValue,
    FoodValue,
    Mark,
    RelativeValue,
)
from hobnote.marking.tables import rows, unit_words
from hobnote.record import Amount, Heard

_LIKENING: Final = frozenset(
    {"like", "consistency", "texture", "thickness", "size", "colour", "color", "shape", "smell",
     "smells", "taste", "tastes", "looks", "resembles", "than"}
)  # fmt: skip
_RESTATING: Final = frozenset(
    {"it", "that", "that's", "it's", "they", "those", "them", "which", "weighs", "'s",
     "there", "this", "these"}
)  # fmt: skip
DOUBTFUL: Final = 0.5
"""Aside score from which a food without an amount does not become a row."""
TAKEN_BACK: Final = 3
"""Utterances within which "no X" takes X out again rather than speaking of its absence."""
JOINED: Final = 6
"""Tokens within which foods before an if-clause belong to it together."""
_BARE_WATER: Final = frozenset({"water", "ice", "boiling water", "cold water", "hot water"})
_PLENTY: Final = frozenset({"plenty", "lots", "enough", "covering"})
_IN_ACTION: Final = frozenset({"add", "cook", "prep", "hold", "serve", "heat", "weak", "weigh"})


@dataclass(slots=True)
class Scene:
    """One utterance with what was worked out about it."""

    clauses: Sequence[Clause]
    moods: list[Mood]
    base: int
    rows: dict[int, RowState]
    """Rows by the first token of the food that named them."""
    aside: float = 0.0
    """Learned score of the utterance's being an aside, 0 to 1."""

    def clause_at(self, token: int) -> int:
        """Index of the clause that holds ``token``."""
        for n, clause in enumerate(self.clauses):
            if clause.start <= token < clause.end:
                return n
        return len(self.clauses) - 1


class Ingredients:
    """Turns the foods and amounts of an utterance into events on ``state``."""

    def __init__(self, state: State, dishes: Mapping[str, str]) -> None:
        self.state = state
        self.dishes = dishes

    def take(self, scene: Scene) -> None:
        """Emit the ingredient events of one utterance."""
        clauses = scene.clauses
        doc = clauses[0].doc
        scopes = [negated(c) for c in clauses]
        roles = swap_roles(clauses)
        references = _references(clauses)
        usable = [
            m
            for n, c in enumerate(clauses)
            for m in c.of(FOOD, AMOUNT, RELATIVE)
            if not (m.label == AMOUNT and m.value.best <= 0)
            and not (m in references and self._known(m) is not None)
            and self._speaks(scene, n, m, scopes[n], roles)
        ]
        pairs = pair(doc, usable)
        by_food = {p.food: p for p in pairs}
        paired = {p.amount for p in pairs}
        self._negate(scene, scopes, roles)
        for mark in sorted(usable, key=lambda m: m.start):
            if mark.label == FOOD:
                self._food(scene, mark, by_food.get(mark), roles.get(mark), usable, paired)
            elif mark not in paired:
                self._left_over(scene, mark, usable)
        self._bare_units(scene)
        self._options(scene, roles)

    def misheard(self, scene: Scene) -> None:
        """Emit the words that were put right, whatever the mood they were said in."""
        for clause in scene.clauses:
            for mark in clause.of(MISHEARD):
                self._misheard(scene, mark)

    # -- which marks speak -------------------------------------------------

    def _speaks(
        self,
        scene: Scene,
        n: int,
        mark: Mark,
        scopes: Sequence[range],
        roles: dict[Mark, Role],
    ) -> bool:
        clause, mood = scene.clauses[n], scene.moods[n]
        role = roles.get(mark)
        offered = role is not None and role.kind == "swap" and mood in ("recipe", "hypothetical")
        optional = bool(clause.cues("optional", "serving"))
        if mood != "recipe" and not offered and not (mood == "hypothetical" and optional):
            return False
        if role is not None and role.kind in ("out", "original"):
            return False
        if within(mark.start, scopes):
            return False
        if mark.label == AMOUNT and _shape(clause, mark):
            return False
        if mark.label == AMOUNT and any(t.start <= mark.start < t.end for t in clause.of(TIME)):
            return False
        if any(u.start < mark.start < u.end for u in clause.of(UNTIL)):
            return mark.label == FOOD and self._known(mark) is not None
        if mark.label == FOOD and any(
            p.start <= mark.start < p.end
            and any(c.end == p.end for c in clause.cues("component_open"))
            for p in clause.of(PART)
        ):
            return False
        if mark.label == FOOD:
            before = clause.doc[max(clause.start, mark.start - 4) : mark.start]
            words = [t.lower_ for t in before]
            if any(w in _LIKENING for w in words) and "i" not in words:
                return False
        return True

    def _known(self, mark: Mark) -> RowState | None:
        value = mark.value
        if not isinstance(value, FoodValue):
            return None
        return self.state.find(value, self.state.component, measured=False)

    # -- foods --------------------------------------------------------------

    def _food(
        self,
        scene: Scene,
        mark: Mark,
        match: Pair | None,
        role: Role | None,
        usable: Sequence[Mark],
        paired: set[Mark],
    ) -> None:
        state = self.state
        food: FoodValue = mark.value
        clause = scene.clauses[scene.clause_at(mark.start)]
        heard = self._heard(scene, mark.start, mark.end)
        amount = self._amount(scene, match, food)
        relation = match.amount.value if match and match.amount.label == RELATIVE else None
        if amount is None and relation is None:
            amount = self._shared(scene, mark, usable, paired)
        more = match is not None and (
            getattr(match.amount.value, "more", False) or self._copula(clause, mark)
        )
        row = state.find(
            food, state.component, measured=amount is not None, amount=amount, more=more
        )
        if role is not None and role.kind == "swap":
            self._swap(scene, mark, food, role, amount, heard)
            return
        if self._renames(clause, mark, match, row):
            return
        if row is None:
            weak = match is not None and _bare_article(match.amount)
            unsaid = (amount is None or weak) and relation is None
            if unsaid and not self._evidence(scene, clause, mark, usable, paired):
                return
            if self._is_dish(clause, food, amount, match):
                return
            if self._asks(clause, amount):
                state.asked = food
                return
            row = self._new_row(food, heard)
        else:
            self._again(row, food, heard)
        scene.rows[mark.start] = row
        state.touch(row)
        if isinstance(relation, RelativeValue):
            self._relate(scene, row, relation, match, heard)
        elif amount is not None and match is not None:
            self._measure(scene, clause, row, food, amount, match)
        elif amount is not None:
            state.measure(row, amount, "set", heard) if not row.measured else None

    @staticmethod
    def _asks(clause: Clause, amount: Amount | None) -> bool:
        """ "Olives? No.": a question brings nothing in until it is answered."""
        return amount is None and clause.doc[clause.end - 1].text == "?"

    @staticmethod
    def _copula(clause: Clause, mark: Mark) -> bool:
        """ "peppers were 380": an amount for what was named before."""
        doc = clause.doc
        return mark.end < clause.end and doc[mark.end].lower_ in ("was", "were")

    def _is_dish(
        self, clause: Clause, food: FoodValue, amount: Amount | None, match: Pair | None
    ) -> bool:
        """Whether the name is the dish's own, or a collective word for other rows."""
        relation = match is not None and match.amount.label == RELATIVE
        if food.name in _BARE_WATER and not relation:
            return amount is None or amount.noun in _PLENTY
        kind = self.dishes.get(food.name)
        if kind == "family":
            return amount is None and not relation
        kind = kind or self.dishes.get(food.name.split()[-1])
        if kind in ("dish", "mixture") and match is not None and self._yields(clause, match.amount):
            return True
        if kind != self.dishes.get(food.name):
            return False
        measured = amount is not None and dimension(amount) in ("mass", "volume")
        return kind is not None and (not measured or food.definite)

    def _evidence(
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
            if later and m.start < clause.end and not _bare_article(m):
                return True
        if scene.aside >= DOUBTFUL:
            return False
        verbs = [m for m in clause.of(ACTION) if m.value.kind in _IN_ACTION]
        doing = [m for m in verbs if m.value.kind in ("add", "prep", "cook", "serve")]
        if not food.known:
            return any(m.end <= mark.start for m in doing)
        if doing or clause.cues("serving", "optional"):
            return True
        if any(m.end <= mark.start for m in (*clause.cues("list"), *verbs)):
            return True
        near = [m for m in clause.cues("list_weak") if 0 <= mark.start - m.end <= 3]
        listing = any(r.utterance == self.state.utterance for r in self.state.recent)
        if near and (listing or near[-1].start == clause.start):
            return True
        previous = scene.clause_at(mark.start) - 1
        if previous >= 0 and listing:
            # a list runs on over clause joints once it has begun
            return scene.moods[previous] == "recipe"
        return self._fragment(clause) and not self.state.aside_before

    @staticmethod
    def _fragment(clause: Clause) -> bool:
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

    def _new_row(self, food: FoodValue, heard: tuple[Heard, ...]) -> RowState:
        state = self.state
        row = RowState(state.key("r"), food.name, state.component, utterance=state.utterance)
        state.rows.append(row)
        state.emit(
            ev.Named(
                key=row.key,
                name=food.name,
                component=state.component,
                state=food.state,
                preparation=food.preparation,
                heard=heard,
            )
        )
        return row

    def _again(self, row: RowState, food: FoodValue, heard: tuple[Heard, ...]) -> None:
        """A known row named again; a fuller name replaces a shorter one."""
        fuller = len(food.name.split()) > len(row.name.split()) and row.name in food.name
        if fuller or food.state or food.preparation:
            self.state.emit(
                ev.Described(
                    key=row.key,
                    name=food.name if fuller else None,
                    state=food.state,
                    preparation=food.preparation,
                    heard=heard,
                )
            )
            if fuller:
                row.name = food.name
        else:
            self.state.emit(ev.Mentioned(key=row.key, heard=heard))

    def _renames(
        self, clause: Clause, mark: Mark, match: Pair | None, row: RowState | None
    ) -> bool:
        """ "200 of milk, sorry, buttermilk": the row just named gets the right name."""
        topic = self.state.topic
        if row is not None or match is not None or topic is None:
            return False
        if topic.utterance != self.state.utterance:
            return False
        cue = cue_before(clause, mark.start, ("correction",), reach=2)
        if cue is None or (clause.of(ACTION) and clause.of(ACTION)[-1].start >= cue.end):
            return False
        food: FoodValue = mark.value
        self.state.emit(ev.Described(key=topic.key, name=food.name, heard=()))
        topic.name = food.name
        return True

    # -- amounts --------------------------------------------------------------

    def _amount(self, scene: Scene, match: Pair | None, food: FoodValue) -> Amount | None:
        if match is None or not isinstance(match.amount.value, AmountValue):
            return None
        row = self.state.find(food, self.state.component, measured=False)
        return self._spoken(scene, match.amount, food, row)

    def _spoken(
        self, scene: Scene, mark: Mark, food: FoodValue | None = None, row: RowState | None = None
    ) -> Amount | None:
        """The amount as the record keeps it; a bare number gets its unit from what went before."""
        state = self.state
        doc = scene.clauses[0].doc
        value: AmountValue = mark.value
        said = doc[mark.start : mark.end].text
        of = mark.end < len(doc) and doc[mark.end].lower_ == "of"
        unit = self._elided_unit(scene, mark, food, row, of)
        if unit is not None:
            value = replace(value, unit=unit)
        amount = amount_of(value, said, weighing=state.weighing, of=of)
        if amount is not None and amount.basis == "weighed":
            state.weighing = True
        if amount is not None and amount.unit in ("ml", "l"):
            state.volume_unit = "ml"
        return amount

    def _elided_unit(
        self, scene: Scene, mark: Mark, food: FoodValue | None, row: RowState | None, of: bool
    ) -> str | None:
        """The unit that a bare number leaves out, or None.

        "two tablespoons of water and four of vinegar", "milk is 120 then",
        "500 ml of ale, then stock, 400", "salt, five" once things are weighed.
        """
        state, value = self.state, mark.value
        if not isinstance(value, AmountValue) or value.unit is not None or value.vague is not None:
            return None
        if value.low != value.high and value.approximate:
            return None  # "a few"
        listed = food is not None and not countable(food.name) and not value.article
        if value.best <= MOST_COUNTED and (of or listed):
            earlier = [
                m
                for c in scene.clauses
                for m in c.of(AMOUNT)
                if m.end <= mark.start and m.value.unit not in (None, "piece", "percent", "g")
            ]
            if earlier:
                return str(max(earlier, key=lambda m: m.end).value.unit)
        if row is not None and row.amount.unit is not None and row.amount.noun is None:
            counted = row.amount.unit == "piece"
            return "g" if counted and value.best > MOST_COUNTED else row.amount.unit
        if food is None or value.article:
            return None
        if state.volume_unit and food.name.split()[-1] in liquids() and value.best > MOST_COUNTED:
            return state.volume_unit
        if state.weighing and value.best >= 3 and not (food.plural or countable(food.name)):
            return "g"
        return None

    def _shared(
        self, scene: Scene, mark: Mark, usable: Sequence[Mark], paired: set[Mark]
    ) -> Amount | None:
        """An amount that several foods share: "100 g each of A, B and C", "a pinch of A and B"."""
        doc = scene.clauses[0].doc
        foods = [m for m in usable if m.label == FOOD]
        amounts = [m for m in usable if m.label == AMOUNT]
        for amount in amounts:
            if not amount.value.each and not _each_word(scene, amount):
                continue
            after = [f for f in foods if f.start >= amount.end]
            before = [f for f in foods if f.end <= amount.start]
            group = after if _before_foods(doc, amount, after) else before or after
            if mark in group:
                return self._spoken(scene, amount)
        index = foods.index(mark)
        if index == 0:
            return None
        previous = foods[index - 1]
        gap = [t.lower_ for t in doc[previous.end : mark.start]]
        if gap and gap[-1] in ("and", "&") and len(gap) <= 2:
            row = scene.rows.get(previous.start)
            if row is not None and row.amount.basis == "vague" and previous.end <= mark.start:
                return row.amount
        return None

    def _measure(
        self,
        scene: Scene,
        clause: Clause,
        row: RowState,
        food: FoodValue,
        amount: Amount,
        match: Pair,
    ) -> None:
        state = self.state
        value: AmountValue = match.amount.value
        start = min(match.amount.start, match.food.start)
        heard = self._heard(scene, start, max(match.amount.end, match.food.end))
        if self._is_use(row, value, food, match) or self._varies(scene, match.food, row):
            state.emit(ev.Mentioned(key=row.key, heard=heard))
            return
        how = "set"
        if row.measured and not self._copula(clause, match.food):
            corrected = cue_before(clause, match.amount.start, ("correction", "total"), reach=6)
            if same(row.amount, amount):
                state.emit(ev.Mentioned(key=row.key, heard=heard))
                return
            if value.more:
                how = "add"
            elif corrected is None and row.amount.basis != "vague":
                if dimension(row.amount) != dimension(amount) and is_exact(amount):
                    how = "also"
                elif not food.definite and row.utterance != state.utterance:
                    adding = any(
                        m.value.kind in ("add", "cook", "prep", "weak") for m in clause.of(ACTION)
                    )
                    how = "add" if adding else "set"
                elif amount.basis == "vague":
                    how = "add" if not food.definite else "use"
        if how == "use":
            state.emit(ev.Mentioned(key=row.key, heard=heard))
            return
        state.measure(row, amount, how, heard)

    def _varies(self, scene: Scene, mark: Mark, row: RowState) -> bool:
        """ "if you're on a big session, double the pasta": a variation, not the recipe."""
        known = row.measured and row.utterance < self.state.utterance
        return known and any(
            cue.start < mark.start for c in scene.clauses for cue in c.cues("condition", "lacking")
        )

    @staticmethod
    def _is_use(row: RowState, value: AmountValue, food: FoodValue, match: Pair) -> bool:
        """ "half the butter", "a bit of that yoghurt": part of a row that is measured already."""
        if not row.measured or not food.definite or value.more:
            return False
        return (value.unit in (None, "piece") and value.noun is None and value.best < 1) or (
            value.vague is not None and is_exact(row.amount) and match.before
        )

    def _relate(
        self,
        scene: Scene,
        row: RowState,
        relation: RelativeValue,
        match: Pair | None,
        heard: tuple[Heard, ...],
    ) -> None:
        state = self.state
        if relation.of_rest or (match is not None and self._varies(scene, match.food, row)):
            state.emit(ev.Mentioned(key=row.key, heard=heard))
            return
        base = self._reference(relation.reference, row)
        if base is None or match is None:
            return
        doc = scene.clauses[0].doc
        said = doc[match.amount.start : match.amount.end].text
        whole = self._heard(scene, match.amount.start, match.amount.end)
        state.emit(
            ev.Related(key=row.key, to=base.key, factor=relation.factor, said=said, heard=whole)
        )
        row.amount = scaled(base.amount, relation.factor, said)
        state.last_measured = row

    def _reference(self, text: str | None, row: RowState) -> RowState | None:
        state = self.state
        if text:
            words = [w for w in text.lower().split() if w not in ("the", "of", "as", "that")]
            name = " ".join(words)
            for known in reversed(state.living()):
                if known is not row and (
                    known.name == name
                    or related(name, known.name)
                    or name.rstrip("s") == known.name
                ):
                    return known
        last = state.last_measured
        return last if last is not row else None

    def _left_over(self, scene: Scene, mark: Mark, usable: Sequence[Mark]) -> None:
        """An amount without a food of its own: about the topic, if anything."""
        state = self.state
        if isinstance(mark.value, RelativeValue):
            return
        value: AmountValue = mark.value
        if value.article or value.each or _each_word(scene, mark) or value.best <= 0:
            return
        clause = scene.clauses[scene.clause_at(mark.start)]
        heard = self._heard(scene, mark.start, mark.end)
        lone = self._lone(clause)
        if state.asked is not None and lone:
            row = self._new_row(state.asked, heard)
            state.asked = None
        else:
            found = self._topic_for(scene, mark, lone)
            if found is None:
                return
            row = found
        corrected = cue_before(clause, mark.start, ("correction",), reach=4) is not None
        total = cue_before(clause, mark.start, ("total",), reach=5) is not None or any(
            0 <= c.start - mark.end <= 2 for c in clause.cues("total")
        )
        bare = value.unit is None and value.vague is None
        if bare and value.more and row.amount.unit not in ("g", "ml"):
            return
        if self._yields(clause, mark) or (bare and not row.measured and not lone):
            return
        if bare and row.amount.basis == "vague" and not (corrected and lone):
            return
        again = lone and state.utterance - row.utterance <= 1
        if bare and row.measured and not (corrected or total or value.more or again):
            return
        amount = self._spoken(scene, mark, row=row)
        if amount is None:
            return
        checked = row.measured and not value.more and not corrected and is_exact(amount)
        if checked and not compatible(row.name, row.amount, amount):
            return
        how = self._how(clause, mark, row, amount, corrected or (bare and again), total)
        if how is None:
            state.emit(ev.Mentioned(key=row.key, heard=heard))
        else:
            state.measure(row, amount, how, heard)

    def _how(
        self,
        clause: Clause,
        mark: Mark,
        row: RowState,
        amount: Amount,
        corrected: bool,
        total: bool,
    ) -> str | None:
        """set, add, also, or None for an amount that only uses or repeats what is there."""
        if not row.measured:
            return "set"
        if mark.value.more and not total:
            return "add"
        if total and self._sums(row, amount):
            return None
        if corrected or total or row.amount.basis == "vague":
            return "set"
        if dimension(amount) != dimension(row.amount) and is_exact(amount):
            return "also"
        if same(amount, row.amount) or mark.value.vague is not None:
            return None
        if (amount.best or 0) < (row.amount.best or 0) and amount.unit == row.amount.unit:
            return None
        return "set" if self._restates(clause, mark) else None

    @staticmethod
    def _yields(clause: Clause, mark: Mark) -> bool:
        """ "it makes about a kilo": what the dish comes to, not an ingredient."""
        before = [t.lower_ for t in clause.doc[max(clause.start, mark.start - 5) : mark.start]]
        return any(w in ("makes", "yields", "gives", "making", "for") for w in before)

    def _sums(self, row: RowState, amount: Amount) -> bool:
        """ "400 of haddock and 400 of cod, so 800 in all": what several rows come to."""
        others = [r.amount for r in self.state.recent[-4:] if r is not row]
        sums = 0.0
        for other in reversed(others):
            if other.unit != amount.unit or other.best is None:
                break
            sums += other.best
            if abs(sums + (row.amount.best or 0) - (amount.best or 0)) < 0.5:
                return True
        return False

    @staticmethod
    def _lone(clause: Clause) -> bool:
        """A clause that holds amounts and nothing else that matters ("a whole bottle, 500 ml")."""
        amounts = {i for m in clause.of(AMOUNT, TIME) for i in range(m.start, m.end)}
        return not clause.of(FOOD) and all(
            t.is_punct
            or t.i in amounts
            or t.tag_ in ("UH", "RB", "CC", "IN", "DT", "_SP", "JJ", "VBN")
            for t in clause.doc[clause.start : clause.end]
        )

    def _topic_for(self, scene: Scene, mark: Mark, lone: bool) -> RowState | None:
        """The row that a left-over amount speaks of: the last one named before it."""
        state = self.state
        named = [start for start in scene.rows if start < mark.start]
        if named:
            return scene.rows[max(named)]
        clause = scene.clauses[scene.clause_at(mark.start)]
        topic = state.topic
        if topic is None or not topic.alive:
            return None
        value: AmountValue = mark.value
        if pronoun_after(clause.doc, mark) or self._restates(clause, mark) or value.more:
            return topic
        if cue_before(clause, mark.start, ("correction", "total"), reach=6):
            return topic
        near = state.utterance - topic.utterance <= 2
        if lone and near:
            return topic
        # "Then salt. I put in sixty grams."
        waiting = near and not topic.measured and not clause.of(FOOD)
        return topic if waiting and value.unit not in (None, "piece") else None

    @staticmethod
    def _restates(clause: Clause, mark: Mark) -> bool:
        before = clause.doc[max(clause.start, mark.start - 6) : mark.start]
        verbs = any(m.value.kind == "weigh" for m in clause.of(ACTION) if m.end <= mark.start)
        return verbs or any(t.lower_ in _RESTATING for t in before)

    def _bare_units(self, scene: Scene) -> None:
        """ "a teaspoon, no, tablespoon": the number stays, the unit changes."""
        state = self.state
        for clause in scene.clauses:
            for cue in clause.cues("correction"):
                i = cue.end
                while i < clause.end and clause.doc[i].lower_ in (",", "a", "the", "not"):
                    i += 1
                words = [t.lower_ for t in clause.doc[i : clause.end]]
                hit = unit_words().at(words, 0) if words else None
                row = state.last_measured
                if hit is None or row is None or not is_exact(row.amount):
                    continue
                if any(m.start <= i < m.end for m in clause.of(AMOUNT)):
                    continue
                unit = hit[1]
                said = clause.doc[i : i + hit[0]].text
                amount = row.amount.model_copy(update={"unit": unit.unit, "said": said})
                if unit.best == 1:
                    heard = self._heard(scene, i, i + hit[0])
                    state.measure(row, amount, "set", heard)

    # -- swaps, options, negations, mis-hearings ------------------------------------

    def _swap(
        self,
        scene: Scene,
        mark: Mark,
        food: FoodValue,
        role: Role,
        amount: Amount | None,
        heard: tuple[Heard, ...],
    ) -> None:
        state = self.state
        original, name = self._replaced(scene, food, role)
        if name is None or name == food.name:
            return
        if original is not None and original.swap_for:
            name = original.swap_for
        if any(r.name == food.name and r.swap_for == name for r in state.living()):
            return
        row = RowState(
            state.key("r"),
            food.name,
            original.component if original else state.component,
            swap_for=name,
            utterance=state.utterance,
        )
        state.rows.append(row)
        state.emit(
            ev.Named(
                key=row.key,
                name=food.name,
                component=row.component,
                state=food.state,
                preparation=food.preparation,
                swap_for=name,
                condition=role.condition,
                heard=heard,
            )
        )
        if amount is None and original is not None and original.measured:
            amount = original.amount
        if amount is not None:
            state.emit(ev.Measured(key=row.key, amount=amount, how="set", heard=heard))
            row.amount = amount

    def _replaced(
        self, scene: Scene, food: FoodValue, role: Role
    ) -> tuple[RowState | None, str | None]:
        """The row that a swap replaces and its name.

        A food that was named as the one replaced counts as it is; otherwise the
        most alike of the latest rows, and the topic if none is like it.
        """
        state = self.state
        if role.for_food is not None and role.explicit:
            value: FoodValue = role.for_food.value
            row = scene.rows.get(role.for_food.start) or state.find(
                value, state.component, measured=False
            )
            return row, row.name if row else value.name
        rows = [r for r in state.recent if r.alive and not r.swap_for and r.name != food.name]
        best = max(
            enumerate(rows),
            key=lambda pair: (likeness(food.name, pair[1].name), pair[0]),
            default=None,
        )
        if best is not None and likeness(food.name, best[1].name) > 0:
            return best[1], best[1].name
        topic = state.topic
        return topic, topic.name if topic is not None else None

    def _negate(
        self, scene: Scene, scopes: Sequence[Sequence[range]], roles: dict[Mark, Role]
    ) -> None:
        for n, clause in enumerate(scene.clauses):
            if (
                scene.moods[n] != "recipe"
                or clause.cues("yet")
                or clause.doc[clause.start].lower_ == "if"
            ):
                continue
            for scope in scopes[n]:
                certain = drops(clause, scope)
                for mark in clause.of(FOOD):
                    row = self._known(mark) if mark.start in scope else None
                    if row is None or mark in roles or not self._unconditional(scene):
                        continue
                    # "I also put a sausage … so no sausage": taken back while it is fresh
                    recent = self.state.utterance - row.utterance <= TAKEN_BACK
                    plain = clause.doc[scope.start].lower_ == "no" and recent
                    if certain or plain:
                        row.alive = False
                        heard = self._heard(scene, scope.start, mark.end)
                        self.state.emit(ev.Dropped(key=row.key, heard=heard))

    @staticmethod
    def _unconditional(scene: Scene) -> bool:
        return not any(c.cues("condition", "lacking") for c in scene.clauses)

    def _options(self, scene: Scene, roles: dict[Mark, Role]) -> None:
        """Optional extras and things for serving: rows beside an option cue or an if-clause."""
        state = self.state
        if any(c.cues("lacking") for c in scene.clauses):
            return
        fresh = {
            start: r
            for start, r in scene.rows.items()
            if r.utterance == state.utterance and not r.optional and not r.swap_for
        }
        for n, clause in enumerate(scene.clauses):
            if scene.moods[n] not in ("recipe", "hypothetical"):
                continue
            for cue in clause.cues("optional", "serving", "condition"):
                rows = self._meant(scene, n, cue, fresh)
                for row in rows:
                    if row.optional:
                        continue
                    row.optional = True
                    condition = self._condition(scene, n, cue)
                    heard = self._heard(scene, cue.start, cue.end)
                    state.emit(
                        ev.Described(key=row.key, optional=True, condition=condition, heard=heard)
                    )

    @staticmethod
    def _condition(scene: Scene, n: int, cue: Mark) -> str | None:
        clause = scene.clauses[n]
        if cue.value == "serving":
            return None
        text = clause.doc[cue.start : clause.end].text.strip(" ,.;")
        return text if text.lower().startswith(("if", "unless", "for", "when", "in case")) else None

    @staticmethod
    def _meant(scene: Scene, n: int, cue: Mark, fresh: Mapping[int, RowState]) -> list[RowState]:
        """The rows that an option cue speaks of.

        "optional: a thumb of ginger" looks ahead; "icing sugar if you want" and
        "if you want, bacon" take the clause before or after the if-clause.
        """
        clauses = scene.clauses
        clause = clauses[n]
        here = [r for s, r in fresh.items() if clause.start <= s < clause.end]
        after = [r for s, r in fresh.items() if s >= cue.end]
        if cue.value == "serving":
            return here
        if cue.value == "optional" and cue.start - clauses[0].start <= 1:
            return after
        if cue.value == "optional" and here:
            return here
        before = [
            (s, r) for s, r in fresh.items() if n > 0 and clauses[n - 1].start <= s < cue.start
        ]
        if before:
            last = max(s for s, _ in before)
            joined = [r for s, r in before if last - s <= JOINED]
            return joined if cue.value == "optional" else joined[-1:]
        if cue.value == "condition" and cue.start - clauses[0].start <= 2:
            return after
        return here

    def _misheard(self, scene: Scene, mark: Mark) -> None:
        """Tell of a word that was put right, with the row that it named, if any."""
        row = next((r for start, r in scene.rows.items() if mark.start <= start < mark.end), None)
        self.state.emit(
            ev.Misheard(
                word=mark.value.heard,
                suggestion=mark.value.suggestion,
                key=row.key if row else None,
                heard=self._heard(scene, mark.start, mark.end),
            )
        )

    def _heard(self, scene: Scene, start: int, end: int) -> tuple[Heard, ...]:
        span = scene.clauses[0].doc[start:end]
        return self.state.heard(scene.base, span.start_char, span.end_char)


@cache
def liquids() -> frozenset[str]:
    """Last words of the names of liquids (liquids.csv): a bare number of them is a volume."""
    return frozenset(row["word"] for row in rows("liquids.csv"))


def _references(clauses: Sequence[Clause]) -> set[Mark]:
    """Foods that a relative amount only compares with ("as much water as *lentils*")."""
    found: set[Mark] = set()
    for clause in clauses:
        for relative in clause.of(RELATIVE):
            if not relative.value.reference:
                continue
            for food in clause.of(FOOD):
                near = 0 <= food.start - relative.end <= 8
                before = clause.doc[food.start - 1].lower_ if food.start else ""
                if near and before in ("as", "than", "the") and food.start > relative.end:
                    found.add(food)
    return found


def _bare_article(amount: Mark) -> bool:
    """ "a coffee": the article alone is no measure; "teaspoon of oil" is."""
    value = amount.value
    return (
        isinstance(value, AmountValue)
        and value.article
        and value.unit in (None, "piece")
        and (value.noun is None)
    )


def _shape(clause: Clause, mark: Mark) -> bool:
    """ "in big lumps", "into four pieces": how it is cut, not how much of it."""
    if mark.start <= clause.start or clause.doc[mark.start - 1].lower_ not in ("in", "into"):
        return False
    value = mark.value
    return value.vague is not None or value.unit == "piece" or value.unit is None


def _each_word(scene: Scene, amount: Mark) -> bool:
    """ "100 of each", "a spoon each": the word right after the amount."""
    doc = scene.clauses[0].doc
    after = [t.lower_ for t in doc[amount.end : amount.end + 2]]
    return "each" in after[:1] or after == ["of", "each"]


def _before_foods(doc: Doc, amount: Mark, foods: Sequence[Mark]) -> bool:
    """Whether "each" looks forward: "100 g each of A and B", "1 tsp each A and B"."""
    i = amount.end
    while i < len(doc) and doc[i].lower_ in ("each", "of", "the"):
        i += 1
    return any(f.start - i <= 2 for f in foods)
