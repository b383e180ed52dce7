"""The cook's own foods in the database: one row a food, by its name."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import Engine, delete, insert, select, update
from sqlalchemy.engine import RowMapping, make_url
from sqlalchemy.exc import ArgumentError

from hobnote.keeping.engine import default_url, open_engine, reading, writing
from hobnote.keeping.errors import KeepingError
from hobnote.keeping.migrate import migrate
from hobnote.keeping.schema import own_foods
from hobnote.pantry import open_pantry
from hobnote.pantry.own import OwnFood
from hobnote.pantry.words import plain

if TYPE_CHECKING:
    from hobnote.pantry.pantry import Pantry


class NoSuchFood(KeepingError):
    """No own food has this name."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"you have no food called '{name}'; 'hobnote food list' shows those that there are."
        )


class OwnFoods:
    """Own foods, kept by their plain lower-case name. Every write is on the disk at once."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        migrate(engine)

    @classmethod
    def open(cls, url: str | None = None) -> OwnFoods:
        """The foods at ``url`` (default: ``HOBNOTE_DATABASE``, else the user's data folder)."""
        return cls(open_engine(url))

    @classmethod
    def open_if_there(cls, url: str | None = None) -> OwnFoods | None:
        """As :meth:`open`, but a SQLite file that does not exist yet is not made: None."""
        address = url or default_url()
        try:
            parsed = make_url(address if "://" in address else f"sqlite:///{address}")
        except ArgumentError:
            return cls.open(url)  # says what is wrong with the address
        file = parsed.database if parsed.get_backend_name() == "sqlite" else None
        if file and file != ":memory:" and not Path(file).exists():
            return None
        return cls.open(url)

    def close(self) -> None:
        """Let go of the connections."""
        self.engine.dispose()

    def __iter__(self) -> Iterator[OwnFood]:
        with reading(self.engine) as connection:
            rows = connection.execute(select(own_foods).order_by(own_foods.c.key)).mappings().all()
        return iter([_food(row) for row in rows])

    def get(self, name: str) -> OwnFood:
        """The food of that name; raises :class:`NoSuchFood`."""
        with reading(self.engine) as connection:
            query = select(own_foods).where(own_foods.c.key == plain(name))
            row = connection.execute(query).mappings().first()
        if row is None:
            raise NoSuchFood(name)
        return _food(row)

    def save(self, food: OwnFood) -> bool:
        """Keep ``food``, over one of the same name; True when it is new."""
        key = plain(food.name)
        with writing(self.engine) as connection:
            known = connection.execute(select(own_foods.c.key).where(own_foods.c.key == key))
            if known.first() is None:
                connection.execute(insert(own_foods).values(key=key, **_values(food)))
                return True
            connection.execute(
                update(own_foods).where(own_foods.c.key == key).values(**_values(food))
            )
            return False

    def remove(self, name: str) -> None:
        """Forget the food of that name; raises :class:`NoSuchFood`."""
        with writing(self.engine) as connection:
            gone = connection.execute(delete(own_foods).where(own_foods.c.key == plain(name)))
        if gone.rowcount == 0:
            raise NoSuchFood(name)


def pantry_with_own(measures: str = "us", url: str | None = None) -> Pantry:
    """The pantry of a locale that prefers the cook's own foods, where any are kept.

    A database that does not exist yet is not made.
    """
    pantry = open_pantry(measures)
    store = OwnFoods.open_if_there(url)
    if store is None:
        return pantry
    own = [food.as_food() for food in store]
    store.close()
    return pantry.with_own(own) if own else pantry


def _values(food: OwnFood) -> dict[str, Any]:
    return {
        "name": food.name,
        "figures": json.dumps(dict(food.figures)),
        "serving_g": food.serving_g,
        "density_g_ml": food.density_g_ml,
        "note": food.note,
        "changed": datetime.now(UTC).isoformat(timespec="seconds"),
    }


def _food(row: RowMapping) -> OwnFood:
    return OwnFood(
        name=row["name"],
        figures=json.loads(row["figures"]),
        serving_g=row["serving_g"],
        density_g_ml=row["density_g_ml"],
        note=row["note"],
    )
