"""Opening the database: where it is, how SQLite is set up, and clear words for what fails."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError, NoSuchModuleError

from hobnote.keeping.errors import KeepingError

VARIABLE = "HOBNOTE_DATABASE"
WAIT_SECONDS = 10
"""How long a writer waits for another one before it gives up."""


def default_url() -> str:
    """``HOBNOTE_DATABASE`` if it is set, else a file in the user's data folder."""
    named = os.environ.get(VARIABLE)
    if named:
        return named
    from platformdirs import user_data_dir

    return f"sqlite:///{Path(user_data_dir('hobnote', appauthor=False)) / 'recipes.sqlite3'}"


def open_engine(url: str | None = None) -> Engine:
    """An engine for ``url`` (a SQLAlchemy URL, or a path to a SQLite file).

    Raises :class:`KeepingError` where the URL, its driver or its folder cannot be used.
    """
    address = url or default_url()
    if "://" not in address:
        address = f"sqlite:///{address}"
    try:
        parsed = make_url(address)
        if parsed.get_backend_name() == "sqlite":
            _make_folder(parsed)
        engine = create_engine(parsed)
    except (ArgumentError, NoSuchModuleError):
        raise KeepingError(
            f"'{address}' is not a database address; give a file, sqlite:///FILE "
            "or postgresql+psycopg://USER@HOST/NAME."
        ) from None
    except ModuleNotFoundError as problem:
        raise KeepingError(
            f"the database driver '{problem.name}' is not installed; install it with pip."
        ) from None
    if engine.dialect.name == "sqlite":
        _set_up_sqlite(engine)
    return engine


def name_of(url: URL) -> str:
    """The database as the user knows it, without a password."""
    if url.get_backend_name() == "sqlite":
        return url.database or "the database in memory"
    return url.render_as_string(hide_password=True)


def _make_folder(url: URL) -> None:
    if not url.database or url.database == ":memory:":
        return
    folder = Path(url.database).expanduser().parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise KeepingError(
            f"the folder {folder} for the recipes cannot be made ({problem.strerror}); "
            f"choose another with --database or {VARIABLE}."
        ) from None


def _set_up_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def connected(connection: Any, _record: Any) -> None:
        # SQLAlchemy, not the driver, begins transactions: DDL is then transactional too.
        connection.isolation_level = None
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout = {WAIT_SECONDS * 1000}")
        cursor.execute("PRAGMA journal_mode = WAL")
        # FULL: what was acknowledged is on the disk, power cut or not.
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        # A writer takes its lock at once, so that it never fails half way.
        reading = connection.get_execution_options().get("reading", False)
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A connection that only reads."""
    with told(engine), engine.connect().execution_options(reading=True) as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction; it is on the disk when the block has ended."""
    with told(engine), engine.begin() as connection:
        yield connection


@contextmanager
def told(engine: Engine) -> Iterator[None]:
    """Turn what the database says into one sentence."""
    try:
        yield
    except IntegrityError:
        raise  # two writers met: the store says who came first
    except DBAPIError as problem:
        raise KeepingError(_sentence(engine, problem)) from problem
    except sqlite3.Error as problem:  # while connecting, before SQLAlchemy wraps it
        raise KeepingError(_sentence(engine, problem)) from problem


def _sentence(engine: Engine, problem: Exception) -> str:
    name = name_of(engine.url)
    cause = str(getattr(problem, "orig", problem) or problem)
    lower = cause.lower()
    if "not a database" in lower or "malformed" in lower or "corrupt" in lower:
        return (
            f"the recipes in {name} are damaged ({cause}); put a copy back, or move the file away "
            "and a new one is begun."
        )
    if "readonly" in lower or "read-only" in lower or "unable to open" in lower:
        return (
            f"the recipes in {name} cannot be written ({cause}); check the permissions of the "
            f"file and its folder, or choose another with --database or {VARIABLE}."
        )
    if "locked" in lower or "busy" in lower:
        return f"the recipes in {name} are being written by another program; try again."
    if "disk" in lower and "full" in lower:
        return f"the disk that holds {name} is full; nothing was written."
    return f"the database {name} does not answer ({' '.join(cause.split())[:200]})."
