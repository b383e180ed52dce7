"""Kinds said after the food and its amount: "beans: 1 tin black", "flour, 300 g, plain".

What a food was called first is then the head of the kind's name ("black
beans"), or the whole that it is a part of ("eggs: one whole and two whites").
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from hobnote.marking.lexicon import PhraseTable
from hobnote.marking.marks import AMOUNT, FOOD, FoodValue, Mark, marks
from hobnote.marking.said import Said

REACH: Final = 14
"""Words that the food may stand before its kind."""
_ONES: Final = frozenset({"one", "ones", "kind", "type", "sort"})
_NO_KIND: Final = frozenset({"ready", "same", "each", "more", "left", "total", "about", "that"})
_PARTS: Final = frozenset(
    {"juice", "zest", "white", "whites", "yolk", "yolks", "brine", "syrup", "peel", "stalks"}
)
_NEEDING: Final = frozenset({"stock", "broth", "vinegar", "flour", "mince"})
"""Foods that are hardly bought without a kind, which may be a food's name."""
_NEVER_ALONE: Final = frozenset({"olive", "sesame", "sunflower", "groundnut", "avocado"})
_ENDS: Final = frozenset({".", ",", ";", "\n", ")", "and", "&", "+", "then", "so", "or", "-"})
_CLOSED: Final = frozenset({".", ";", "\n", ")"})


class KindsSaid:
    """One Doc's kinds; ``hit`` is asked of each word in turn, left to right."""

    def __init__(self, said: Said, names: PhraseTable, described: Callable[[str], bool]) -> None:
        self.said = said
        self.names = names
        self.described = described
        self.before: Mapping[int, Mark] = {m.end: m for m in marks(said.doc, AMOUNT)}
        self.begun = {m.start for m in self.before.values()}

    def hit(self, i: int) -> tuple[int, str, int] | None:
        """``(end, name, token of the food said before)`` if a kind stands at word ``i``."""
        said = self.said
        if not self.before or said.opens(i) or not said.lowers[i].isalpha():
            return None
        joint = said.lowers[i - 1]
        first = i - 1 if joint in (",", "of") else i
        if first < 1:
            return None
        amount = self.before.get(said.starts[first])
        if amount is None or said.lowers[i] in _NO_KIND:
            return None
        head = self._head(amount)
        if head is None:
            return None
        for size in (2, 1):
            found = self._named(i, i + size, joint, head)
            if found is not None:
                return found
        return None

    def _head(self, amount: Mark) -> Mark | None:
        """The last food before the amount, if it is near and was not measured after it."""
        foods = [m for m in marks(self.said.doc, FOOD) if m.end <= amount.start]
        if not foods or not foods[-1].value.known or amount.start - foods[-1].end > REACH:
            return None
        head = max(foods, key=lambda m: m.start)
        if head.value.kind_of is not None:  # "one red, one white": both of the same onions
            head = next((m for m in foods if m.start == head.value.kind_of), head)
        apart = any(self.said.doc[k].is_sent_start for k in range(head.end, amount.end))
        return None if apart and self._measured(head) else head

    @staticmethod
    def _short(full: str, words: list[str], base: list[str]) -> bool:
        """Whether the words are short for a kind of the food ("basmati" of rice)."""
        return full.endswith(f" {base[-1]}") and base[-1] not in words

    def _measured(self, food: Mark) -> bool:
        """Whether an amount stands right before or after the food."""
        return any(
            0 <= food.start - a.end <= 1 or 0 <= a.start - food.end <= 1
            for a in self.before.values()
        )

    def _named(self, i: int, end: int, joint: str, head: Mark) -> tuple[int, str, int] | None:
        said = self.said
        words = said.lowers[i:end]
        if len(words) < end - i or not all(w.isalpha() for w in words):
            return None
        if joint != "of" and any(self.described(w) for w in words):
            return None
        after = said.lowers[end] if end < len(said.lowers) else "."
        last = end + 1 if after in _ONES else end
        after = said.lowers[last] if last < len(said.lowers) else "."
        opens = last >= len(said.lowers) or said.opens(last)
        measured = last < len(said.lowers) and said.starts[last] in self.begun
        if not (opens or measured or after in _ENDS):
            return None
        value: FoodValue = head.value
        base = value.name.split()
        food = self.names.at(said.lowers, i)
        if food is not None and food[0] == end and self._short(food[1], words, base):
            return last, food[1], head.start  # "rice, 300 g basmati"
        if food is not None and food[0] >= end:
            # "stock, 500 ml, chicken." is a kind; "butter, 50 g, garlic." is a list
            closed = (opens or after in _CLOSED) and joint == ","
            needs = base[-1] in _NEEDING or words[-1] in _NEVER_ALONE
            if not closed or not needs:
                return None
        surface = [said.doc[k].lower_ for k in range(head.start, head.end)]
        for name in ([*words, *surface], [*words, *base], [*words, base[-1]]):
            hit = self.names.at(name, 0)
            if hit is not None and hit[0] == len(name) and hit[1] != value.name:
                return last, hit[1], head.start
        if len(words) == 1 and words[0] in _PARTS:
            hit = self.names.at([*base, *words], 0)
            if hit is not None and hit[0] == len(base) + 1:
                return last, hit[1], head.start
        return None
