"""From what a database or a disk says to one sentence; damaged files are copied first."""

from __future__ import annotations

import shutil
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy.engine import URL

from hobnote.keeping.errors import KeepingError, StoreDamaged, StoreFull, StoreReadOnly

VARIABLE = "HOBNOTE_DATABASE"
NO_ROOM = 256 * 1024
"""Bytes free below which a refused write is put down to a full disk: SQLite reports
a log or an index that cannot grow as a plain error of the disk."""
_SUFFIXES = ("", "-wal", "-journal")

_DAMAGED = frozenset({"SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_IOERR_CORRUPTFS"})
# Classes and codes of SQLSTATE: https://www.postgresql.org/docs/current/errcodes-appendix.html
_DAMAGED_STATES = frozenset({"XX001", "XX002"})
_FULL_STATES = frozenset({"53100"})
_READ_ONLY_STATES = frozenset({"25006", "42501"})


class Unreadable(Exception):
    """A row that no Hobnote wrote like that, as half a sentence without the cook's words."""


def name_of(url: URL) -> str:
    """The database as the user knows it, without a password."""
    if url.get_backend_name() == "sqlite":
        return url.database or "the database in memory"
    return url.render_as_string(hide_password=True)


def file_of(url: URL) -> Path | None:
    """The file of a SQLite database; None for any other and for one in memory."""
    if url.get_backend_name() != "sqlite" or not url.database or url.database == ":memory:":
        return None
    return Path(url.database)


def fault(url: URL, problem: Exception, *, copy: bool = True) -> KeepingError:
    """What ``problem``, raised by the driver (or wrapped by SQLAlchemy), comes to.

    Of a damaged file a copy is put beside it, unless ``copy`` is False.
    """
    found = getattr(problem, "orig", None) or problem
    code = str(getattr(found, "sqlite_errorname", "") or "")
    state = str(getattr(found, "sqlstate", "") or "")
    cause = " ".join(str(found).split())[:200]
    name = name_of(url)
    if "could not decode" in cause.lower():
        return damaged(url, "text in it cannot be decoded", copy=copy)  # the words are not repeated
    if _among(code, _DAMAGED) or state in _DAMAGED_STATES:
        return damaged(url, cause, copy=copy)
    if code == "SQLITE_FULL" or state in _FULL_STATES or (_of_disk(code) and _no_room(url)):
        return StoreFull(
            f"there is no room left for the recipes in {name}; nothing was written and nothing "
            "kept before is lost: make room, then do it again."
        )
    if _among(code, {"SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH"}) or (
        state in _READ_ONLY_STATES
    ):
        return StoreReadOnly(
            f"the recipes in {name} cannot be written ({cause}); check the permissions of the "
            f"file and its folder, or choose another with --database or {VARIABLE}."
        )
    if _among(code, {"SQLITE_BUSY", "SQLITE_LOCKED"}):
        return KeepingError(
            f"the recipes in {name} are being written by another program; try again."
        )
    if _of_disk(code):
        return KeepingError(
            f"the disk that holds {name} does not do what it is asked ({cause}, {code}); nothing "
            "was written: look at the disk and at limits on its use, then do it again."
        )
    return KeepingError(f"the database {name} does not answer ({cause}).")


def _among(code: str, codes: frozenset[str] | set[str]) -> bool:
    """Whether an extended result code is one of ``codes`` or a special case of one."""
    return any(code == one or code.startswith(f"{one}_") for one in codes)


def _of_disk(code: str) -> bool:
    return _among(code, {"SQLITE_IOERR"})


def _no_room(url: URL) -> bool:
    file = file_of(url)
    try:
        return file is not None and shutil.disk_usage(file.parent).free < NO_ROOM
    except OSError:
        return False


def damaged(url: URL, cause: str, *, copy: bool = True) -> StoreDamaged:
    """The sentence for a store that cannot be read back, after a copy was put beside it."""
    file, name = file_of(url), name_of(url)
    if file is None:
        return StoreDamaged(
            cause,
            f"the recipes in {name} are damaged ({cause}); stop writing to it and bring back a "
            "dump with the database's own tools."
        )
    kept = "they are left as they are"
    if copy:
        try:
            kept += f", with a copy in {_copy_beside(file).name} beside them"
        except OSError as problem:
            kept += f", as no copy could be made beside them ({problem})"
    return StoreDamaged(
        cause,
        f"the recipes in {name} are damaged ({cause}); {kept}: put a backup in their place with "
        "'hobnote restore BACKUP --replace', or move the file away and new ones are begun.",
    )


def _copy_beside(file: Path) -> Path:
    """A copy of a damaged database with its log, one for each state of the file."""
    seen = datetime.fromtimestamp(file.stat().st_mtime, UTC).strftime("%Y%m%d-%H%M%S")
    copy = file.with_name(f"{file.stem}.damaged-{seen}{file.suffix}")
    if copy.exists():
        return copy
    pairs = [
        (f"{file}{suffix}", f"{copy}{suffix}")
        for suffix in reversed(_SUFFIXES)  # the database last: once it is there, all is
        if Path(f"{file}{suffix}").exists()
    ]
    # In a process of its own: to close a file drops every lock that this process has on
    # it, and a service may be in the middle of writing.
    words = [word for pair in pairs for word in pair]
    done = subprocess.run(
        [sys.executable, "-S", "-E", "-c", _COPY, *words],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        for _, target in pairs:
            for left in (target, f"{target}.part"):
                Path(left).unlink(missing_ok=True)
        raise OSError(done.stderr.strip() or "copying failed")
    return copy


_COPY = """
import os, shutil, sys
try:
    for old, new in zip(sys.argv[1::2], sys.argv[2::2]):
        shutil.copy2(old, new + ".part")
        with open(new + ".part", "rb") as copied:
            os.fsync(copied.fileno())
        os.replace(new + ".part", new)
except OSError as problem:
    sys.exit(problem.strerror or str(problem))
"""

