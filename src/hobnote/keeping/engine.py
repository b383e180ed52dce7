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
from hobnote.keeping.faults import VARIABLE, Unreadable, damaged, fault, file_of

WAIT_SECONDS = 10
"""How long a writer waits for another one before it gives up."""


_OURS = """SELECT NOT EXISTS (SELECT 1 FROM sqlite_master)
    OR EXISTS (SELECT 1 FROM sqlite_master WHERE name = 'alembic_version')"""


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
    try:
        parsed = address_of(address)
        if parsed.get_backend_name() == "sqlite":
            _make_folder(parsed)
            look_at(parsed)
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


def address_of(address: str) -> URL:
    """A SQLAlchemy URL from one, or from a path to a SQLite file. Raises ArgumentError."""
    if "://" in address:
        return make_url(address)
    return URL.create("sqlite", database=address)


def _make_folder(url: URL) -> None:
    file = file_of(url)
    if file is None:
        return
    folder = file.parent
    try:
        make_folder(folder)
    except OSError as problem:
        raise KeepingError(
            f"the folder {folder} for the recipes cannot be made ({problem.strerror}); "
            f"choose another with --database or {VARIABLE}."
        ) from None


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, each on the disk before anything is put in it."""
    if folder.is_dir():
        return
    if not folder.parent.is_dir():
        make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    sync(folder.parent)


def sync(path: Path) -> None:
    """Onto the disk with a file, or with the names in a folder."""
    if os.name == "nt" and path.is_dir():
        return  # there, folders cannot be opened
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def look_at(url: URL) -> None:
    """Stop before SQLite would throw away a log whose database was cut to nothing."""
    file = file_of(url)
    try:
        if file is None or file.stat().st_size:
            return
        left = Path(f"{file}-wal").stat().st_size
    except OSError:
        return
    if left:
        raise damaged(url, "the file is empty, but its log is not")


def _set_up_sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def connected(connection: Any, _record: Any) -> None:
        # SQLAlchemy, not the driver, begins transactions: DDL is then transactional too.
        connection.isolation_level = None
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout = {WAIT_SECONDS * 1000}")
        if cursor.execute(_OURS).fetchone()[0]:  # another program's file is left as it is
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
    # A copy that is only being checked is not worth another one.
    copy = not engine.get_execution_options().get("checking", False)
    try:
        yield
    except IntegrityError:
        raise  # two writers met: the store says who came first
    except Unreadable as problem:
        raise damaged(engine.url, str(problem), copy=copy) from None
    except (DBAPIError, sqlite3.Error) as problem:  # the driver's own: while connecting
        raise fault(engine.url, problem, copy=copy) from problem
