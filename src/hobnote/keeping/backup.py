"""Backups: a store as one file, taken while others write, and put back whole or not at all.

A backup is an ordinary SQLite file without a log beside it. What SQLite itself
offers for this (https://www.sqlite.org/backup.html) gives one moment of the
store, whoever writes meanwhile.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy.engine import URL
from sqlalchemy.exc import ArgumentError

from hobnote.keeping.checking import Contents, NotWhole, check_contents, check_pages, open_file
from hobnote.keeping.engine import address_of, default_url, look_at, make_folder, sync
from hobnote.keeping.errors import KeepingError, StoreDamaged, StoreNewer
from hobnote.keeping.faults import damaged, fault, file_of, name_of

_LEFT_BESIDE = ("-wal", "-journal")


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that was made; ``contents`` is None where an older layout was not looked into."""

    file: Path
    contents: Contents | None


@dataclass(frozen=True, slots=True)
class Restored:
    """A backup that was put back; ``before`` is where the recipes are that it replaced."""

    file: Path
    contents: Contents
    before: Path | None


def back_up(
    target: Path | None = None, url: str | None = None, *, overwrite: bool = False
) -> Backup:
    """Copy the store at ``url`` into the file ``target`` (or a folder; default: beside it).

    The copy is checked before it gets its name. Raises :class:`KeepingError`, one
    sentence; the store is never touched and no half of a file is left.
    """
    store = _store_file(url)
    if not store.exists():
        raise KeepingError(f"there are no recipes in {store} yet, so there is nothing to back up.")
    look_at(_url(store))
    target = _target(store, target)
    if target.exists() and target.samefile(store):
        raise KeepingError(f"{target} is the recipes' own file; give the backup another name.")
    if target.exists() and not overwrite:
        raise KeepingError(
            f"{target} is there already and was left alone; give another name, or --overwrite."
        )
    with _part(target) as part:
        _copy(store, part, target)
        try:
            layout = check_pages(part)
            contents = _look_into(part, layout)
        except NotWhole as problem:
            if problem.newer:
                raise StoreNewer(f"{store} was not backed up: {problem}.") from None
            raise damaged(_url(store), str(problem)) from None
        _name(part, target, overwrite)
    return Backup(target, contents)


def restore(backup: Path, url: str | None = None, *, replace: bool = False) -> Restored:
    """Put ``backup`` in the place of the store at ``url``, whole or not at all.

    A backup of an older layout is brought up to date. Recipes that are there are
    only replaced when told to, and are kept beside. Raises :class:`KeepingError`,
    one sentence; then the store is as before.
    """
    store = _store_file(url)
    if not backup.is_file():
        raise KeepingError(f"there is no file {backup} to restore from.")
    if store.exists() and store.samefile(backup):
        raise KeepingError(f"{backup} is the recipes' own file; give a backup of it.")
    _make_folder(store)
    with _part(store, like=store) as part:
        _copy(backup, part, store, from_backup=True)
        try:
            check_pages(part)
            contents = check_contents(part)
            _single(part)
        except NotWhole as problem:
            kind = StoreNewer if problem.newer else KeepingError
            raise kind(
                f"{backup} was not restored: {problem}; nothing was changed, use another one."
            ) from None
        except sqlite3.Error as problem:
            raise fault(_url(store), problem) from None
        before = _exchange(part, store, replace)
    return Restored(store, contents, before)


# -- where things are --------------------------------------------------------------


def _store_file(url: str | None) -> Path:
    address = url or default_url()
    try:
        parsed = address_of(address)
    except ArgumentError:
        raise KeepingError(f"'{address}' is not a database address.") from None
    if parsed.get_backend_name() == "postgresql":
        name = parsed.database or "NAME"
        raise KeepingError(
            f"the recipes in {name_of(parsed)} are kept by PostgreSQL: save them with "
            f"'pg_dump --format=custom --file=recipes.dump {name}' and bring them back with "
            f"'pg_restore --clean --if-exists --dbname={name} recipes.dump'."
        )
    file = file_of(parsed)
    if file is None:
        raise KeepingError(
            f"{name_of(parsed)} is no file that could be backed up or restored; use the "
            "database's own tools."
        )
    return file


def _url(file: Path) -> URL:
    return URL.create("sqlite", database=str(file))


def _stamp() -> str:
    return datetime.now(UTC).strftime("%Y%m%d-%H%M%S")


def _beside(file: Path, what: str) -> Path:
    """A name beside ``file`` that nothing has yet."""
    stamp = _stamp()
    for n in range(1, 1_000):
        name = file.with_name(f"{file.stem}.{what}-{stamp}{f'-{n}' * (n > 1)}{file.suffix}")
        if not name.exists():
            return name
    raise KeepingError(f"there are too many files like {name} beside {file}.")


def _target(store: Path, target: Path | None) -> Path:
    if target is None:
        return _beside(store, "backup")
    return target / _beside(store, "backup").name if target.is_dir() else target


def _make_folder(file: Path) -> None:
    try:
        make_folder(file.parent)
    except OSError as problem:
        raise KeepingError(f"the folder {file.parent} cannot be made ({problem.strerror}).") \
            from None


# -- copying ------------------------------------------------------------------------


@contextmanager
def _part(target: Path, like: Path | None = None) -> Iterator[Path]:
    """A new empty file beside ``target``, gone afterwards whatever happens.

    Only its owner may read it, unless a file that it is ``like`` says otherwise:
    a store holds digests of tokens.
    """
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    mode = like.stat().st_mode & 0o777 if like is not None and like.exists() else 0o600
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        part.chmod(mode)
    except OSError as problem:
        raise KeepingError(f"{target} cannot be written ({problem.strerror}).") from None
    try:
        yield part
    finally:
        for suffix in ("", "-wal", "-shm", "-journal"):
            with suppress(OSError):
                Path(f"{part}{suffix}").unlink(missing_ok=True)


def _copy(source: Path, part: Path, target: Path, *, from_backup: bool = False) -> None:
    """One moment of ``source`` into ``part``; ``target`` is how faults name it."""
    try:
        with closing(open_file(source)) as old, closing(open_file(part)) as new:
            old.backup(new)  # all pages under one lock that lets others write
        _single(part)
    except sqlite3.Error as problem:
        if _writing(problem):
            raise fault(_url(target), problem) from None
        if not from_backup:
            raise fault(_url(source), problem) from None
        raise KeepingError(
            f"{source} was not restored: it is no whole backup ({problem}); nothing was changed, "
            "use another one."
        ) from None


def _writing(problem: sqlite3.Error) -> bool:
    """Whether the copy, not the original, is at fault."""
    name = str(getattr(problem, "sqlite_errorname", ""))
    return name.startswith(("SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_FSYNC"))


def _single(file: Path) -> None:
    """No log beside the file: it alone is everything."""
    with closing(open_file(file)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    sync(file)


def _look_into(part: Path, layout: str) -> Contents | None:
    from hobnote.keeping.migrate import HEAD

    if layout != HEAD:  # the copy stays as the old program wrote it
        return None
    contents = check_contents(part)
    try:
        _single(part)
    except sqlite3.Error as problem:
        raise NotWhole(str(problem)) from None
    return contents


def _name(part: Path, target: Path, overwrite: bool) -> None:
    """Give the finished file its name; another's file that came meanwhile is left alone."""
    try:
        if overwrite:
            part.replace(target)
        else:
            _link(part, target)
        sync(target.parent)
    except FileExistsError:
        raise KeepingError(f"{target} was made by somebody else meanwhile.") from None
    except OSError as problem:
        raise KeepingError(f"{target} cannot be written ({problem.strerror}).") from None


def _link(old: Path, new: Path) -> None:
    """``new`` is another name of ``old``; where disks know no second names, ``old`` is renamed."""
    try:
        new.hardlink_to(old)
    except FileExistsError:
        raise
    except OSError:
        if new.exists():
            raise FileExistsError(str(new)) from None
        old.rename(new)


# -- putting back --------------------------------------------------------------------


def _exchange(part: Path, store: Path, replace: bool) -> Path | None:
    """Put ``part`` in the place of ``store``, which gets a name beside, if it held anything."""
    left = [Path(f"{store}{suffix}") for suffix in _LEFT_BESIDE]
    if not store.exists() or not store.stat().st_size:
        # SQLite would throw away a log whose database is gone: it must not open this one.
        logged = any(log.exists() and log.stat().st_size for log in left)
        before = _keep_beside(store, left, replace) if logged else None
        _swap(part, store)
        return before
    with _alone(store) as rows:
        if rows is not None:  # all is in the file now; what is left of a log is void
            _forget(left)
        if rows == 0:
            _swap(part, store)
            return None
        before = _keep_beside(store, left, replace)
        _swap(part, store)
    return before


def _keep_beside(store: Path, logs: list[Path], replace: bool) -> Path:
    """Another name for what is there; refused unless told to."""
    if not replace:
        raise KeepingError(
            f"there are recipes in {store} already and they were left alone; with --replace "
            "they are kept beside and the backup takes their place."
        )
    before = _beside(store, "before-restore")
    try:
        if store.exists():
            _link(store, before)
        for log in logs:
            if log.exists():
                log.rename(f"{before}{log.name.removeprefix(store.name)}")
    except OSError as problem:
        raise KeepingError(
            f"the recipes in {store} cannot be kept beside it ({problem.strerror}), so "
            "nothing was changed."
        ) from None
    return before


def _forget(logs: list[Path]) -> None:
    try:
        for log in logs:
            log.unlink(missing_ok=True)
    except OSError as problem:
        raise KeepingError(f"{problem.filename} cannot be removed ({problem.strerror}).") from None


def _swap(part: Path, store: Path) -> None:
    try:
        Path(f"{store}-shm").unlink(missing_ok=True)
        part.replace(store)
        sync(store.parent)
    except OSError as problem:
        raise KeepingError(f"{store} cannot be written ({problem.strerror}).") from None


@contextmanager
def _alone(store: Path) -> Iterator[int | None]:
    """While nobody else has the store open: how many rows it holds; None: it cannot be told.

    A service that went on with the old file would acknowledge what is then lost.
    """
    connection: sqlite3.Connection | None = None
    rows: int | None = None
    try:
        try:
            connection = open_file(store)
            connection.execute("PRAGMA busy_timeout = 1000")
            _check_ours(connection, store)
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
            connection.execute("BEGIN EXCLUSIVE")
            connection.execute("COMMIT")  # the lock stays
            [mode] = connection.execute("PRAGMA journal_mode = DELETE").fetchone()
            connection.execute("BEGIN EXCLUSIVE")
            if mode != "delete":
                raise KeepingError(f"the recipes in {store} are open in another program.")
            rows = _rows(connection)
        except sqlite3.Error as problem:
            told = _held(store, problem)
            if told is not None:
                raise told from None
        yield rows
    finally:
        if connection is not None:
            connection.close()


def _held(store: Path, problem: sqlite3.Error) -> KeepingError | None:
    name = str(getattr(problem, "sqlite_errorname", ""))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return KeepingError(
            f"the recipes in {store} are open in another program (the service, a chat); "
            "stop it, then restore."
        )
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return None  # damaged: it is kept beside as it is
    told = fault(_url(store), problem)
    return None if isinstance(told, StoreDamaged) else told


def _tables(connection: sqlite3.Connection) -> set[str]:
    query = "SELECT name FROM sqlite_master WHERE type = 'table'"
    return {str(row[0]) for row in connection.execute(query)}


def _check_ours(connection: sqlite3.Connection, store: Path) -> None:
    tables = _tables(connection)
    if tables and "alembic_version" not in tables:
        raise KeepingError(f"{store} is a database of another program and was left alone.")


def _rows(connection: sqlite3.Connection) -> int:
    return sum(
        int(connection.execute(f'SELECT count(*) FROM "{table}"').fetchone()[0])
        for table in _tables(connection) - {"alembic_version"}
    )
