"""Reads notes out of tar and zip archives without unpacking anything to the disk.

An archive may be hostile. Nothing is read beyond the size of a note, a stream
that swells far beyond its file ends the archive, and members that are not
plain files, are locked, or are named so as to lead out of it are refused.
"""

from __future__ import annotations

import bz2
import gzip
import lzma
import stat
import tarfile
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import IO, Final, cast

from hobnote.batch.notes import MOST_BYTES, TOO_LARGE, Note, Refused
from hobnote.batch.places import Place, length

MOST_MEMBERS: Final = 1_000_000
SWELL: Final = 200
"""How many times its size an archive may unpack to; text seldom reaches 10."""
ALWAYS_ALLOWED: Final = 100_000_000
"""Bytes that any tar archive may unpack to, whatever its size."""
_TAR: Final = (".tar", ".tar.gz", ".tgz", ".tar.bz2", ".tbz2", ".tar.xz", ".txz")
_BROKEN: Final = (zipfile.BadZipFile, tarfile.TarError, lzma.LZMAError, zlib.error,
                  EOFError, OSError, NotImplementedError, RuntimeError, ValueError)  # fmt: skip
_CROWDED: Final = f"this archive has more than {MOST_MEMBERS:,} members."
_OUTSIDE: Final = "its name leads out of the archive."
_SWELLS: Final = "this unpacks to far more than its size; it is no archive of notes."


class _Swells(Exception):
    """A stream became far longer than its file."""


def is_archive(name: str) -> bool:
    """Whether a file is an archive, by its name."""
    return name.lower().endswith((".zip", *_TAR))


def size_of(path: Place, suffixes: frozenset[str]) -> int | None:
    """How many notes an archive holds where its list tells (zip), else None."""
    if not path.name.lower().endswith(".zip"):
        return None
    try:
        with path.open("rb") as file, zipfile.ZipFile(file) as archive:
            return sum(_wanted(info.filename, suffixes) for info in archive.infolist())
    except _BROKEN:
        return 1


def members(path: Place, suffixes: frozenset[str]) -> Iterator[Note | Refused]:
    """The notes of an archive, in its order; ``suffixes`` are those of notes."""
    read = _zip if path.name.lower().endswith(".zip") else _tar
    try:
        yield from read(path, suffixes)
    except _Swells:
        yield Refused(str(path), _SWELLS)
    except _BROKEN as problem:
        why = " ".join(str(problem).split())[:120] or type(problem).__name__
        yield Refused(str(path), f"this archive cannot be read on ({why}).")


def _wanted(name: str, suffixes: frozenset[str]) -> bool:
    """Whether a member may be a note: neither hidden nor of another kind."""
    parts = PurePosixPath(name.replace("\\", "/")).parts
    if name.endswith("/") or not parts or "__MACOSX" in parts:
        return False
    hidden = any(part.startswith(".") and part != ".." for part in parts)
    return not hidden and (PurePosixPath(name).suffix.lower() in suffixes or is_archive(name))


def _outside(name: str) -> bool:
    path = PurePosixPath(name.replace("\\", "/"))
    return path.is_absolute() or ".." in path.parts or path.parts[0].endswith(":")


def _refusal(name: str) -> str | None:
    """Why a member is not even looked into."""
    if _outside(name):
        return _OUTSIDE
    return "an archive inside an archive is not opened." if is_archive(name) else None


def _zip(path: Place, suffixes: frozenset[str]) -> Iterator[Note | Refused]:
    with path.open("rb") as file, zipfile.ZipFile(file) as archive:
        infos = archive.infolist()
        if len(infos) > MOST_MEMBERS:
            yield Refused(str(path), _CROWDED)
            return
        for info in infos:
            if not _wanted(info.filename, suffixes):
                continue
            name = f"{path}/{info.filename}"
            reason = _refusal(info.filename)
            kind = stat.S_IFMT(info.external_attr >> 16)
            if reason is None and kind not in (0, stat.S_IFREG):
                reason = "this is a link or a device, not a file."
            elif reason is None and info.flag_bits & 1:
                reason = "this member is locked with a password."
            elif reason is None and info.file_size > MOST_BYTES:
                reason = TOO_LARGE
            yield Refused(name, reason) if reason else _member(archive, info, name)


def _member(archive: zipfile.ZipFile, info: zipfile.ZipInfo, name: str) -> Note | Refused:
    try:
        with archive.open(info) as stream:
            return _read(stream, name)  # the size in the list may be a lie
    except _BROKEN as problem:
        return Refused(name, f"this member cannot be unpacked ({str(problem)[:120]}).")


def _read(stream: IO[bytes], name: str) -> Note | Refused:
    data = stream.read(MOST_BYTES + 1)
    return Note(name, data) if len(data) <= MOST_BYTES else Refused(name, TOO_LARGE)


class _Counted:
    """A stream that stops when it has given more than ``most`` bytes."""

    def __init__(self, stream: IO[bytes], most: int) -> None:
        self._stream, self._left = stream, most

    def read(self, size: int = -1) -> bytes:
        data = self._stream.read(size)
        self._left -= len(data)
        if self._left < 0:
            raise _Swells
        return data


def _tar(path: Place, suffixes: frozenset[str]) -> Iterator[Note | Refused]:
    most = max(ALWAYS_ALLOWED, SWELL * length(path))
    with path.open("rb") as file:
        counted = cast("IO[bytes]", _Counted(_unpacked(file), most))
        with tarfile.open(fileobj=counted, mode="r|") as archive:
            for number, info in enumerate(archive):
                if number >= MOST_MEMBERS:
                    yield Refused(str(path), _CROWDED)
                    return
                if info.isdir() or not _wanted(info.name, suffixes):
                    continue
                name = f"{path}/{info.name}"
                reason = _refusal(info.name)
                if reason is None and not info.isfile():
                    reason = "this is a link or a device, not a file."
                elif reason is None and info.size > MOST_BYTES:
                    reason = TOO_LARGE
                stream = None if reason else archive.extractfile(info)
                if stream is None:
                    yield Refused(name, reason or "this member holds nothing.")
                else:
                    yield _read(stream, name)


def _unpacked(file: IO[bytes]) -> IO[bytes]:
    """The stream behind a compressed file, told by its first bytes."""
    first = file.read(6)
    file.seek(0)
    if first.startswith(b"\x1f\x8b"):
        return cast("IO[bytes]", gzip.GzipFile(fileobj=file))
    if first.startswith(b"BZh"):
        return cast("IO[bytes]", bz2.BZ2File(file))
    if first.startswith(b"\xfd7zXZ\x00"):
        return cast("IO[bytes]", lzma.LZMAFile(file))
    return file
