"""Finds the notes behind the paths of a batch, and reads one at a time.

A path is a file, a folder, a pattern with ``*``, a tar or zip archive, an
NDJSON file, or ``-`` for NDJSON on standard input; ``protocol://`` before it
takes it from elsewhere (``places``). Folders and archives give
the files that look like notes (``SUFFIXES``); hidden ones are passed over.
Whatever cannot be taken comes out as :class:`Refused`; only a path that leads
nowhere raises.
"""

from __future__ import annotations

import glob
import json
import os
import sys
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import IO, Final

from hobnote.batch.archives import is_archive, members, size_of
from hobnote.batch.errors import BatchError
from hobnote.batch.notes import MOST_BYTES, TOO_LARGE, Note, Refused
from hobnote.batch.places import Place, Remote, found_at, is_remote, local_path
from hobnote.reading.errors import ReadingError

SUFFIXES: Final = frozenset({".txt", ".text", ".md", ".vtt", ".srt"})
_LINES: Final = frozenset({".ndjson", ".jsonl"})
AHEAD: Final = 16
"""Files from elsewhere that are fetched at once: what costs is the way, not the bytes."""


def files_of(paths: Sequence[str]) -> list[Place | None]:
    """The files behind ``paths``, folders and patterns opened; None for standard input.

    Raises :class:`BatchError` for a path where there is nothing.
    """
    found: dict[Place | None, None] = {}
    for path in map(local_path, paths):
        if path == "-":
            found[None] = None
        elif is_remote(path):
            places = found_at(path, lambda name: _is_note(name) or is_archive(name))
            found.update(dict.fromkeys(places))
        elif Path(path).is_dir():
            found.update(dict.fromkeys(_inside(Path(path))))
        elif os.path.lexists(path):
            found[Path(path)] = None
        else:
            fits = _fitting(path)
            if not fits:
                raise BatchError(f"{path}: there is no such file or folder.")
            found.update(dict.fromkeys(p for p in map(Path, fits) if not p.is_dir()))
    return list(found)


def _fitting(pattern: str) -> list[str]:
    if not glob.has_magic(pattern):
        return []
    return sorted(glob.glob(pattern, recursive=True))  # noqa: PTH207  (may be absolute)


def _inside(folder: Path) -> Iterator[Path]:
    for where, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            path = Path(where, name)
            if not name.startswith(".") and (_is_note(name) or is_archive(name)):
                yield path


def _is_note(name: str) -> bool:
    suffix = Path(name).suffix.lower()
    return suffix in SUFFIXES or suffix in _LINES


def count(files: Iterable[Place | None]) -> int | None:
    """How many notes the files hold; None where that takes reading them."""
    total = 0
    for path in files:
        if path is None or path.suffix.lower() in _LINES:
            return None
        held = size_of(path, SUFFIXES) if is_archive(path.name) else 1
        if held is None:
            return None
        total += held
    return total


def notes_of(files: Iterable[Place | None]) -> Iterator[Note | Refused]:
    """Every note of the files, in order."""
    for path in _fetched(files):
        if isinstance(path, Note | Refused):
            yield path
        elif path is None:
            yield from read_lines(sys.stdin.buffer, "standard input")
        elif is_archive(path.name):
            yield from members(path, SUFFIXES)
        else:
            try:
                with path.open("rb") as stream:
                    yield from read_lines(stream, str(path))
            except OSError as problem:
                yield _unreadable(path, problem)


def _fetched(files: Iterable[Place | None]) -> Iterator[Place | Note | Refused | None]:
    """Files that are one note each are read here, those from elsewhere some ahead of their turn."""
    with ThreadPoolExecutor(AHEAD) as pool:
        coming: deque[Future[Note | Refused]] = deque()
        for path in files:
            if path is None or is_archive(path.name) or path.suffix.lower() in _LINES:
                yield from (one.result() for one in coming)
                coming.clear()
                yield path
            elif isinstance(path, Remote):
                coming.append(pool.submit(_file, path))
                if len(coming) > 2 * AHEAD:
                    yield coming.popleft().result()
            else:
                yield _file(path)
        yield from (one.result() for one in coming)


def _file(path: Place) -> Note | Refused:
    try:
        if isinstance(path, Path) and path.exists() and not path.is_file():
            return Refused(str(path), "this is not a regular file.")
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as problem:
        return _unreadable(path, problem)
    if len(data) > MOST_BYTES:
        return Refused(str(path), TOO_LARGE)
    return Note(str(path), data)


def _unreadable(path: Place, problem: OSError) -> Refused:
    return Refused(str(path), f"this file cannot be read ({problem.strerror or problem}).")


def read_lines(stream: IO[bytes], name: str) -> Iterator[Note | Refused]:
    """Notes from NDJSON: a string a line, or an object with ``text`` and perhaps ``name``."""
    number = 0
    while line := stream.readline(2 * MOST_BYTES):
        number += 1
        where = f"{name}, line {number}"
        if len(line) >= 2 * MOST_BYTES and not line.endswith(b"\n"):
            while (rest := stream.readline(MOST_BYTES)) and not rest.endswith(b"\n"):
                pass
            yield Refused(where, TOO_LARGE)
        elif line.strip():
            yield _line(line, where)


def _line(line: bytes, where: str) -> Note | Refused:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        return Refused(where, "this line is not JSON.")
    called = where
    if isinstance(found, dict):
        named, found = found.get("name"), found.get("text")
        called = named if isinstance(named, str) and named else where
    if not isinstance(found, str):
        return Refused(called, 'a line holds a string, or an object with a string as "text".')
    data = found.encode("utf-8", "replace")
    return Note(called, data) if len(data) <= MOST_BYTES else Refused(called, TOO_LARGE)


def text_of(note: Note) -> str | None:
    """The note's text as a record's ``Dictation.text`` would hold it; None where it has none."""
    from hobnote.reading.decoding import decode

    try:
        return decode(note.data, note.name)[0]
    except ReadingError:
        return None
