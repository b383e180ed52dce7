"""Ingredient events of one utterance: who is named, how much, instead of what.

The walk goes over the utterance's foods and left-over amounts in the order in
which they were said. What a food needs to become a row is evidence: an amount,
a verb that uses it, a listing phrase, or a fragment that is nothing but a list.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.evidence import Evidence, told_by_kind
from hobnote.following.leftovers import LeftOvers
from hobnote.following.measuring import Measuring
from hobnote.following.moods import cue_before, negated, within
from hobnote.following.offering import Offering
from hobnote.following.options import Options
from hobnote.following.overruled import settled, unpaired
from hobnote.following.pairing import Pair, pair
from hobnote.following.roles import Role
from hobnote.following.scene import (
    Scene,
    Walker,
    bare_article,
    copula,
    known,
    references,
    shape,
)
from hobnote.following.state import RowState, State
from hobnote.following.swaps import swap_roles
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    PART,
    RELATIVE,
    TIME,
    UNTIL,
    FoodValue,
    Mark,
    RelativeValue,
)
from hobnote.marking.tables import short_names
from hobnote.pantry.words import singular
from hobnote.record import Heard

_LIKENING: Final = frozenset(
    {"like", "consistency", "texture", "thickness", "size", "colour", "color", "shape", "smell",
     "smells", "taste", "tastes", "looks", "resembles", "than"}
)  # fmt: skip


class Ingredients(Walker):
    """Turns the foods and amounts of an utterance into events on ``state``."""

    def __init__(self, state: State, dishes: Mapping[str, str]) -> None:
        super().__init__(state)
        self.dishes = dishes
        self.evidence = Evidence(state, dishes)
        self.measuring = Measuring(state)
        self.offering = Offering(state)
        self.options = Options(state)
        self.left_overs = LeftOvers(self.measuring, self._new_row)

    def take(self, scene: Scene) -> None:
        """Emit the ingredient events of one utterance."""
        clauses = scene.clauses
        doc = clauses[0].doc
        scopes = [negated(c) for c in clauses]
        roles = swap_roles(clauses, self._standing)
        compared = references(clauses)
        replaced = {a: settled(doc, a, b) for a, b in scene.replaced.items()}
        stand = set(scene.replaced.values())
        self.measuring.final = set(replaced.values())
        self._announce(scene, compared)
        usable = [
            m
            for n, c in enumerate(clauses)
            for m in c.of(FOOD, AMOUNT, RELATIVE)
            if not (m.label == AMOUNT and (m.value.best <= 0 or m.value.unit == "percent"))
            and not (m in compared and known(self.state, m) is not None)
            and self._speaks(scene, n, m, scopes[n], roles)
        ]
        usable = told_by_kind(usable)
        self._answers(usable, roles)
        pairs = [
            p if p.amount not in replaced else Pair(replaced[p.amount], p.food, p.score, False)
            for p in pair(doc, [m for m in usable if m not in stand])
        ]
        pairs += unpaired(usable, replaced, pairs)
        by_food = {p.food: p for p in pairs}
        paired = {p.amount for p in pairs}
        self.offering.negate(scene, scopes, roles)
        for mark in sorted(usable, key=lambda m: m.start):
            if mark.label == FOOD:
                self._food(scene, mark, by_food.get(mark), roles.get(mark), usable, paired)
            elif mark in replaced and replaced[mark] not in paired:
                self.left_overs.recall(scene, mark, replaced[mark])
            elif mark not in paired and mark not in replaced and mark not in stand:
                self.left_overs.take(scene, mark)
        self.measuring.bare_units(scene)
        self._implied(scene, scopes)
        self.options.take(scene)
        self.state.lacking = self._asks_for(scene)

    def close(self) -> None:
        """Foods that were announced and never came up again are in the dish all the same."""
        for food, heard in self.state.announced:
            if food.known and not self.evidence.met(food):
                self._new_row(food, heard)
        self.state.announced.clear()

    def _announce(self, scene: Scene, compared: set[Mark]) -> None:
        """ "twice as much water as rice": rice is in the dish, its amount to come."""
        for mark in sorted(compared, key=lambda m: m.start):
            food: FoodValue = mark.value
            doc = scene.clauses[0].doc
            said = scene.moods[scene.clause_at(mark.start)] == "recipe" and food.known
            said = said and doc[mark.start - 1].lower_ in ("as", "than")
            if said and food.name not in self.dishes and known(self.state, mark) is None:
                self._new_row(food, self.heard(scene, mark.start, mark.end))

    def _answers(self, usable: Sequence[Mark], roles: dict[Mark, Role]) -> None:
        """ "No feta? Cottage cheese.": the answer to a question about a lack is a swap."""
        lacking = self.state.lacking
        foods = [m for m in usable if m.label == FOOD]
        if lacking is None or not foods:
            return
        role = roles.get(foods[0])
        if role is not None and (role.kind != "swap" or role.for_food is not None):
            return
        if foods[0].value.name != lacking.name:
            roles[foods[0]] = Role("swap", None, f"no {lacking.name}", of_row=lacking)

    def _asks_for(self, scene: Scene) -> RowState | None:
        """The row that an utterance like "No feta?" or "Can't get golden syrup?" is about."""
        clauses = scene.clauses
        if clauses[-1].doc[clauses[-1].end - 1].text != "?":
            return None
        if not any(c.cues("negation", "lacking") for c in clauses):
            return None
        rows = (known(self.state, m) for c in clauses for m in c.of(FOOD))
        return next((r for r in rows if r is not None and not r.swap_for), None)

    def _implied(self, scene: Scene, scopes: Sequence[Sequence[range]]) -> None:
        """ "butter the tin", "salt the water": the verb names a food without an amount."""
        for n, clause in enumerate(scene.clauses):
            for action in clause.of(ACTION):
                name = action.value.implies
                if name is None or scene.moods[n] != "recipe" or within(action.start, scopes[n]):
                    continue
                if action.value.form == "past" or clause.cues("yet", "condition"):
                    continue
                food = FoodValue(name)
                if self.state.find(food, self.state.component, measured=False) is None:
                    self._new_row(food, self.heard(scene, action.start, action.end))

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
        offered = role is not None and role.kind == "swap"
        offered = offered and (
            mood in ("recipe", "hypothetical")
            or (mood == "past" and role is not None and self._fitting(clause, role, mark))
        )
        optional = bool(clause.cues("optional", "serving"))
        if mood != "recipe" and not offered and not (mood == "hypothetical" and optional):
            return False
        if (role is not None and role.kind in ("out", "original")) or mark.start in scene.parts:
            return False
        if within(mark.start, scopes) and not (
            offered and role is not None and (role.explicit or role.tentative)
        ):
            return False
        if mark.label == AMOUNT and shape(clause, mark):
            return False
        if mark.label == AMOUNT and any(t.start <= mark.start < t.end for t in clause.of(TIME)):
            return False
        if any(u.start < mark.start < u.end for u in clause.of(UNTIL)):
            return mark.label == FOOD and known(self.state, mark) is not None
        if mark.label == FOOD and any(
            p.start <= mark.start < p.end
            and any(c.end == p.end for c in clause.cues("component_open"))
            for p in clause.of(PART)
        ):
            return False
        if mark.label == FOOD and cue_before(clause, mark.start, ("becoming",), reach=3):
            return False  # "they turn into ham"
        if mark.label == FOOD:
            if mark.start > clause.start and clause.doc[mark.start - 1].lower_ == "per":
                return False  # "125 grams per loaf"
            before = clause.doc[max(clause.start, mark.start - 4) : mark.start]
            words = [t.lower_ for t in before]
            if any(w in _LIKENING for w in words) and "i" not in words:
                return False
        return True

    def _standing(self, mark: Mark) -> bool:
        """Whether the food is a row already, from an earlier utterance."""
        row = known(self.state, mark)
        return row is not None and row.alive and not row.swap_for

    def _fitting(self, clause: Clause, role: Role, mark: Mark) -> bool:
        """ "she's vegan so she makes it with soya yoghurt": an offer, told as a story."""
        row = known(self.state, mark)
        if role.explicit and role.for_food is not None and self._standing(role.for_food):
            # "my wife uses lentils instead of the mince", not "once he used veal"
            return not any(t.tag_ == "VBD" for t in clause.doc[clause.start : mark.start])
        return role.tentative and mark.label == FOOD and self.offering.fits(mark.value, row)

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
        food = self._full(mark.value)
        clause = scene.clauses[scene.clause_at(mark.start)]
        heard = self.heard(scene, mark.start, mark.end)
        amount = self.measuring.amount(scene, match, food)
        relation = match.amount.value if match and match.amount.label == RELATIVE else None
        if amount is None and relation is None:
            amount = self.measuring.shared(scene, mark, usable, paired)
            amount = amount or self.measuring.halved(scene, mark)
        more = match is not None and (
            getattr(match.amount.value, "more", False) or copula(clause, mark)
        )
        row = state.find(
            food, state.component, measured=amount is not None, amount=amount, more=more
        )
        if row is None and amount is not None and role is None:
            row = self._corrected(scene, food)
        if role is not None and role.tentative and not self.offering.fits(food, row):
            role = None
        if role is not None and role.kind == "swap":
            self.offering.swap(scene, mark, food, role, amount, heard)
            return
        if self._renames(clause, mark, match, row):
            return
        if row is None and match is None and self._its_part(mark, usable):
            return
        if row is None:
            inside = match is not None and mark.start < match.amount.start < mark.end
            weak = match is not None and bare_article(match.amount) and not inside
            unsaid = (amount is None or weak) and relation is None
            if unsaid and not self.evidence.brings_in(scene, clause, mark, usable, paired):
                if self.evidence.fragment(clause) and scene.moods[0] == "recipe":
                    state.asked, state.asked_at = food, state.utterance
                return
            if self.evidence.is_dish(scene, clause, food, None if weak else amount, match):
                return
            if unsaid and self.evidence.announces(clause):
                state.announced.append((food, heard))
                return
            if self.evidence.reckoned(scene, clause, mark, amount):
                return
            if self.evidence.asks(clause, amount):
                state.asked, state.asked_at = food, state.utterance
                return
            if weak and self.evidence.kind(food.name) == "dish":
                amount = None  # "a green salad on the side" counts nothing
            row = self._new_row(food, heard)
        else:
            self._again(row, food, heard)
        scene.rows[mark.start] = row
        state.touch(row)
        if isinstance(relation, RelativeValue):
            self.measuring.relate(scene, row, relation, match, heard)
        elif amount is not None and match is not None:
            self.measuring.measure(scene, clause, row, food, amount, match)
        elif amount is not None:
            state.measure(row, amount, "set", heard) if not row.measured else None

    @staticmethod
    def _its_part(mark: Mark, usable: Sequence[Mark]) -> bool:
        """ "Lime, juice of half": the fruit is only named for its juice."""
        after = next((m for m in usable if m.label == FOOD and m.start >= mark.end), None)
        if after is None or after.start - mark.end > 2:
            return False
        return after.value.name in (f"{mark.value.name} juice", f"{mark.value.name} zest")

    def _full(self, food: FoodValue) -> FoodValue:
        """ "thighs" are chicken thighs unless other thighs are in the dish."""
        name = short_names("new").get(food.name)
        if name is None:
            return food
        alike = {r.name for r in self.state.living() if r.name.endswith(food.name)}
        if alike and alike != {name}:
            return food
        return replace(food, name=name, known=True)

    def _corrected(self, scene: Scene, food: FoodValue) -> RowState | None:
        """ "*chipotle 15": a correcting line may name a row by any word of its name."""
        first = scene.clauses[0]
        starred = first.doc[first.start].text.startswith("*")
        if not starred and not any(c.start == first.start for c in first.cues("correction")):
            return None
        wanted = set(food.name.split())
        rows = [r for r in self.state.living() if wanted <= set(r.name.split())]
        return rows[-1] if rows else None

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
        longer = len(food.name.split()) > len(row.name.split())
        fuller = longer and (row.name in food.name or singular(row.name) in food.name.split())
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
