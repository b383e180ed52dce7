"""What a batch has done so far, a line a note, beside its output.

The line is written after the note's output, so a note without a line is read
again and a half-written output is known for what it is. A last line that a
kill cut short is dropped.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Final

from hobnote._version import __version__
from hobnote.batch.errors import BatchError

_KIND: Final = "hobnote/batch@1"


class Journal:
    """The journal at ``path`` (None: none is kept). ``with`` holds it against a second batch.

    ``settings`` are what must not change half-way. Raises :class:`BatchError`
    where the journal is another's, cannot be written, or is in use.
    """

    def __init__(self, path: Path | None, settings: dict[str, Any]) -> None:
        self.path = path
        self.begun = path is not None and path.exists()
        self.lines: list[dict[str, Any]] = []
        self._head = {"journal": _KIND, "version": __version__, **settings}
        self._file: IO[bytes] | None = None

    def __enter__(self) -> Journal:
        if self.path is None:
            return self
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._file = self.path.open("a+b")
        except OSError as problem:
            raise BatchError(f"{self.path}: cannot be written ({problem.strerror}).") from None
        _hold(self._file, self.path)
        self._take_up()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._file is not None:
            self._file.close()

    def _take_up(self) -> None:
        assert self._file is not None and self.path is not None
        self._file.seek(0)
        whole = 0
        for number, line in enumerate(self._file):
            try:
                found = json.loads(line) if line.endswith(b"\n") else None
            except ValueError:
                found = None
            if not isinstance(found, dict):
                break
            if number == 0 and found != self._head:
                raise BatchError(
                    f"{self.path}: begun by another version or with other options; "
                    "--afresh begins anew."
                )
            if number:
                self.lines.append(found)
            whole += len(line)
        self._file.truncate(whole)
        if not whole:
            self._write(self._head)

    def done(self) -> set[bytes]:
        """The :func:`key` of every note that was read or refused."""
        return {key(line["note"], line["digest"]) for line in self.lines}

    def size(self) -> int:
        """How long the output was after the last note that was read."""
        return max((line["size"] for line in self.lines if "size" in line), default=0)

    def within(self, size: int) -> None:
        """Forget what was written beyond ``size``: a power cut may lose it."""
        self.lines = [line for line in self.lines if line.get("size", 0) <= size]

    def add(self, name: str, digest: str, **more: Any) -> None:
        """Note that a note is done."""
        self._write({"note": name, "digest": digest, **more})

    def _write(self, line: dict[str, Any]) -> None:
        if self._file is not None:
            words = json.dumps(line, ensure_ascii=False) + "\n"
            self._file.write(words.encode("utf-8", "replace"))
            self._file.flush()


def key(name: str, digest: str) -> bytes:
    """Tells a note from any other in 16 bytes: there may be millions."""
    words = f"{name}\0{digest}".encode("utf-8", "replace")
    return hashlib.blake2b(words, digest_size=16).digest()


def _hold(file: IO[bytes], path: Path) -> None:
    try:
        import fcntl
    except ModuleNotFoundError:  # not on every system
        return
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise BatchError(f"{path}: another batch is writing there.") from None
