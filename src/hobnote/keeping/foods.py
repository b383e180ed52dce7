"""The cook's own foods in the database: one row a food, by its name."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Engine, delete, insert, select, update
from sqlalchemy.engine import RowMapping

from hobnote.keeping.engine import open_engine, reading, writing
from hobnote.keeping.errors import KeepingError
from hobnote.keeping.faults import Unreadable
from hobnote.keeping.migrate import migrate
from hobnote.keeping.schema import own_foods
from hobnote.pantry.own import OwnFood
from hobnote.pantry.words import plain


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

    def close(self) -> None:
        """Let go of the connections."""
        self.engine.dispose()

    def __iter__(self) -> Iterator[OwnFood]:
        return iter(kept_foods(self.engine))

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


def kept_foods(engine: Engine) -> list[OwnFood]:
    """Every own food by name, of a database that is up to date."""
    with reading(engine) as connection:
        rows = connection.execute(select(own_foods).order_by(own_foods.c.key)).mappings().all()
        return [_food(row) for row in rows]


def stamp(engine: Engine) -> str:
    """Another word with every food that is saved or removed; empty where there is none."""
    with reading(engine) as connection:
        query = select(own_foods.c.key, own_foods.c.changed).order_by(own_foods.c.key)
        rows = connection.execute(query).all()
    text = "\n".join(f"{row.key} {row.changed}" for row in rows)
    return hashlib.sha256(text.encode()).hexdigest()[:12] if rows else ""


def _values(food: OwnFood) -> dict[str, Any]:
    return {
        "name": food.name,
        "figures": json.dumps(dict(food.figures)),
        "serving_g": food.serving_g,
        "density_g_ml": food.density_g_ml,
        "note": food.note,
        "changed": datetime.now(UTC).isoformat(),
    }


def _food(row: RowMapping) -> OwnFood:
    try:
        return OwnFood(
            name=row["name"],
            figures=json.loads(row["figures"]),
            serving_g=row["serving_g"],
            density_g_ml=row["density_g_ml"],
            note=row["note"],
        )
    except (ValueError, TypeError):
        raise Unreadable("an own food cannot be read back") from None
