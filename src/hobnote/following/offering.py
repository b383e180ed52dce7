"""Swaps, optional extras, what is taken out again, and words that were mis-heard."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from hobnote.following import events as ev
from hobnote.following.kinds import likeness
from hobnote.following.moods import drops
from hobnote.following.roles import Role
from hobnote.following.scene import Scene, Walker, known
from hobnote.following.state import RowState
from hobnote.marking.marks import FOOD, MISHEARD, FoodValue, Mark
from hobnote.record import Amount, Heard

TAKEN_BACK: Final = 3
"""Utterances within which "no X" takes X out again rather than speaking of its absence."""
_LIFTED: Final = frozenset({"take", "keep", "taking", "keeping"})


class Offering(Walker):
    """Emits what is offered beside the recipe, and what is withdrawn from it."""

    def swap(
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
        if amount is None:
            scene.offers[mark.start] = row
        if amount is None and original is not None and original.measured:
            amount = original.amount
        if amount is not None:
            state.emit(ev.Measured(key=row.key, amount=amount, how="set", heard=heard))
            row.amount = amount

    def fits(self, food: FoodValue, row: RowState | None) -> bool:
        """Whether ``food`` is new and some row of the dish is like it."""
        if row is not None and row.name == food.name:
            return False
        return any(
            likeness(food.name, r.name) > 0
            for r in self.state.recent
            if r.alive and not r.swap_for and r.name != food.name
        )

    def _replaced(
        self, scene: Scene, food: FoodValue, role: Role
    ) -> tuple[RowState | None, str | None]:
        """The row that a swap replaces and its name.

        A food that was named as the one replaced counts as it is; otherwise the
        most alike of the latest rows, and the topic if none is like it.
        """
        state = self.state
        if role.of_row is not None:
            return role.of_row, role.of_row.name
        if role.for_food is not None and role.explicit:
            value: FoodValue = role.for_food.value
            row = scene.rows.get(role.for_food.start) or state.find(
                value, state.component, measured=False
            )
            if row is None:  # "allergic to coconut": the row that has the word in its name
                wanted = set(value.name.split())
                rows = [r for r in state.living() if wanted <= set(r.name.split())]
                row = rows[-1] if rows else None
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

    def negate(
        self, scene: Scene, scopes: Sequence[Sequence[range]], roles: dict[Mark, Role]
    ) -> None:
        for n, clause in enumerate(scene.clauses):
            if (
                scene.moods[n] != "recipe"
                or clause.cues("yet")
                or clause.doc[clause.end - 1].text == "?"
                or clause.doc[clause.start].lower_ == "if"
            ):
                continue
            for scope in scopes[n]:
                certain = drops(clause, scope)
                for mark in clause.of(FOOD):
                    row = known(self.state, mark) if mark.start in scope else None
                    if row is None or mark in roles or not self._unconditional(scene):
                        continue
                    if clause.doc[scope.start].lower_ in _LIFTED and self._cooked(row):
                        continue  # "take the beef out": out of the pan
                    # "I also put a sausage … so no sausage": taken back while it is fresh
                    recent = self.state.utterance - row.utterance <= TAKEN_BACK
                    plain = clause.doc[scope.start].lower_ == "no" and recent
                    if certain or plain:
                        row.alive = False
                        heard = self.heard(scene, scope.start, mark.end)
                        self.state.emit(ev.Dropped(key=row.key, heard=heard))

    def _cooked(self, row: RowState) -> bool:
        return any(row.key in step.ingredients for step in self.state.steps)

    @staticmethod
    def _unconditional(scene: Scene) -> bool:
        return not any(c.cues("condition", "lacking") for c in scene.clauses)

    def misheard(self, scene: Scene) -> None:
        """Emit the words that were put right, whatever the mood they were said in."""
        for clause in scene.clauses:
            for mark in clause.of(MISHEARD):
                self._one_misheard(scene, mark)

    def _one_misheard(self, scene: Scene, mark: Mark) -> None:
        """Tell of a word that was put right, with the row that it named, if any."""
        row = next((r for start, r in scene.rows.items() if mark.start <= start < mark.end), None)
        self.state.emit(
            ev.Misheard(
                word=mark.value.heard,
                suggestion=mark.value.suggestion,
                key=row.key if row else None,
                heard=self.heard(scene, mark.start, mark.end),
            )
        )
