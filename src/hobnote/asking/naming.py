"""Table rows by the names that cooks use: "Oil, canola" is rapeseed oil."""

from __future__ import annotations

from functools import cache

from hobnote.pantry import open_pantry
from hobnote.pantry.names import all_rows
from hobnote.pantry.pantry import Pantry


def kitchen_name(description: str, pantry: Pantry) -> str | None:
    """The plain name of the row with this description, None where cooks have none for it.

    "Milk, whole, 3.25% milkfat" has no row of its own among the names; "whole
    milk", its first two words turned round, is taken when it means that row.
    """
    food = pantry.match(description).food
    if food is None:
        return None
    named = _names(pantry.measures).get(food.id)
    if named is not None:
        return named
    parts = [part.strip().lower() for part in food.description.split(",")]
    turned = f"{parts[1]} {parts[0]}" if len(parts) > 1 else parts[0]
    meant = pantry.match(turned)
    same = meant.food is not None and meant.food.id == food.id and meant.score >= pantry.ASK_BELOW
    return turned if same else None


@cache
def _names(measures: str) -> dict[str, str]:
    open_pantry(measures)  # a wrong locale is an error here
    found: dict[str, str] = {}
    rows = [row for row in all_rows() if not row.where or measures in row.where]
    for row in sorted(rows, key=lambda row: row.approximate):
        if not row.generic:
            found.setdefault(row.first, row.name)
    return found
