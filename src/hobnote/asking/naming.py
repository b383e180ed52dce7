"""Table rows by the names that cooks use: "Oil, canola" is rapeseed oil."""

from __future__ import annotations

from functools import cache

from hobnote.pantry import open_pantry
from hobnote.pantry.names import all_rows
from hobnote.pantry.pantry import Pantry


def kitchen_name(description: str, pantry: Pantry) -> str | None:
    """The plain name of the row with this description, None where cooks have none for it."""
    food = pantry.match(description).food
    return None if food is None else _names(pantry.measures).get(food.id)


@cache
def _names(measures: str) -> dict[str, str]:
    open_pantry(measures)  # a wrong locale is an error here
    found: dict[str, str] = {}
    rows = [row for row in all_rows() if not row.where or measures in row.where]
    for row in sorted(rows, key=lambda row: (row.generic, row.approximate)):
        found.setdefault(row.first, row.name)
    return found
