"""Reading SR28's household measures: "cup, chopped", "medium (2-1/2\" dia)", "clove"."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from hobnote.pantry.types import Food, HouseholdWeight
from hobnote.pantry.words import kind, tokens

US_ML = {
    "cup": 236.5882365,
    "tbsp": 14.78676478125,
    "tsp": 4.92892159375,
    "fl oz": 29.5735295625,
}
_VOLUME = re.compile(r"^(cup|tbsp|tablespoon|tsp|teaspoon|fl oz)s?\b[\s,()]*(.*)$", re.IGNORECASE)
_SHORT = {"tablespoon": "tbsp", "teaspoon": "tsp"}
SIZES = ("extra small", "small", "medium", "large", "extra large", "jumbo")
_ONE = frozenset({"fruit", "each", "item", "piece", "unit", "whole", "pod", "root", "head", "bulb"})
_NOT_ONE = frozenset(
    {
        "oz",
        "lb",
        "cup",
        "tbsp",
        "tsp",
        "g",
        "gram",
        "serving",
        "nlea",
        "package",
        "yield",
        "cubic",
        "inch",
        "container",
        "can",
        "slice",
        "half",
        "strip",
    }
)

# A cup of it so treated is no cup of it as it is: taken only when it was said.
_OTHER_STATES = frozenset({"melted", "whipped", "mashed", "pureed", "puree", "cooked"})


@dataclass(frozen=True, slots=True)
class Volume:
    """A household weight by volume: grams of one ``unit``, and the words that narrow it."""

    unit: str
    detail: frozenset[str]
    grams: float
    text: str

    @property
    def density(self) -> float:
        """Grams per millilitre (SR28's volumes are US customary)."""
        return self.grams / US_ML[self.unit]


def volumes(food: Food) -> tuple[Volume, ...]:
    """The volume weights of a food, in SR28's order."""
    return _volumes(food.weights)


@lru_cache(maxsize=4096)
def _volumes(rows: tuple[HouseholdWeight, ...]) -> tuple[Volume, ...]:
    out = []
    for weight in rows:
        if found := _VOLUME.match(weight.measure):
            unit = found[1].lower()
            detail = frozenset(tokens(found[2]))
            out.append(Volume(_SHORT.get(unit, unit), detail, weight.grams, weight.measure))
    return tuple(out)


def choose(options: Iterable[Volume], preparation: Iterable[str]) -> list[Volume]:
    """Options that fit how the food was prepared, best first; all when nothing was said."""
    pool = list(options)
    said = _said(preparation)
    pool = [o for o in pool if not (o.detail & _OTHER_STATES) - said] or pool
    fitting = [o for o in pool if said and said & o.detail]
    if fitting:
        return sorted(fitting, key=lambda o: (-len(said & o.detail), len(o.detail)))
    plain = [o for o in pool if not o.detail]
    return plain or pool


def _said(preparation: Iterable[str]) -> frozenset[str]:
    """The words of a preparation, with those that mean the same of a cupful."""
    said = {t for p in preparation for t in tokens(p)}
    alike = kind("alike")
    return frozenset(said | {other for word in said for other in alike.get(word, word).split("|")})


def narrowed(options: Iterable[Volume], preparation: Iterable[str]) -> bool:
    """Whether how the food was prepared picks one of its volume weights ("cup, packed")."""
    said = _said(preparation)
    return any(said & option.detail for option in options)


Counted = tuple[frozenset[str], str | None, float, str]


def pieces(food: Food) -> tuple[Counted, ...]:
    """Counted weights of a food: (words, size, grams, measure as written)."""
    return _pieces(food.weights)


@lru_cache(maxsize=4096)
def _pieces(rows: tuple[HouseholdWeight, ...]) -> tuple[Counted, ...]:
    out = []
    for weight in rows:
        if _VOLUME.match(weight.measure):
            continue
        text = weight.measure.lower().split("(")[0]
        size = next((s for s in reversed(SIZES) if s in text), None)
        out.append((frozenset(tokens(text)), size, weight.grams, weight.measure))
    return tuple(out)


def counted(
    food: Food, nouns: Iterable[str], size: str | None
) -> tuple[float, float, float, str] | None:
    """Grams of one piece as (low, best, high, measure) from the food's own weights.

    ``nouns`` are the counted words to try; empty for "2 onions". None when the row does not say.
    """
    rows = pieces(food)
    for noun in nouns:
        wanted = set(tokens(noun))
        hits = [row for row in rows if wanted <= row[0]]
        if hits:
            return _of_size(hits, size)
    if not list(nouns):
        own = set(tokens(food.description))
        hits = [
            row
            for row in rows
            if not row[0] & _NOT_ONE and (row[1] is not None or row[0] & (_ONE | own))
        ]
        if hits:
            return _of_size(hits, size)
    return None


def _of_size(hits: list[Counted], size: str | None) -> tuple[float, float, float, str]:
    exact = [row for row in hits if size is not None and row[1] == size]
    if exact:
        grams = exact[0][2]
        return grams * 0.9, grams, grams * 1.1, exact[0][3]
    plain = [row for row in hits if row[1] in (None, "medium")] or hits
    best = plain[0]
    near = [row[2] for row in hits if best[2] / 2.5 <= row[2] <= best[2] * 2.5]
    return min([best[2] * 0.85, *near]), best[2], max([best[2] * 1.15, *near]), best[3]
