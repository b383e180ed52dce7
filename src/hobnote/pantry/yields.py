"""What cooking does to weight and nutrients: yields, retention, fat taken up in frying.

Weight yields are cooked over raw weight; retention is the share of a nutrient that is left.
Both are (low, best, high) with a source; nothing is returned where no table speaks.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import cache
from typing import NamedTuple

from hobnote.pantry.tables import lines, split
from hobnote.pantry.types import Weight

# Methods that count as one another where a table has only one of them.
_LIKE = {
    "simmered": ("boiled",), "poached": ("boiled", "braised"), "steamed": ("boiled",),
    "stewed": ("braised", "boiled"), "baked": ("roasted",), "roasted": ("baked",),
    "seared": ("fried",), "sauteed": ("fried",), "sautéed": ("fried",), "pan-fried": ("fried",),
    "cooked": ("boiled", "roasted"), "barbecued": ("grilled",), "broiled": ("grilled",),
    "reduced": ("simmered",), "softened": ("fried",),
}  # fmt: skip


class Factor(NamedTuple):
    """A dimensionless factor as (low, best, high), with its source."""

    low: float
    best: float
    high: float
    source: str


@cache
def _rows(name: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(split(line)) for line in lines(name)[1:])


def _fits(food: str, names: Collection[str], classes: Collection[str]) -> bool:
    return food == "*" or (food[1:] in classes if food.startswith("@") else food in names)


def weight_yield(names: Collection[str], classes: Collection[str], method: str) -> Factor | None:
    """Cooked weight over raw weight of a food cooked by ``method``; None where unknown.

    A row about this very food comes before one about its class, and in each the method said
    before its like ("softened" onions are fried ones) before any method.
    """
    fitting = [row for row in _rows("yields.csv") if _fits(row[0], names, classes)]
    for by_class in (False, True):
        for tried in (method, *_LIKE.get(method, ()), "*"):
            for food, its_method, low, best, high, source in fitting:
                if its_method == tried and food.startswith(("@", "*")) == by_class:
                    return Factor(float(low), float(best), float(high), source)
    return None


def retention(
    classes: Collection[str], method: str, minutes: float | None = None
) -> dict[str, Factor]:
    """Share of each nutrient that is left (0 to 1); nutrients that are not listed are unknown."""
    out: dict[str, Factor] = {}
    for tried in (method, *_LIKE.get(method, ())):
        for food, its_method, until, key, low, best, high, source in _rows("retention.csv"):
            if its_method != tried or key in out or not _fits(food, (), classes):
                continue
            if until and (minutes is None or minutes > float(until)):
                continue
            out[key] = Factor(float(low) / 100, float(best) / 100, float(high) / 100, source)
    return out


def fat_uptake(names: Collection[str], classes: Collection[str], method: str) -> Factor | None:
    """Grams of fat taken up per 100 g of raw food in shallow- or deep-frying."""
    for food, its_method, low, best, high, source in _rows("fat_uptake.csv"):
        if its_method == method and _fits(food, names, classes):
            return Factor(float(low), float(best), float(high), source)
    return None


def cooked_weight(raw: Weight, factor: Factor) -> Weight:
    """What ``raw`` weighs when it is cooked."""
    source = f"{raw.source}; yield {factor.source}"
    return Weight(raw.low * factor.low, raw.best * factor.best, raw.high * factor.high, source)


def raw_weight(cooked: Weight, factor: Factor) -> Weight:
    """What ``cooked`` weighed before it was cooked."""
    source = f"{cooked.source}; yield {factor.source}"
    return Weight(
        cooked.low / factor.high, cooked.best / factor.best, cooked.high / factor.low, source
    )
