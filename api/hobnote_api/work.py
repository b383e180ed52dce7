"""Long work beside the requests: done by a few threads, told as it goes on, stopped on demand.

An operation is known by a number nobody can guess and lives in this process
alone. Each change of it has a number; whoever follows sees the latest.
"""

from __future__ import annotations

import asyncio
import logging
import threading
import time
import uuid
from collections import OrderedDict
from collections.abc import AsyncGenerator, Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any, Literal

from fastapi import HTTPException

from hobnote.asking.corrections import CannotCorrect
from hobnote.keeping import KeepingError
from hobnote.planning.errors import PlanningError
from hobnote.reading import ReadingError
from hobnote_api.problems import Refused

Kind = Literal["note", "batch", "plan"]
State = Literal["waiting", "working", "done", "failed", "stopped"]
ENDED: frozenset[State] = frozenset({"done", "failed", "stopped"})
_KEPT = 200
_OFTEN = 0.1
"""Seconds between two changes that are told, the last one aside."""

log = logging.getLogger("hobnote.service")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one note of a batch: its recipe, or one sentence why there is none."""

    place: int
    recipe: int | None = None
    problem: str | None = None


@dataclass(frozen=True, slots=True)
class Status:
    """An operation at one moment. ``change`` counts its changes from 1."""

    id: str
    kind: Kind
    begun: datetime
    change: int = 1
    state: State = "waiting"
    stage: str = "waiting for its turn"
    done: int = 0
    total: int = 0
    unit: Literal["characters", "notes", "stages"] = "characters"
    recipes: tuple[int, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    plan: dict[str, Any] | None = None
    code: int | None = None
    problem: str | None = None


class Stopped(Exception):
    """The operation was stopped, or took too long (``late``)."""

    def __init__(self, late: bool = False) -> None:
        self.late = late


@dataclass(slots=True)
class Operation:
    """Long work, and whoever follows it. ``text`` is the note, until it is a recipe."""

    status: Status
    longest: float
    text: str = ""
    followers: set[Callable[[], None]] = field(default_factory=set)
    lock: threading.Lock = field(default_factory=threading.Lock)
    stopping: bool = False
    until: float = 0.0
    told: float = 0.0

    def change(self, **fields: Any) -> None:
        """Something about it is different now; tells its followers."""
        with self.lock:
            self.status = replace(self.status, change=self.status.change + 1, **fields)
            followers = list(self.followers)
        for tell in followers:
            tell()

    def progress(self, done: int, total: int) -> None:
        """So much of it is done. Raises Stopped where it is to end."""
        self.go_on()
        now = time.monotonic()
        if now - self.told >= _OFTEN or done >= total:
            self.told = now
            self.change(done=done, total=total)

    def go_on(self) -> None:
        """Raises Stopped where it is to end."""
        if self.stopping:
            raise Stopped
        if time.monotonic() > self.until:
            raise Stopped(late=True)

    def stop(self) -> None:
        """Ask it to end at the next place where it can."""
        self.stopping = True
        if self.status.state == "waiting":
            self.change(state="stopped", stage="stopped")


Work = Callable[[Operation], None]


class Operations:
    """The long work of one service."""

    def __init__(self, most: int, longest: float, followed: int, threads: int = 2) -> None:
        self._most, self._longest, self._followed = most, longest, followed
        self._at_once = threads
        self._threads: ThreadPoolExecutor | None = None
        self._known: OrderedDict[str, Operation] = OrderedDict()
        self._lock = threading.Lock()
        self.following = 0

    def begin(self, kind: Kind, work: Work, *, text: str = "", **fields: Any) -> Operation:
        """Begin ``work``; 429 where too much is unfinished already."""
        now = Status(uuid.uuid4().hex, kind, datetime.now(UTC), **fields)
        operation = Operation(now, self._longest, text)
        with self._lock:
            unfinished = sum(one.status.state not in ENDED for one in self._known.values())
            if unfinished >= self._most:
                raise full("there is much to do already; try again in a while.")
            self._known[now.id] = operation
            ended = [id for id, one in self._known.items() if one.status.state in ENDED]
            for id in ended[: max(0, len(self._known) - _KEPT)]:
                del self._known[id]
            if self._threads is None:
                self._threads = ThreadPoolExecutor(self._at_once, thread_name_prefix="operation")
            self._threads.submit(self._do, operation, work)
        return operation

    def find(self, id: str) -> Operation:
        """The operation of this number; 404 where it is not known (any more)."""
        found = self._known.get(id)
        if found is None:
            raise HTTPException(404, "there is no such operation (any more).")
        return found

    def close(self) -> None:
        """Stop everything. What is begun afterwards is done by new threads."""
        with self._lock:
            threads, self._threads = self._threads, None
        for operation in list(self._known.values()):
            operation.stop()
        if threads is not None:
            threads.shutdown(wait=False, cancel_futures=True)

    def _do(self, operation: Operation, work: Work) -> None:
        if operation.status.state in ENDED:
            return
        operation.until = time.monotonic() + operation.longest
        operation.change(state="working", stage="beginning")
        try:
            work(operation)
            operation.text = ""
            operation.change(state="done", stage="done", done=operation.status.total)
        except Stopped as stopped:
            if stopped.late:
                text = f"this took longer than {operation.longest:g} seconds and was given up."
                operation.change(state="failed", stage="given up", code=503, problem=text)
            else:
                operation.change(state="stopped", stage="stopped")
        except Exception as error:
            code, text = told(error)
            operation.change(state="failed", stage="failed", code=code, problem=text)

    @property
    def crowded(self) -> bool:
        """Whether no more can follow."""
        return self.following >= self._followed

    async def follow(self, operation: Operation, seen: int) -> AsyncGenerator[Status | None, None]:
        """Each change after ``seen`` until the end; None where nothing happens for a while.

        Of several changes since the last look only the latest is given.
        """
        loop, changed = asyncio.get_running_loop(), asyncio.Event()

        def tell() -> None:
            if not loop.is_closed():
                loop.call_soon_threadsafe(changed.set)

        operation.followers.add(tell)
        self.following += 1
        try:
            while True:
                changed.clear()
                now = operation.status
                if now.change > seen:
                    seen = now.change
                    yield now
                if now.state in ENDED:
                    return
                try:
                    await asyncio.wait_for(changed.wait(), QUIET)
                except TimeoutError:
                    yield None
        finally:
            self.following -= 1
            operation.followers.discard(tell)


def full(text: str) -> Refused:
    """429: more than is done or followed at once."""
    refused = Refused(429, text)
    refused.headers = {"Retry-After": "10"}
    return refused


QUIET = 10.0
"""Seconds after which a follower hears that there is nothing new."""


def told(error: Exception) -> tuple[int, str]:
    """Status and sentence of what went wrong, as a request would be answered."""
    if isinstance(error, HTTPException):
        return error.status_code, str(error.detail)
    if isinstance(error, ReadingError | CannotCorrect):
        return 422, str(error)
    if isinstance(error, PlanningError):
        return 422, f"{error}."
    if isinstance(error, KeepingError):
        log.error("the recipes cannot be kept or found: %s", error)
        return 503, error.outside
    from hobnote_api.problems import fault

    fault(error)
    return 500, "something went wrong inside; the server's log says where."
