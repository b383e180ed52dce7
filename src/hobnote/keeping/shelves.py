"""Looking through the recipes: page by page, and by words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import ColumnElement, and_, exists, or_, select

from hobnote.keeping.engine import reading
from hobnote.keeping.schema import recipes, turns
from hobnote.keeping.store import Kept, Store, entry


@dataclass(frozen=True, slots=True)
class Page:
    """Some recipes, the newest first; ``more`` when older ones follow the last."""

    recipes: tuple[Kept, ...]
    more: bool


def page(
    store: Store, *, words: Sequence[str] = (), before: int | None = None, limit: int = 50
) -> Page:
    """At most ``limit`` recipes with numbers below ``before`` that hold all ``words``.

    A word is looked for in the title and in everything said, whatever its case.
    By number, so that a recipe which changes meanwhile is neither missed nor given twice.
    """
    where = [_holds(word) for word in words]
    if before is not None:
        where.append(recipes.c.id < before)
    query = select(recipes).where(and_(True, *where)).order_by(recipes.c.id.desc())
    with reading(store.engine) as connection:
        found = [entry(row) for row in connection.execute(query.limit(limit + 1))]
    return Page(tuple(found[:limit]), len(found) > limit)


def _holds(word: str) -> ColumnElement[bool]:
    said = exists().where(
        turns.c.recipe == recipes.c.id, turns.c.text.icontains(word, autoescape=True)
    )
    return or_(recipes.c.title.icontains(word, autoescape=True), said)
