"""Sums over rows: components, dish, portion, 100 g, and what cannot be known."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from hobnote.nutrition.bounds import add, divide, ratio, rounded
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.tables import nutrients, rule
from hobnote.record import Bounds, Component, Ingredient, Nutrition, Record

Figures = dict[str, Bounds]


def chosen(components: Sequence[Component]) -> list[bool]:
    """Whether each component counts: not optional, and the first of its choice group."""
    seen: set[str] = set()
    counts = []
    for component in components:
        first = component.choice is None or component.choice not in seen
        counts.append(first and not component.optional)
        if component.choice is not None:
            seen.add(component.choice)
    return counts


def row_counts(row: Ingredient) -> bool:
    """Whether a row of a counted component enters the totals."""
    return not row.optional and row.swap_for is None


def counted_rows(record: Record) -> list[Ingredient]:
    """Every row that enters the dish's totals, in order."""
    return [
        row
        for component, counts in zip(record.components, chosen(record.components), strict=True)
        if counts
        for row in component.ingredients
        if row_counts(row)
    ]


def missing(rows: Iterable[Ingredient]) -> list[str]:
    """Names of the rows that are not in the figures: no food or no weight is known."""
    return list(dict.fromkeys(row.name for row in rows if not row.nutrition))


def blocking(rows: Sequence[Ingredient], pantry: Larder) -> list[str]:
    """Of the ``missing``, those whose weight is unknown or too heavy to pass over.

    Water holds no energy and none of the macronutrients, however much of it there is.
    """
    limit = rule("negligible_share") * sum(row.grams.best for row in rows if row.grams)
    gone = [row for row in rows if not row.nutrition and not _empty(row, pantry)]
    return missing(row for row in gone if row.grams is None or row.grams.high > limit)


def _empty(row: Ingredient, pantry: Larder) -> bool:
    food = pantry.food(row.food.id) if row.food is not None else None
    return food is not None and food.nutrients.get("energy_kcal") == 0


def unknown(rows: Sequence[Ingredient]) -> dict[str, list[str]]:
    """By nutrient key, the rows that lack it, where they are too heavy to pass over."""
    live = [row for row in rows if row.nutrition]
    limit = rule("negligible_share") * sum(row.grams.best for row in live if row.grams)
    gaps: dict[str, list[str]] = {}
    for key in nutrients():
        without = [row for row in live if key not in row.nutrition]
        if sum(row.grams.best for row in without if row.grams) > limit:
            gaps[key] = [row.name for row in without]
    return gaps


def total(rows: Sequence[Ingredient], gaps: Iterable[str] = ()) -> Figures:
    """The sum of ``rows`` by nutrient, without the keys in ``gaps``."""
    left_out = set(gaps)
    figures: Figures = {}
    for key in nutrients():
        parts = [row.nutrition[key] for row in rows if key in row.nutrition]
        if parts and key not in left_out:
            figures[key] = rounded(add(parts))
    return figures


def per_100g(rows: Sequence[Ingredient], gaps: Iterable[str] = ()) -> Figures | None:
    """True extremes per 100 g of what went in, by nutrient."""
    live = [row for row in rows if row.nutrition and row.grams is not None]
    left_out = set(gaps)
    figures: Figures = {}
    for key in nutrients():
        if key in left_out:
            continue
        parts = [
            (row.grams, _density(row, key)) for row in live if row.grams and key in row.nutrition
        ]
        figure = ratio(parts)
        if figure is not None:
            figures[key] = rounded(figure)
    return figures or None


class _Density(NamedTuple):
    """A row's amount per 100 g; plain, as there is one for each row and nutrient."""

    low: float
    best: float
    high: float


def _density(row: Ingredient, key: str) -> _Density:
    """The row's own amount per 100 g, from its computed figures."""
    grams, figure = row.grams, row.nutrition[key]
    assert grams is not None
    best = figure.best / grams.best * 100 if grams.best > 0 else 0.0
    low = figure.low / grams.low * 100 if grams.low > 0 else best
    high = figure.high / grams.high * 100 if grams.high > 0 else best
    return _Density(min(low, best), best, max(high, best))


def by_portion(figures: Figures, portions: Bounds | None) -> Figures | None:
    """``figures`` shared out over the portions; None when nobody said how many."""
    if portions is None or portions.low <= 0:
        return None
    return {key: rounded(divide(figure, portions)) for key, figure in figures.items()}


@dataclass(slots=True)
class Sums:
    """What ``sums`` found: the figures, and the nutrients that stay unknown, with row names."""

    nutrition: Nutrition
    gaps: dict[str, list[str]]


def sums(record: Record) -> Sums:
    """Every sum of a record whose rows are weighed. Nothing is matched or weighed again.

    ``components`` holds the parts that count, so they add up to ``total``;
    alternatives not chosen, optional parts and optional rows stand in ``optional``.
    """
    rows = counted_rows(record)
    gaps = unknown(rows)
    whole = total(rows, gaps)
    nutrition = Nutrition(
        total=whole,
        per_portion=by_portion(whole, record.portions),
        per_100g=per_100g(rows, gaps),
        missing=missing(rows),
        weight_g=rounded(add(row.grams for row in rows if row.grams)) if rows else None,
    )
    for component, counts in zip(record.components, chosen(record.components), strict=True):
        own = [row for row in component.ingredients if row_counts(row)]
        if counts:
            held = nutrition.components.get(component.name)
            figures = total(own, gaps)
            nutrition.components[component.name] = _join(held, figures) if held else figures
        else:
            nutrition.optional[component.name] = total(own)
        for row in component.ingredients:
            if row.optional and row.swap_for is None and row.nutrition:
                nutrition.optional[_free(row.name, component.name, nutrition.optional)] = dict(
                    row.nutrition
                )
    return Sums(nutrition, gaps)


def _join(a: Figures, b: Figures) -> Figures:
    return {key: add([f[key] for f in (a, b) if key in f]) for key in {**a, **b}}


def _free(name: str, component: str, taken: dict[str, Figures]) -> str:
    return name if name not in taken else f"{name} ({component})"
