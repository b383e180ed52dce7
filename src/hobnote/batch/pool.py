"""Several reading processes; one that dies or hangs costs a note at most.

Processes are spawned, not forked, so that every system behaves alike. A
reader has one note at a time: it is always known whose fault an end was.
"""

from __future__ import annotations

import multiprocessing
import os
import time
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from typing import Final

from hobnote.batch.errors import BatchError
from hobnote.batch.notes import Done, Note, Refused
from hobnote.batch.work import READY, Wishes, serve

PATIENCE: Final = 600.0
"""Seconds after which a reader that says nothing is ended."""
TRIES: Final = 2
"""How often a note may end its reader before it is refused."""
_CONTEXT: Final = multiprocessing.get_context("spawn")
_ONE_THREAD: Final = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def cores() -> int:
    """How many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@dataclass(slots=True, eq=False)
class Reader:
    """One process and the note that it has."""

    process: SpawnProcess
    connection: Connection
    note: Note | None = None
    ready: bool = False
    since: float = field(default_factory=time.monotonic)


class Pool:
    """``jobs`` readers (None: one a core). Use it in a ``with`` block."""

    def __init__(
        self, jobs: int | None = None, wishes: Wishes | None = None, *, patience: float = PATIENCE
    ) -> None:
        self.jobs = jobs or cores()
        self.wishes = wishes or Wishes()
        self.patience = patience
        self.readers: list[Reader] = []
        self._again: list[Note] = []
        self._ends: dict[tuple[str, str], int] = {}

    def __enter__(self) -> Pool:
        return self

    def __exit__(self, *_: object) -> None:
        for reader in self.readers:
            reader.connection.close()
            reader.process.terminate()
        for reader in self.readers:
            reader.process.join(5)
        self.readers.clear()

    def read(self, notes: Iterable[Note | Refused]) -> Iterator[Done | Refused]:
        """Read ``notes`` in any order; what is refused already comes through as it is.

        Raises :class:`BatchError` when no reader can be started.
        """
        source = iter(notes)
        empty = False
        while True:
            while not empty and self._may_take():
                note = self._again.pop() if self._again else next(source, None)
                if note is None:
                    empty = True
                elif isinstance(note, Refused):
                    yield note
                else:
                    self._hand(note)
            busy = [r for r in self.readers if r.note is not None]
            if not busy and not self._again:
                return
            yield from self._listen(busy)
            empty = empty and not self._again

    def _may_take(self) -> bool:
        return len(self.readers) < self.jobs or any(r.note is None for r in self.readers)

    def _hand(self, note: Note) -> None:
        reader = next((r for r in self.readers if r.note is None), None) or self._start()
        reader.note, reader.since = note, time.monotonic()
        if reader.ready:
            self._send(reader)

    def _send(self, reader: Reader) -> None:
        with suppress(OSError):  # one that has ended is noticed by listening
            reader.connection.send(reader.note)

    def _start(self) -> Reader:
        for name in _ONE_THREAD:  # the readers share the cores already
            os.environ.setdefault(name, "1")
        ours, theirs = _CONTEXT.Pipe()
        process = _CONTEXT.Process(target=serve, args=(theirs, self.wishes), daemon=True)
        process.start()
        theirs.close()
        reader = Reader(process, ours)
        self.readers.append(reader)
        return reader

    def _listen(self, busy: list[Reader]) -> Iterator[Done | Refused]:
        heard = wait([r.connection for r in busy], timeout=1.0)
        for reader in busy:
            if reader.connection in heard:
                try:
                    word = reader.connection.recv()
                except (EOFError, OSError):
                    yield from self._ended(reader)
                    continue
                if word == READY:
                    reader.ready, reader.since = True, time.monotonic()
                    self._send(reader)
                else:
                    reader.note = None
                    yield word
            elif time.monotonic() - reader.since > self.patience:
                reader.process.kill()
                yield from self._ended(reader, f"it was not read within {self.patience:.0f} s.")

    def _ended(self, reader: Reader, reason: str = "") -> Iterator[Refused]:
        """Take a dead reader out; its note is read once more, then refused."""
        reader.process.join(5)
        reader.connection.close()
        self.readers.remove(reader)
        note = reader.note
        if not reader.ready:
            code = reader.process.exitcode
            raise BatchError(f"a reading process ended before it was ready (exit status {code}).")
        if note is None:
            return
        key = (note.name, note.digest)
        ends = self._ends[key] = self._ends.get(key, 0) + 1
        if ends < TRIES and not reason:
            self._again.append(note)
            return
        code = reader.process.exitcode
        why = reason or f"its reading process ended without a word (exit status {code})."
        yield Refused(note.name, why, note.digest)
