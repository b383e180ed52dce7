"""Whether a SQLite file holds a whole store: its pages, its layout, every message."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import inspect, select

from hobnote.keeping.engine import WAIT_SECONDS, open_engine, reading
from hobnote.keeping.errors import KeepingError, StoreDamaged
from hobnote.keeping.foods import OwnFoods
from hobnote.keeping.migrate import HEAD, revisions
from hobnote.keeping.schema import metadata, recipes
from hobnote.keeping.store import Store
from hobnote.keeping.tokens import Tokens


class NotWhole(Exception):
    """Why a file is no whole store, as half a sentence. ``newer``: it may be one some day."""

    def __init__(self, why: str, *, newer: bool = False) -> None:
        self.newer = newer
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class Contents:
    """What a store holds."""

    recipes: int
    messages: int
    foods: int
    tokens: int

    def told(self) -> str:
        """In words, without what there is none of."""
        pairs = [
            (self.recipes, "recipe"),
            (self.messages, "message"),
            (self.foods, "own food"),
            (self.tokens, "token"),
        ]
        told = [f"{n:,} {name}{'s' * (n != 1)}" for n, name in pairs if n]
        return ", ".join(told) or "nothing yet"


def open_file(file: Path) -> sqlite3.Connection:
    """A connection to a SQLite file that is there already; transactions are the caller's."""
    address = f"file:{quote(str(file))}?mode=rw"
    return sqlite3.connect(address, uri=True, isolation_level=None, timeout=WAIT_SECONDS)


def check_pages(file: Path) -> str:
    """Check the pages and the layout; gives the layout's number. Raises NotWhole."""
    try:
        with closing(open_file(file)) as connection:
            found = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
            if found != "ok":
                raise NotWhole(" ".join(str(found).split())[:200])
            if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
                raise NotWhole("a message in it belongs to no recipe")
            tables = {
                row[0]
                for row in connection.execute("SELECT name FROM sqlite_master WHERE type='table'")
            }
            if not {"alembic_version", "recipes", "turns"} <= tables:
                raise NotWhole("it holds no recipes of Hobnote")
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.Error as problem:
        raise NotWhole(str(problem)) from None
    layout = "" if row is None else str(row[0])
    if layout not in revisions():
        raise NotWhole(
            f"a newer Hobnote wrote it (layout {layout}; this one knows layouts up to {HEAD})",
            newer=True,
        )
    return layout


def check_contents(file: Path) -> Contents:
    """Read back everything in a store of the newest layout. Raises NotWhole.

    An older layout is brought up to date in the file: give a copy.
    """
    store = Store(open_engine(str(file)).execution_options(checking=True))
    try:
        _check_tables(store)
        with reading(store.engine) as connection:
            last = dict(connection.execute(select(recipes.c.id, recipes.c.version)).tuples().all())
        messages = 0
        for number, version in last.items():
            seen = [turn.version for turn in store.turns(number)]
            if seen != list(range(1, version + 1)):
                raise NotWhole(f"messages of recipe {number} are missing")
            messages += len(seen)
        foods = len(list(OwnFoods(store.engine)))
        tokens = len(Tokens(store.engine).list())
    except StoreDamaged as problem:
        raise NotWhole(problem.cause) from None
    except KeepingError as problem:
        raise NotWhole(str(problem)) from None
    finally:
        store.close()
    return Contents(len(last), messages, foods, tokens)


def _check_tables(store: Store) -> None:
    with reading(store.engine) as connection:
        seen = inspect(connection)
        for table in metadata.sorted_tables:
            if not seen.has_table(table.name):
                raise NotWhole(f"its table '{table.name}' is missing")
            columns = {column["name"] for column in seen.get_columns(table.name)}
            for column in table.columns:
                if column.name not in columns:
                    raise NotWhole(f"its table '{table.name}' has no column '{column.name}'")
