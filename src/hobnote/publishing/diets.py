"""Diets that the ingredients prove. What cannot be proved is not claimed (``data/diets.toml``)."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Set as AbstractSet

from hobnote.nutrition.allergens import of_text
from hobnote.nutrition.phrases import find, without
from hobnote.pantry import open_pantry
from hobnote.publishing.tables import tree
from hobnote.record import Ingredient, Record

Classes = Callable[[Ingredient], AbstractSet[str]]
_UNSURE = {"unmatched food", "unsure food", "generic food", "mis-heard word"}


def table_classes(row: Ingredient) -> AbstractSet[str]:
    """The pantry's classes of a row."""
    pantry = open_pantry("us")
    try:
        food = pantry.food(row.food.id) if row.food else None
    except KeyError:
        food = None
    return pantry.classes(food, row.name)


def diets(record: Record, classes: Classes = table_classes) -> list[str]:
    """schema.org names of the diets that every ingredient of the dish fits, swaps left out.

    Optional ingredients and every alternative of a choice must fit too.
    """
    rows = [row for part in record.components for row in part.ingredients if not row.swap_for]
    open_rows = {flag.id for flag in record.flags if flag.kind in _UNSURE}
    if not rows or any(not _known(row, open_rows, classes(row)) for row in rows):
        return []
    return [
        diet["name"]
        for diet in tree("diets")["diet"]
        if all(_fits(row, diet, classes(row)) for row in rows)
    ]


def _known(row: Ingredient, open_flags: AbstractSet[str], held: AbstractSet[str]) -> bool:
    """Whether a row is surely one plain food."""
    data = tree("diets")
    if row.food is None or row.food.match < open_pantry("us").ASK_BELOW:
        return False
    if open_flags & set(row.flags) or held & set(data["made_up"]):
        return False
    return bool(held & set(data["plain"])) or bool(find(data["plain_words"], row.name))


def _fits(row: Ingredient, diet: dict[str, list[str]], held: AbstractSet[str]) -> bool:
    texts = [row.name, *row.preparation, *([row.food.description] if row.food else [])]
    if held & set(diet["classes"]):
        return False
    if any(find(diet["words"], without(diet["unless"], text)) for text in texts):
        return False
    return not any(set(of_text(text)) & set(diet["allergens"]) for text in texts)
