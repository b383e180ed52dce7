"""Bringing the database up to date at start-up, once, under the write lock."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from hobnote.keeping.engine import reading, writing
from hobnote.keeping.errors import KeepingError, StoreNewer
from hobnote.keeping.faults import damaged, name_of

HEAD = "0004"
"""The newest migration; tests hold it against the files in ``migrations/versions``."""


def migrate(engine: Engine) -> None:
    """Run the migrations that the database lacks, all of them or none.

    Raises :class:`StoreNewer` for a database of a newer Hobnote and
    :class:`KeepingError` for a file that is another program's; neither is touched.
    """
    with reading(engine) as connection:
        if _current(connection) == HEAD:
            return
    with writing(engine) as connection:
        found = _current(connection)
        if found == HEAD:  # another process was quicker
            return
        _check(connection, found)
        upgrade(connection)


def upgrade(connection: Connection, revision: str = "head") -> None:
    """Run migrations up to ``revision`` within the transaction of ``connection``."""
    # Alembic takes a moment to import: only when there is something to do.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    command.upgrade(config, revision)


def revisions() -> list[str]:
    """The migrations that this program knows, the first one first."""
    folder = Path(__file__).parent / "migrations" / "versions"
    return sorted(file.name.partition("_")[0] for file in folder.glob("[0-9]*_*.py"))


def _check(connection: Connection, found: str | None) -> None:
    url, name = connection.engine.url, name_of(connection.engine.url)
    if found is not None and found not in revisions():
        raise StoreNewer(
            f"the recipes in {name} were kept by a newer Hobnote (layout {found}; this one knows "
            f"layouts up to {HEAD}); nothing was touched: install the newer one."
        )
    tables = set(inspect(connection).get_table_names())
    if found is None and connection.dialect.name == "sqlite" and tables:
        if "alembic_version" in tables:
            raise damaged(url, "it does not say which layout it has")
        raise KeepingError(
            f"{name} is a database of another program and was left alone; give a file for the "
            "recipes with --database."
        )


def _current(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return str(found) if found is not None else None
