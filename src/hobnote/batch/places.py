"""Files that are elsewhere: any ``protocol://`` path that fsspec and what is installed know.

``file://`` is the disk. Everything else is a :class:`Remote`, which has the few
things of a ``Path`` that reading notes needs.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, Any, Final, cast

from hobnote.batch.errors import BatchError

_SCHEME: Final = re.compile(r"([A-Za-z][\w+.-]+)(?=://|::)")
_DATABASES: Final = frozenset({"sqlite", "postgresql", "postgres"})


@dataclass(frozen=True)
class Remote:
    """A file of a file system of fsspec's."""

    fs: Any
    path: str

    def __str__(self) -> str:
        return str(self.fs.unstrip_protocol(self.path))

    @property
    def name(self) -> str:
        """The last part of its path."""
        return PurePosixPath(self.path).name

    @property
    def suffix(self) -> str:
        """The ending of its name, with the dot."""
        return PurePosixPath(self.path).suffix

    def open(self, mode: str = "rb") -> IO[bytes]:
        """The file's bytes. Raises OSError."""
        return cast("IO[bytes]", self.fs.open(self.path, mode))


Place = Path | Remote


def length(place: Place) -> int:
    """Bytes of a file. Raises OSError."""
    if isinstance(place, Path):
        return place.stat().st_size
    return int(place.fs.size(place.path) or 0)


def scheme(path: str) -> str:
    """The protocol before ``://`` (of several, the first), or ""."""
    found = _SCHEME.match(path)
    return found[1].lower() if found else ""


def is_remote(path: str) -> bool:
    """Whether ``path`` is for fsspec: neither on the disk nor a database."""
    return bool(scheme(path)) and not is_database(path)


def is_database(path: str) -> bool:
    """Whether ``path`` is the address of a database."""
    return scheme(path).partition("+")[0] in _DATABASES


def local_path(path: str) -> str:
    """``path`` without a ``file://`` before it."""
    return path.removeprefix("file://") if path.lower().startswith("file://") else path


def file_system(path: str) -> tuple[Any, str]:
    """The file system of ``path`` and the path in it. Raises :class:`BatchError`."""
    try:
        from fsspec.core import url_to_fs
    except ModuleNotFoundError:
        raise BatchError(
            f"{path}: paths with :// need the library fsspec; install hobnote[dask]."
        ) from None
    try:
        found = url_to_fs(path)
    except (ImportError, ValueError, OSError) as problem:
        raise BatchError(f"{path}: {_words(problem)}") from None
    return found[0], str(found[1])


def found_at(path: str, wanted: Callable[[str], bool]) -> list[Remote]:
    """The files behind a remote path: one file, a folder's ``wanted`` ones, or a pattern's.

    Raises :class:`BatchError` where there is nothing.
    """
    fs, inside = file_system(path)
    try:
        if fs.isfile(inside):
            return [Remote(fs, inside)]
        if fs.isdir(inside):
            root = inside.rstrip("/")
            names = (str(name) for name in sorted(fs.find(inside)))
            return [
                Remote(fs, name)
                for name in names
                if wanted(name) and "/." not in name.removeprefix(root)
            ]
        fits = [Remote(fs, name) for name in sorted(fs.glob(inside)) if fs.isfile(name)]
    except Exception as problem:  # each protocol has errors of its own
        raise BatchError(f"{path}: {_words(problem)}") from None
    if not fits:
        raise BatchError(f"{path}: there is no such file or folder.")
    return fits


def _words(problem: Exception) -> str:
    said = " ".join(str(problem).split())[:200] or type(problem).__name__
    return said if said.endswith(".") else f"{said}."
