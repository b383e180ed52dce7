"""The book's tables and its index: figures and references, no layout."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hobnote.pantry import open_pantry
from hobnote.pantry.types import Food
from hobnote.publishing import figures
from hobnote.publishing.book.build import Book, BookDish

Where = Callable[[BookDish], str]
_PORTION = ("energy_kcal", "protein_g", "fat_g", "carbohydrate_g", "fibre_g")
# A food is a source of protein where it brings 5 g in 100 kcal (20 % of its energy at 4 kcal/g:
# the EU's "high protein", Regulation 1924/2006) and 5 g in 100 g, so that spinach is not one.
_PER_100_KCAL = 5.0
_PER_100_G = 5.0
_BY_THE_PINCH = frozenset({"seasoning", "spice", "herb"})


@dataclass(frozen=True, slots=True)
class Ref:
    """A recipe that an entry points to; ``maybe`` where it only may contain the allergen."""

    title: str
    href: str
    maybe: bool = False


@dataclass(frozen=True, slots=True)
class RecipeRow:
    """A portion of a recipe, as printed."""

    title: str
    href: str
    draft: bool
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FoodRow:
    """A food with two figures, as printed; ``rank`` is what the table is ordered by."""

    name: str
    first: str
    second: str
    rank: float


def recipe_rows(book: Book, where: Where) -> list[RecipeRow]:
    """A row for each recipe, in the book's order."""
    found = []
    for dish in book.dishes:
        portion = dish.record.nutrition.per_portion or {}
        cells = tuple(figures.bounds(portion.get(key)) for key in _PORTION)
        found.append(RecipeRow(dish.title, where(dish), bool(dish.page.questions), cells))
    return found


def protein_rows(book: Book) -> list[FoodRow]:
    """Foods of the book that are sources of protein, most in 100 kcal first."""
    pantry, found = open_pantry("us"), []
    for name, food in _foods(book):
        if pantry.classes(food, name) & _BY_THE_PINCH:
            continue
        energy, protein = food.nutrients.get("energy_kcal"), food.nutrients.get("protein_g")
        if not energy or protein is None or protein < _PER_100_G:
            continue
        share = protein / energy * 100
        if share >= _PER_100_KCAL:
            found.append(FoodRow(name, figures.number(share), figures.number(protein), -share))
    return sorted(found, key=lambda row: (row.rank, row.name))


def vegetable_rows(book: Book) -> list[FoodRow]:
    """Vegetables of the book, least energy in 100 g first."""
    pantry, found = open_pantry("us"), []
    for name, food in _foods(book):
        energy = food.nutrients.get("energy_kcal")
        if energy is None or "vegetable" not in pantry.classes(food, name):
            continue
        fibre = food.nutrients.get("fibre_g")
        second = "–" if fibre is None else figures.number(fibre)
        found.append(FoodRow(name, figures.number(energy), second, energy))
    return sorted(found, key=lambda row: (row.rank, row.name))


def _foods(book: Book) -> Iterator[tuple[str, Food]]:
    """Each food of the recipes once, by the shortest name that a recipe gives it."""
    names: dict[str, str] = {}
    for dish in book.dishes:
        for part in dish.record.components:
            for row in part.ingredients:
                if row.food is not None:
                    known = names.get(row.food.id, row.name)
                    names[row.food.id] = min(known, row.name, key=lambda one: (len(one), one))
    pantry = open_pantry("us")
    for id, name in names.items():
        try:
            yield name, pantry.food(id)
        except KeyError:
            continue


def ingredient_index(book: Book, where: Where) -> list[tuple[str, list[Ref]]]:
    """Ingredients from a to z with the recipes that use them, swaps and extras included."""
    found: dict[str, dict[str, Ref]] = {}
    for dish in book.dishes:
        for part in dish.record.components:
            for row in part.ingredients:
                found.setdefault(row.name, {})[dish.id] = Ref(dish.title, where(dish))
    return [(name, list(refs.values())) for name, refs in sorted(found.items(), key=_by_name)]


def allergen_index(book: Book, where: Where) -> list[tuple[str, list[Ref]]]:
    """Allergens from a to z with the recipes that contain or may contain them."""
    found: dict[str, dict[str, Ref]] = {}
    for dish in book.dishes:
        for allergen in dish.record.allergens:
            refs = found.setdefault(allergen.name, {})
            maybe = allergen.certainty != "contains"
            if dish.id not in refs or refs[dish.id].maybe:
                refs[dish.id] = Ref(dish.title, where(dish), maybe)
    return [(name, list(refs.values())) for name, refs in sorted(found.items(), key=_by_name)]


def _by_name(item: tuple[str, object]) -> tuple[str, str]:
    return item[0].casefold(), item[0]
