"""The same reading spread over a Dask cluster, with the same face as ``Pool``.

    with Cluster("tcp://galley:8786", wishes) as cluster:
        for one in cluster.read(notes): ...

Notes go out from here some at a time and records come back here, so sources,
outputs and journal are the same as without a cluster, and the workers need
neither the files nor the store. A task whose worker dies is given to another by
the scheduler; its result comes once. What kills several workers is read note by
note, and the one that is to blame is refused. A worker that hangs is ended if it
has a nanny, as ``dask worker`` gives it.
"""

from __future__ import annotations

import logging
import pickle
import threading
import time
import zlib
from collections.abc import Iterable, Iterator
from contextlib import suppress
from queue import Empty, SimpleQueue
from typing import Any, Final

from hobnote._version import __version__
from hobnote.batch.errors import BatchError
from hobnote.batch.notes import Done, Note, Refused
from hobnote.batch.pool import PATIENCE
from hobnote.batch.work import Wishes, read_note

TOGETHER, BYTES = 8, 64_000
"""A task is so many notes, or fewer if they are long: the scheduler's work is by the task."""
AHEAD: Final = 4
"""Tasks that are given out for each thread of the cluster."""
CONNECT: Final = 15.0
"""Seconds after which a scheduler that does not answer is not there."""
_ASK_EVERY: Final = 2.0
_ONE_BY_ONE = threading.Lock()


class OtherVersion(Exception):
    """A worker has another Hobnote than the one that sent the notes."""


def read_packed(notes: list[Note], wishes: Wishes, version: str) -> bytes:
    """What a worker does: read ``notes``; the results are packed, records being long."""
    if version != __version__:
        raise OtherVersion(__version__)
    with _ONE_BY_ONE:  # threads of one process would only get into each other's way
        found = [read_note(note, wishes) for note in notes]
    return zlib.compress(pickle.dumps(found), 1)


class Cluster:
    """The workers of the ``scheduler`` at an address. Use it in a ``with`` block."""

    def __init__(
        self, scheduler: str, wishes: Wishes | None = None, *, patience: float = PATIENCE
    ) -> None:
        self.scheduler = scheduler
        self.wishes = wishes or Wishes()
        self.patience = patience
        self._client: Any = None
        self._out: dict[Any, list[Note]] = {}
        self._back: SimpleQueue[Any] = SimpleQueue()
        self._threads, self._asked, self._heard = 0, 0.0, 0.0

    def __enter__(self) -> Cluster:
        try:
            from distributed import Client
        except ModuleNotFoundError:
            raise BatchError("--engine dask needs Dask; install hobnote[dask].") from None
        for name in ("distributed", "distributed.client", "tornado.application"):
            logging.getLogger(name).setLevel(logging.CRITICAL)  # what matters is said by us
        try:
            make: Any = Client
            self._client = make(self.scheduler, timeout=CONNECT, set_as_default=False)
        except (OSError, TimeoutError, ValueError, ImportError) as problem:
            words = " ".join(str(problem).split())[:120]
            raise BatchError(f"{self.scheduler}: no scheduler answers there ({words}).") from None
        return self

    def __exit__(self, *_: object) -> None:
        with suppress(Exception):  # whatever state it is in, we are leaving
            self._client.cancel(list(self._out))
        with suppress(Exception):
            self._client.close(timeout=5)
        self._out.clear()

    def read(self, notes: Iterable[Note | Refused]) -> Iterator[Done | Refused]:
        """Read ``notes`` in any order; what is refused already comes through as it is.

        Raises :class:`BatchError` when the scheduler or all workers are lost, or
        when the workers are not fit to read.
        """
        source = _tasks(notes)
        self._heard = time.monotonic()
        empty = False
        while True:
            while not empty and len(self._out) < AHEAD * max(1, self._width()):
                task = next(source, None)
                if task is None:
                    empty = True
                elif isinstance(task, Refused):
                    yield task
                else:
                    self._give(task)
            if not self._out:
                return
            try:
                future = self._back.get(timeout=1.0)
            except Empty:
                yield from self._silence()
                continue
            if future in self._out:  # else given up meanwhile
                self._heard = time.monotonic()
                yield from self._result(future)

    def _width(self) -> int:
        """Threads of the workers that are there now."""
        if time.monotonic() - self._asked > _ASK_EVERY:
            try:
                self._threads = sum(self._client.nthreads().values())
            except Exception:  # the connection has broken, in one of many ways
                raise self._gone() from None
            self._asked = time.monotonic()
        return self._threads

    def _give(self, notes: list[Note]) -> None:
        try:
            future = self._client.submit(
                read_packed, notes, self.wishes, __version__, pure=False, retries=0
            )
        except Exception:  # the connection has broken, in one of many ways
            raise self._gone() from None
        self._out[future] = notes
        future.add_done_callback(self._back.put)

    def _result(self, future: Any) -> Iterator[Done | Refused]:
        from distributed import KilledWorker

        notes = self._out.pop(future)
        try:
            packed = future.result(timeout=CONNECT * 4)
        except KilledWorker:
            if len(notes) > 1:
                for note in notes:
                    self._give([note])
            else:
                yield Refused(notes[0].name, "it ended every worker that read it.",
                              notes[0].digest)  # fmt: skip
        except OtherVersion as problem:
            raise BatchError(
                f"{self.scheduler}: a worker has Hobnote {problem}, this is {__version__}."
            ) from None
        except (ModuleNotFoundError, AttributeError) as problem:
            raise BatchError(f"{self.scheduler}: a worker cannot read notes ({problem}).") from None
        except Exception:  # cancelled, lost, timed out: results are there or the cluster is not
            raise self._gone() from None
        else:
            yield from pickle.loads(zlib.decompress(packed))

    def _gone(self) -> BatchError:
        return BatchError(
            f"{self.scheduler}: the scheduler is gone; the same command goes on from here."
        )

    def _silence(self) -> Iterator[Refused]:
        """Nothing has come back for some time."""
        if self._client.status != "running":
            raise self._gone()
        if time.monotonic() - self._heard <= self.patience:
            return
        self._heard = time.monotonic()
        self._asked = 0.0
        if not self._width():
            raise BatchError(
                f"{self.scheduler}: no worker is left; the same command goes on from here."
            )
        busy = self._busy()
        for future in [f for f in self._out if any(f.key in keys for keys in busy.values())]:
            notes = self._out.pop(future)
            with suppress(Exception):
                self._client.cancel([future])
            if len(notes) > 1:
                for note in notes:
                    self._give([note])
            else:
                why = f"it was not read within {self.patience:.0f} s."
                yield Refused(notes[0].name, why, notes[0].digest)
        with suppress(Exception):  # one without a nanny cannot be ended from here
            self._client.restart_workers(list(busy), timeout=CONNECT * 4, raise_for_error=False)

    def _busy(self) -> dict[str, set[str]]:
        """The tasks that each worker has in hand; others only wait, maybe for someone else's."""
        try:
            stacks = self._client.call_stack(list(self._out))
        except Exception:  # the connection has broken, in one of many ways
            raise self._gone() from None
        return {worker: set(tasks) for worker, tasks in stacks.items() if tasks}


def _tasks(notes: Iterable[Note | Refused]) -> Iterator[list[Note] | Refused]:
    """Notes in runs of :data:`TOGETHER`."""
    task: list[Note] = []
    for note in notes:
        if isinstance(note, Refused):
            yield note
            continue
        task.append(note)
        if len(task) == TOGETHER or sum(len(n.data) for n in task) >= BYTES:
            yield task
            task = []
    if task:
        yield task
