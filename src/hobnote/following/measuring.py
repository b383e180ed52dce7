"""How much of it: amounts of rows as said, shared, left elliptic, repeated or compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Final

from hobnote.following import events as ev
from hobnote.following.amounts import dimension, is_exact, less, same, scaled, times
from hobnote.following.clauses import Clause
from hobnote.following.kinds import countable
from hobnote.following.moods import cue_before
from hobnote.following.pairing import Pair, of_food, pronoun_after
from hobnote.following.quantities import MOST_COUNTED, amount_of
from hobnote.following.scene import Scene, Walker, before_foods, copula, each_word, of_each
from hobnote.following.state import RowState, State, related
from hobnote.marking.marks import ACTION, AMOUNT, FOOD, AmountValue, FoodValue, Mark, RelativeValue
from hobnote.marking.tables import rows, unit_words, word_list
from hobnote.record import Amount, Heard


@cache
def liquids() -> frozenset[str]:
    """Last words of the names of liquids (liquids.csv): a bare number of them is a volume."""
    return frozenset(row["word"] for row in rows("liquids.csv"))


_GLASSES: Final = frozenset({"glass", "mug", "pot", "scoop", "tin", "can", "pack", "handful"})
_TINS: Final = frozenset({"tin", "can"})


def _inside(amount: Mark, food: Mark) -> bool:
    """Whether the amount was said within the food's own words ("juice of *a* lemon")."""
    return food.start < amount.start < food.end


class Measuring(Walker):
    """Reads the amounts of a scene onto rows."""

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.final: set[Mark] = set()
        """Amounts of the utterance that overrule what was said before."""

    def amount(self, scene: Scene, match: Pair | None, food: FoodValue) -> Amount | None:
        if match is None or not isinstance(match.amount.value, AmountValue):
            return None
        row = self.state.find(food, self.state.component, measured=False)
        return self.spoken(scene, match.amount, food, row)

    def spoken(
        self, scene: Scene, mark: Mark, food: FoodValue | None = None, row: RowState | None = None
    ) -> Amount | None:
        """The amount as the record keeps it; a bare number gets its unit from what went before."""
        state = self.state
        doc = scene.clauses[0].doc
        value: AmountValue = mark.value
        said = doc[mark.start : mark.end].text
        of = of_food(doc, mark) and not pronoun_after(doc, mark)
        unit = self._elided_unit(scene, mark, food, row, of)
        if unit is not None:
            value = replace(value, unit=unit)
        elif of and value.vague is None and value.best <= MOST_COUNTED:
            value = self._same_glass(scene, mark)
        amount = amount_of(value, said, weighing=state.weighing, of=of)
        if amount is not None and amount.basis == "weighed":
            state.weighing = True
        if amount is not None and amount.unit in ("ml", "l"):
            state.volume_unit = "ml"
        return amount

    @staticmethod
    def _same_glass(scene: Scene, mark: Mark) -> AmountValue:
        """ "Two glasses of milk, three of flour": the container goes on, too."""
        value: AmountValue = mark.value
        if value.unit is not None:
            return value
        earlier = [m for c in scene.clauses for m in c.of(AMOUNT) if m.end <= mark.start]
        last = earlier[-1].value if earlier else None
        if last is None or last.unit != "piece" or last.noun not in _GLASSES:
            return value
        return replace(value, unit="piece", noun=last.noun)

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
        name = food.name if food is not None else row.name if row is not None else ""
        loose = bool(name) and not countable(name) and not value.article
        if loose and any(m.value.unit == "percent" for c in scene.clauses for m in c.of(AMOUNT)):
            return "g"  # "salt, two percent, so eight"
        listed = food is not None and loose
        if value.best <= MOST_COUNTED and (of or listed):
            earlier = [
                m
                for c in scene.clauses
                for m in c.of(AMOUNT)
                if m.end <= mark.start
                and m.value.unit not in (None, "piece", "percent", "g", "kcal", "kJ")
            ]
            if earlier:
                return str(max(earlier, key=lambda m: m.end).value.unit)
        if row is not None and row.amount.unit is not None and row.amount.noun is None:
            counted = row.amount.unit == "piece"
            if row.amount.unit in ("kg", "l") and value.best > MOST_COUNTED:
                return "g" if row.amount.unit == "kg" else "ml"  # "half a kilo … call it 700"
            return "g" if counted and value.best > MOST_COUNTED else row.amount.unit
        if not name or value.article:
            return None
        if state.volume_unit and name.split()[-1] in liquids() and value.best > MOST_COUNTED:
            return state.volume_unit
        plural = food is not None and food.plural
        if state.weighing and value.best >= 3 and loose and not plural:
            return "g"
        return None

    def shared(
        self, scene: Scene, mark: Mark, usable: Sequence[Mark], paired: set[Mark]
    ) -> Amount | None:
        """An amount that several foods share: "100 g each of A, B and C", "a pinch of A and B"."""
        doc = scene.clauses[0].doc
        foods = [m for m in usable if m.label == FOOD]
        amounts = [m for m in usable if m.label == AMOUNT]
        for amount in amounts:
            if not amount.value.each and not each_word(scene, amount):
                continue
            after = [f for f in foods if f.start >= amount.end]
            before = [f for f in foods if f.end <= amount.start]
            group = after if before_foods(doc, amount, after) else before or after
            if mark in group:
                return self.spoken(scene, amount)
        index = foods.index(mark)
        if index + 1 < len(foods):  # "the zest and juice of a lemon"
            of = next((a for a in amounts if _inside(a, foods[index + 1])), None)
            gap = [t.lower_ for t in doc[mark.end : foods[index + 1].start]]
            if of is not None and gap and gap[-1] in ("and", "&", "+", "the") and len(gap) <= 2:
                return self.spoken(scene, of)
        if index == 0:
            return None
        previous = foods[index - 1]
        gap = [t.lower_ for t in doc[previous.end : mark.start]]
        if gap and gap[-1] in ("and", "&") and len(gap) <= 2:
            row = scene.rows.get(previous.start)
            if row is not None and row.amount.basis == "vague" and previous.end <= mark.start:
                return row.amount
        return None

    def halved(self, scene: Scene, mark: Mark) -> Amount | None:
        """ "half lime", "half onion": half a piece, where the article was left out."""
        doc = scene.clauses[0].doc
        i = mark.start - 1
        inside = next((t.i for t in doc[mark.start : mark.end] if t.lower_ == "half"), None)
        if inside is not None and inside > mark.start and doc[inside - 1].lower_ == "of":
            said = doc[inside : mark.end].text  # "juice of half lime"
            return Amount(low=0.5, best=0.5, high=0.5, unit="piece", basis="counted", said=said)
        if i < 0 or doc[i].lower_ not in ("half", "quarter") or mark.value.plural:
            return None
        before = doc[i - 1].lower_ if i else ""
        after_number = before == "and" and i > 1 and doc[i - 2].like_num
        if before in ("the", "other", "first", "second") or after_number:
            return None
        if not countable(mark.value.name):
            return None
        part = 0.5 if doc[i].lower_ == "half" else 0.25
        said = doc[i : mark.end].text
        return Amount(low=part, best=part, high=part, unit="piece", basis="counted", said=said)

    def measure(
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
        each = value.each and not match.before and dimension(amount) in ("mass", "volume")
        end = max(match.amount.end, match.food.end)
        each = each and not of_each(scene, match.amount)
        each = each or self._per_portion(clause, end)
        if each and state.eaters:  # "parmesan on top, twenty grams each"
            amount = times(amount, state.eaters)
        start = min(match.amount.start, match.food.start)
        in_each = each_word(scene, match.amount) or self._per_portion(clause, end)
        if in_each and row.measured and amount.unit == row.amount.unit and not value.more:
            state.emit(ev.Mentioned(key=row.key, heard=self.heard(scene, start, end)))
            return  # "ten eggs … one egg in each"
        heard = self.heard(scene, start, max(match.amount.end, match.food.end))
        if match.amount in self.final:
            state.measure(row, amount, "set", heard)
            return
        if self._is_use(row, value, food, match, amount) or self.varies(scene, match.food, row):
            state.emit(ev.Mentioned(key=row.key, heard=heard))
            return
        how = "set"
        if row.measured and not copula(clause, match.food):
            corrected = cue_before(clause, match.amount.start, ("correction", "total"), reach=6)
            if value.more and corrected is None:
                how = "add"
            elif same(row.amount, amount):
                state.emit(ev.Mentioned(key=row.key, heard=heard))
                return
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
        if amount.noun in _TINS and food.state is None:
            state.emit(ev.Described(key=row.key, state="tinned"))

    @staticmethod
    def _per_portion(clause: Clause, end: int) -> bool:
        """ "80 g of rice per person": what follows says that it is for one."""
        after = [t for t in clause.doc[end : end + 4] if t.text != ","]
        words = [t.lower_ for t in after]
        reach = 1 if words[:1] in (["apiece"], ["each"]) else 2
        if reach == 2 and " ".join(words[:2]) not in word_list("per_portion"):
            return False
        # "a few shakes in each pot": of something else than eaters
        return words[reach - 1] != "each" or not any(
            t.tag_ in ("NN", "NNS") for t in after[reach : reach + 1]
        )

    def varies(self, scene: Scene, mark: Mark, row: RowState) -> bool:
        """ "if you're on a big session, double the pasta": a variation, not the recipe."""
        known = row.measured and row.utterance < self.state.utterance
        return known and any(
            cue.start < mark.start for c in scene.clauses for cue in c.cues("condition", "lacking")
        )

    @staticmethod
    def _is_use(
        row: RowState, value: AmountValue, food: FoodValue, match: Pair, amount: Amount
    ) -> bool:
        """Part of a row that is measured already.

        "Half the butter", "a bit of that yoghurt", "300 g of the potatoes" out of 2 kg.
        """
        if not row.measured or not food.definite or value.more:
            return False
        return (value.unit in (None, "piece") and value.noun is None and value.best < 1) or (
            value.vague is not None and is_exact(row.amount) and match.before
        ) or (match.before and is_exact(row.amount) and less(amount, row.amount))

    def relate(
        self,
        scene: Scene,
        row: RowState,
        relation: RelativeValue,
        match: Pair | None,
        heard: tuple[Heard, ...],
    ) -> None:
        state = self.state
        if relation.of_rest or (match is not None and self.varies(scene, match.food, row)):
            state.emit(ev.Mentioned(key=row.key, heard=heard))
            return
        base = self._reference(relation.reference, row)
        if base is None or match is None:
            return
        doc = scene.clauses[0].doc
        said = doc[match.amount.start : match.amount.end].text
        whole = self.heard(scene, match.amount.start, match.amount.end)
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

    def bare_units(self, scene: Scene) -> None:
        """ "a teaspoon, no, tablespoon": the number stays, the unit changes."""
        state = self.state
        for clause in scene.clauses:
            for cue in clause.cues("correction"):
                i = cue.end
                while i < clause.end and clause.doc[i].lower_ in (",", "a", "the", "not"):
                    i += 1
                words = [t.lower_ for t in clause.doc[i : clause.end]]
                hit = unit_words().at(words, 0) if words else None
                named = [start for start in scene.rows if start < cue.start]
                row = scene.rows[max(named)] if named else state.last_measured
                if hit is None or row is None or not is_exact(row.amount):
                    continue
                if any(m.start <= i < m.end for m in clause.of(AMOUNT)):
                    continue
                unit = hit[1]
                said = clause.doc[i : i + hit[0]].text
                amount = row.amount.model_copy(update={"unit": unit.unit, "said": said})
                if unit.best == 1:
                    heard = self.heard(scene, i, i + hit[0])
                    state.measure(row, amount, "set", heard)
