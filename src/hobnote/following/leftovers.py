"""Amounts without a food of their own: "it is about 300", "call it 100"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from hobnote.following import events as ev
from hobnote.following.amounts import dimension, is_exact, same, times
from hobnote.following.clauses import Clause
from hobnote.following.kinds import FARTHEST, MISTAKEN, compatible
from hobnote.following.measuring import Measuring
from hobnote.following.moods import cue_before
from hobnote.following.overruled import asserts
from hobnote.following.pairing import pronoun_after
from hobnote.following.quantities import GRAMS, LEAST_CONTENT, holds, unit_of
from hobnote.following.scene import Scene, Walker, bare_article, each_word, lone_amount, yields
from hobnote.following.state import RowState
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    PORTIONS,
    AmountValue,
    FoodValue,
    Mark,
    RelativeValue,
)
from hobnote.marking.tables import word_list
from hobnote.record import Amount, Bounds, Heard

_RESTATING: Final = frozenset(
    {"it", "that", "that's", "it's", "they", "those", "them", "which", "weighs", "'s",
     "there", "this", "these"}
)  # fmt: skip


_HEDGES: Final = frozenset({"about", "around", "roughly", "that", "'s", "thats", "is", "it", ","})
_WHOLE: Final = frozenset({None, "fillet", "block", "head", "bunch", "loaf", "joint", "rack"})
_SPOONS: Final = frozenset({"spoonful"})
_SPOON_UNITS: Final = frozenset({"tsp", "tbsp"})


class LeftOvers(Walker):
    """Finds what a left-over amount is about, if anything; ``new_row`` makes a row for a food."""

    def __init__(
        self,
        measuring: Measuring,
        new_row: Callable[[FoodValue, tuple[Heard, ...]], RowState],
    ) -> None:
        super().__init__(measuring.state)
        self.measuring = measuring
        self.new_row = new_row

    def take(self, scene: Scene, mark: Mark) -> None:
        """An amount without a food of its own: about the topic, if anything."""
        state = self.state
        if isinstance(mark.value, RelativeValue):
            self._other_half(scene, mark)
            return
        value: AmountValue = mark.value
        if bare_article(mark) or value.best <= 0:
            return
        told = scene.clauses[scene.clause_at(mark.start)].of(PORTIONS)
        if any(m.end <= mark.start for m in told):
            return  # "that's twenty-five bowls at fifty grams"
        if scene.clauses[0].doc[mark.start : mark.end].text.lower() in word_list("per_portion"):
            return
        if self._offered(scene, mark):
            return
        if value.each or each_word(scene, mark):
            self._each(scene, mark)
            return
        clause = scene.clauses[scene.clause_at(mark.start)]
        heard = self.heard(scene, mark.start, mark.end)
        lone = lone_amount(clause) or (
            (state.doubted or state.asked) is not None and asserts(clause, mark)
        )
        near = state.utterance - state.asked_at <= 1
        if state.asked is not None and near and (lone or self._opens(clause, mark)):
            row = self.new_row(state.asked, heard)
            state.asked = None
        else:
            found = self._topic_for(scene, mark, lone)
            if found is None:
                return
            row = found
        corrected = cue_before(clause, mark.start, ("correction",), reach=7) is not None
        corrected = corrected or (row is state.doubted and lone)
        corrected = corrected or (row.measured and self._was(clause, mark))
        if corrected and value.noun is not None and row.amount.noun != value.noun:
            # "actually three boxes": of what came in boxes
            alike = [r for r in state.living() if r.amount.noun == value.noun]
            row = alike[-1] if alike else row
        total = cue_before(clause, mark.start, ("total",), reach=5) is not None or any(
            0 <= c.start - mark.end <= 2 for c in clause.cues("total")
        )
        whole = self._pieces(scene, clause, mark, row)
        if whole is not None:
            state.measure(row, whole, "set", heard)
            return
        if self._spoon_kind(row, value):
            spoons = times(unit_of(value), row.amount.best or 1.0)
            state.measure(row, spoons, "set", heard)
            return
        total = total or self._hence(scene, clause, mark, row)
        bare = value.unit is None and value.vague is None
        content = bare and self._content(clause, mark, row)
        if content:
            bare, value = False, replace(value, unit="g")
            mark = replace(mark, value=value)
        if bare and value.more and row.amount.unit not in ("g", "ml"):
            return
        of_it = pronoun_after(clause.doc, mark)
        if yields(clause, mark) or (bare and not row.measured and not (lone or of_it)):
            return
        if bare and row.amount.basis == "vague" and not (corrected and lone):
            return
        again = lone and state.utterance - row.utterance <= 1
        extra = value.more or self._beside(clause, mark)
        if bare and row.measured and not (corrected or total or extra or again):
            return
        amount = self.measuring.spoken(scene, mark, row=row)
        if amount is None:
            return
        checked = row.measured and not value.more and is_exact(amount)
        farthest = MISTAKEN if corrected or self._for_all(row, amount) else FARTHEST
        if checked and not compatible(row.name, row.amount, amount, farthest):
            last = state.last_measured
            fits = last is not None and dimension(last.amount) == dimension(amount)
            if not corrected or last is None or last is row or not fits:
                return
            row = last  # "the salt in the lentils, a teaspoon. No, half a teaspoon."
        how = self._how(clause, mark, row, amount, corrected or (bare and again), total)
        if how is None:
            state.emit(ev.Mentioned(key=row.key, heard=heard))
        else:
            state.measure(row, amount, how, heard)

    def _other_half(self, scene: Scene, mark: Mark) -> None:
        """ "Juice of half now, other half at the end": the whole, after all."""
        row, relation = self.state.topic, mark.value
        if row is None or row.utterance != self.state.utterance or not relation.of_rest:
            return
        if relation.factor == 0.5 and (row.amount.best, row.amount.unit) == (0.5, "piece"):
            heard = self.heard(scene, mark.start, mark.end)
            self.state.measure(row, times(row.amount, 2.0), "set", heard)

    def _offered(self, scene: Scene, mark: Mark) -> bool:
        """ "Honey instead, but only seventy": the amount of a swap that was just offered."""
        before = [start for start in scene.offers if start < mark.start]
        if not before or any(max(before) < start < mark.start for start in scene.rows):
            return False
        row = scene.offers[max(before)]
        amount = self.measuring.spoken(scene, mark, row=row)
        if amount is None or not is_exact(amount) or dimension(amount) == "energy":
            return False
        if row.measured and not compatible(row.name, row.amount, amount):
            return False
        heard = self.heard(scene, mark.start, mark.end)
        self.state.emit(ev.Measured(key=row.key, amount=amount, how="set", heard=heard))
        row.amount = amount
        return True

    def recall(self, scene: Scene, first: Mark, final: Mark) -> None:
        """ "I said three cloves, it's two": the row that has the first gets the other."""
        spoken = self.measuring.spoken(scene, first)
        if spoken is None or spoken.best is None:
            return
        kept = [
            r
            for r in self.state.living()
            if (r.amount.best, r.amount.unit) == (spoken.best, spoken.unit)
            and spoken.noun in (None, r.amount.noun)
        ]
        heard = self.heard(scene, first.start, final.end)
        if not kept:
            self._awaited(scene, final, heard)
            return
        row, value = kept[-1], final.value
        amount = row.amount.model_copy(
            update={"low": value.low, "best": value.best, "high": value.high}
        )
        if value.unit is not None:
            amount = self.measuring.spoken(scene, final, row=row) or amount
        self.state.measure(row, amount, "set", heard)

    def _awaited(self, scene: Scene, final: Mark, heard: tuple[Heard, ...]) -> None:
        """ "Cocoa next." "I'm aiming for fifteen, that's seventeen.": for what was announced."""
        state, row = self.state, self.state.topic
        if state.asked is not None and state.utterance - state.asked_at <= 1:
            row, state.asked = self.new_row(state.asked, heard), None
        elif row is None or row.measured or state.utterance - row.utterance > 1:
            return
        amount = self.measuring.spoken(scene, final, row=row)
        if amount is not None:
            state.measure(row, amount, "set", heard)

    def _for_all(self, row: RowState, amount: Amount) -> bool:
        """ "Twenty grams on each bowl, so that's two hundred": as often as there are eaters."""
        each, eaters = row.amount.best, self.state.eaters
        if not each or not eaters or row.amount.unit != amount.unit:
            return False
        return abs((amount.best or 0.0) - each * eaters) < 0.05 * each

    @staticmethod
    def _hence(scene: Scene, clause: Clause, mark: Mark, row: RowState) -> bool:
        """ "80 g a head, so 320": what an amount comes to."""
        percent = any(m.value.unit == "percent" for c in scene.clauses for m in c.of(AMOUNT))
        if not row.measured or mark.value.more or percent:
            return False
        doc, i = clause.doc, mark.start - 1
        while i > clause.start and doc[i].lower_ in _HEDGES:
            i -= 1
        return i >= 0 and doc[i].lower_ in ("so", "=", "makes", "making")

    def _pieces(self, scene: Scene, clause: Clause, mark: Mark, row: RowState) -> Amount | None:
        """ "2 boxes, 20 in a box, so 40": how many pieces the counted packs hold in all."""
        value, count = mark.value, row.amount.best or 0.0
        many = value.unit is None and row.amount.basis == "counted" and count >= 1
        if not many or not self._hence(scene, clause, mark, row):
            return None
        said = [m for c in scene.clauses for m in c.of(AMOUNT) if m.end <= mark.start]
        if not any(m.value.best * count == value.best for m in said):
            return None
        pieces = replace(mark, value=replace(value, unit="piece"))
        return self.measuring.spoken(scene, pieces, row=row)

    @staticmethod
    def _spoon_kind(row: RowState, value: AmountValue) -> bool:
        """ "two spoons of oil, tablespoons": which spoons they were."""
        spoons = row.amount.basis == "vague" and row.amount.noun in _SPOONS
        return spoons and value.article and value.unit in _SPOON_UNITS

    @staticmethod
    def _content(clause: Clause, mark: Mark, row: RowState) -> bool:
        """ "one tin of black beans, 235 drained": a bare number that weighs what was counted."""
        amount = row.amount
        counted = amount.basis == "counted" and (holds(amount.noun) or amount.noun in _WHOLE)
        if not counted or amount.content_g or mark.value.best < LEAST_CONTENT:
            return False
        doc, i = clause.doc, mark.end
        ends = i >= len(doc) or not doc[i].is_alpha or doc[i].tag_ in ("VBN", "VBD", "JJ")
        return doc[mark.start - 1].is_punct and ends

    @staticmethod
    def _opens(clause: Clause, mark: Mark) -> bool:
        """ "300 g tub, blitz it": an amount first of all and no food in the same breath."""
        return mark.start == clause.start and not clause.of(FOOD)

    def _each(self, scene: Scene, mark: Mark) -> None:
        """ "four fillets, 130 g each": times the pieces; "20 g each": times the portions."""
        state = self.state
        row = self._topic_for(scene, mark, lone_amount(scene.clauses[scene.clause_at(mark.start)]))
        amount = self.measuring.spoken(scene, mark, row=row)
        if row is None or amount is None or dimension(amount) not in ("mass", "volume"):
            return
        heard = self.heard(scene, mark.start, mark.end)
        pieces = row.amount.unit == "piece" and row.amount.basis == "counted"
        grams = GRAMS.get(amount.unit or "")
        if pieces and grams and amount.low and amount.best and amount.high:
            content = Bounds(
                low=amount.low * grams, best=amount.best * grams, high=amount.high * grams
            )
            state.measure(row, row.amount.model_copy(update={"content_g": content}), "set", heard)
        elif pieces and row.amount.best:  # "two tins, 400 ml each"
            state.measure(row, times(amount, row.amount.best), "also", heard)
        elif not row.measured and state.eaters:
            state.measure(row, times(amount, state.eaters), "set", heard)

    @staticmethod
    def _was(clause: Clause, mark: Mark) -> bool:
        """ "It was two.": what an earlier figure really was."""
        before = [t.lower_ for t in clause.doc[max(clause.start, mark.start - 2) : mark.start]]
        return before in (["it", "was"], ["that", "was"], ["they", "were"])

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
        if row.amount.basis == "energy" and dimension(amount) in ("mass", "volume"):
            return "also"  # "a hundred calories' worth, so that's 26 grams"
        beside = self._beside(clause, mark) and amount.unit == row.amount.unit
        if (mark.value.more and not total) or beside:
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
    def _beside(clause: Clause, mark: Mark) -> bool:
        """ "30 g of butter for frying and 50 for the mash", "50 g, plus 30 for the tin"."""
        doc = clause.doc
        before = doc[mark.start - 1].lower_ if mark.start else ""
        after = doc[mark.end].lower_ if mark.end < len(doc) else ""
        if before == "plus":
            return True
        said = {t.lower_ for t in doc[clause.start : mark.start]}
        small = mark.value.best <= 2  # "two onions, one for the sauce and one for the salad"
        return before == "and" and after == "for" and not small and "for" in said

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
        if any(0 <= c.start - mark.end <= 2 for c in clause.cues("total")):
            return topic  # "fifty grams, let's say"
        near = state.utterance - topic.utterance <= 2
        if lone and near:
            return topic
        # "Then salt. I put in sixty grams."
        waiting = near and not topic.measured and not clause.of(FOOD)
        loose = value.unit is None or (value.unit == "piece" and value.content is None)
        return topic if waiting and not loose else None

    @staticmethod
    def _restates(clause: Clause, mark: Mark) -> bool:
        before = clause.doc[max(clause.start, mark.start - 6) : mark.start]
        verbs = any(m.value.kind == "weigh" for m in clause.of(ACTION) if m.end <= mark.start)
        return verbs or any(t.lower_ in _RESTATING for t in before)
