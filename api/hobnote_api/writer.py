"""Writing for many at once: whoever waits for the disk is written together with the others."""

from __future__ import annotations

import threading
from dataclasses import dataclass

from hobnote.keeping import Turn
from hobnote.keeping.store import Append, Store


@dataclass(slots=True)
class _Wanted:
    """One who waits; ``found`` is set once it is written or cannot be."""

    append: Append
    found: Turn | Exception | None = None


class Writer:
    """Appends turns to a store, for several threads.

    SQLite lets one write and has the others try again by chance: a queue is
    fairer. The first in it writes for all who came meanwhile, with one wait
    for the disk; each still returns only when its own turn is there.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self.alone = threading.Lock()
        self._queue: list[_Wanted] = []
        self._queued = threading.Lock()

    def append(self, append: Append) -> Turn:
        """As :meth:`Store.append`."""
        wanted = _Wanted(append)
        with self._queued:
            self._queue.append(wanted)
        with self.alone:
            if wanted.found is None:
                self._write()
        assert wanted.found is not None
        if isinstance(wanted.found, Exception):
            raise wanted.found
        return wanted.found

    def _write(self) -> None:
        with self._queued:
            waiting, self._queue = self._queue, []
        try:
            found = self._store.append_all([one.append for one in waiting])
        except Exception as problem:
            for one in waiting:
                one.found = problem
            return
        for one, turn in zip(waiting, found, strict=True):
            one.found = turn
