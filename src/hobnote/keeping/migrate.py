"""Bringing the database up to date at start-up, once, under the write lock."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from hobnote.keeping.engine import reading, writing
from hobnote.keeping.errors import KeepingError

HEAD = "0004"
"""The newest migration; tests hold it against the files in ``migrations/versions``."""


def migrate(engine: Engine) -> None:
    """Run the migrations that the database lacks. A database of a newer Hobnote is refused."""
    with reading(engine) as connection:
        if _current(connection) == HEAD:
            return
    # Alembic takes a moment to import: only when there is something to do.
    from alembic import command
    from alembic.config import Config
    from alembic.util.exc import CommandError

    with writing(engine) as connection:
        if _current(connection) == HEAD:  # another process was quicker
            return
        config = Config()
        config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
        config.attributes["connection"] = connection
        try:
            command.upgrade(config, "head")
        except CommandError as problem:
            raise KeepingError(
                f"these recipes were written by a newer Hobnote ({problem}); install that one."
            ) from None


def _current(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return str(found) if found is not None else None
