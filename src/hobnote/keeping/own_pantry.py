"""The pantry that prefers the cook's own foods; costs nothing where none are kept.

SQLAlchemy is only imported when there is a database to look into.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from hobnote.pantry import open_pantry

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from hobnote.pantry.pantry import Pantry
    from hobnote.pantry.types import Food

VARIABLE = "HOBNOTE_DATABASE"
FILE = "recipes.sqlite3"


def pantry_with_own(measures: str = "us", url: str | None = None) -> Pantry:
    """The pantry of a locale with the own foods kept at ``url`` (default as in ``keeping``).

    A database that does not exist yet is not made. Raises
    :class:`~hobnote.keeping.errors.KeepingError` where one exists and cannot be read.
    """
    own = own_foods(url)
    return open_pantry(measures).with_own(own) if own else open_pantry(measures)


def own_foods(url: str | None = None) -> tuple[Food, ...]:
    """The own foods kept at ``url`` as rows of a pantry; none where there is no database yet."""
    file = _file(url)
    if file is not None and not file.exists():
        return ()
    from hobnote.keeping.foods import OwnFoods

    store = OwnFoods.open(url)
    try:
        return tuple(food.as_food() for food in store)
    finally:
        store.close()


class OwnPantries:
    """Pantries with the own foods of one database, renewed when those change.

    The same object is given as long as they stay, so whoever keeps something
    that was worked out with it sees whether it still holds. For several threads.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._kept: tuple[str, dict[str, Pantry]] = ("", {})

    def __call__(self, measures: str = "us") -> Pantry:
        """The pantry of a locale. Raises KeepingError."""
        from hobnote.keeping.foods import kept_foods, stamp

        now = stamp(self._engine)
        if not now:
            return open_pantry(measures)
        kept = self._kept
        if kept[0] != now:
            kept = self._kept = (now, {})
        if measures not in kept[1]:
            own = [food.as_food() for food in kept_foods(self._engine)]
            kept[1].setdefault(measures, open_pantry(measures).with_own(own))
        return kept[1][measures]


def _file(url: str | None) -> Path | None:
    """The SQLite file that ``url`` or the default names; None for any other database."""
    address = url or os.environ.get(VARIABLE)
    if not address:
        from platformdirs import user_data_dir

        return Path(user_data_dir("hobnote", appauthor=False)) / FILE
    if "://" not in address:
        return Path(address)
    scheme, _, path = address.partition("://")
    if scheme != "sqlite" or path in ("", "/", "/:memory:"):
        return None
    return Path(path.removeprefix("/"))
