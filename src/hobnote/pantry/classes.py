"""Classes of food ("oil", "leaf", "poultry" ...), from ``data/classes.csv`` and the names' tags."""

from __future__ import annotations

from functools import cache

from hobnote.pantry.names import NameRow
from hobnote.pantry.tables import lines, split


@cache
def _table() -> dict[str, frozenset[str]]:
    rows = (split(line) for line in lines("classes.csv")[1:])
    return {key: frozenset(classes.split()) for key, classes, _ in rows}


@cache
def classes_of(row: NameRow | None, group: str | None) -> frozenset[str]:
    """Classes of a named food, or of a composition row's group when the name is unknown."""
    table = _table()
    if row is None:
        return table.get(f"group:{group}", frozenset())
    found = set(row.tags) | table.get(f"file:{row.file}", frozenset())
    for tag in row.tags:
        found |= table.get(f"tag:{tag}", frozenset())
    for name in row.own_names:
        found |= table.get(f"name:{name}", frozenset())
    return frozenset(found)
