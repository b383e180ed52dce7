"""Foods by the words of the table's descriptions, for what no names file holds."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import cached_property

from hobnote.pantry.foods import FoodTable
from hobnote.pantry.sureness import Signs, sure
from hobnote.pantry.types import Food, Match
from hobnote.pantry.words import tokens

SHOWN = 5
_LOOKED_AT = 12
_PLAIN = frozenset({"raw", "dry"})


class Descriptions:
    """The words of every row's description; built when it is first asked for."""

    def __init__(self, table: FoodTable) -> None:
        self._table = table

    @cached_property
    def _built(self) -> tuple[dict[str, tuple[str, ...]], dict[str, set[str]]]:
        words_of: dict[str, tuple[str, ...]] = {}
        index: dict[str, set[str]] = {}
        for food_id, text in self._table.descriptions():
            words = tokens(text)
            words_of[food_id] = words
            for word in words:
                index.setdefault(word, set()).add(food_id)
        return words_of, index

    def hold(self, words: Collection[str]) -> bool:
        """Whether there are words and each stands in some description."""
        return bool(words) and all(word in self._built[1] for word in words)

    def match(
        self, name: str, words: list[str], states: Iterable[str]
    ) -> tuple[Match, Signs] | None:
        """The plainest row whose description holds every word; None where there is none."""
        if not self.hold(words):
            return None
        words_of, index = self._built
        ids = set.intersection(*(index[w] for w in words))
        wanted = set(states) or _PLAIN
        any_fits = any(wanted & set(words_of[i]) for i in ids)

        def cost(food_id: str) -> tuple[float, str]:
            text = words_of[food_id]
            first = min((text.index(w) for w in words), default=9)
            state = 3 if any_fits and not wanted & set(text) else 0
            return (len(text) - len(words) + 3 * first + state, food_id)

        ranked = sorted(ids, key=cost)[:_LOOKED_AT]
        if not ranked:
            return None
        foods = [self._table.get(i) for i in ranked]
        signs = Signs("described", extra=cost(ranked[0])[0], spread=_spread(foods))
        score = sure(signs)
        match = Match(
            name=name,
            food=foods[0],
            score=round(score, 3),
            why="the table's description holds its words",
            runners_up=tuple((food, round(score * 0.9, 3)) for food in foods[1:SHOWN]),
        )
        return match, signs


def _spread(foods: list[Food]) -> float:
    """The share of the other rows that have not about the energy of the first."""
    first, *others = (food.nutrients.get("energy_kcal", 0.0) for food in foods)
    apart = [k for k in others if abs(k - first) > max(15, 0.2 * max(k, first))]
    return len(apart) / max(len(others), 1)
