"""The recipes behind the service: one conversation a recipe, one caller at it at a time."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, TypeVar

from hobnote.asking.conversation import Conversation
from hobnote.asking.versions import at, differences
from hobnote.job import Progress
from hobnote.keeping import Draft, StaleRecipe, Turn
from hobnote.keeping.errors import AlreadyMade
from hobnote.keeping.store import Append, Once, Store
from hobnote.pantry.pantry import Pantry
from hobnote.planning.shelf import StoreShelf
from hobnote.reading import Dictation
from hobnote_api.problems import Refused
from hobnote_api.writer import Writer

T = TypeVar("T")
_AT_HAND = 128


@dataclass(slots=True)
class _Place:
    """A recipe at hand; nobody touches ``talk`` without the lock."""

    lock: threading.RLock = field(default_factory=threading.RLock)
    talk: Conversation | None = None


class Kitchen:
    """Every recipe of a store, for several threads."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.shelf = StoreShelf(store)
        self.ready = threading.Event()
        self._places: OrderedDict[int, _Place] = OrderedDict()
        self._worked_out: OrderedDict[tuple[str, int, int], list[Any]] = OrderedDict()
        self._lock = threading.Lock()
        self._writer = Writer(store)

    def warm(self) -> None:
        """Load the language pipeline and the table before the first caller waits for them."""
        from hobnote.job import read

        read("100 g oats, stir for 2 minutes")
        self.ready.set()

    def pantry(self, measures: str = "us") -> Pantry:
        """The table of a locale with the cook's own foods."""
        return self.store.pantry(measures)

    # -- recipes -----------------------------------------------------------------

    def begin(
        self,
        note: Dictation,
        who: str,
        *,
        measures: str | None = None,
        once: Once | None = None,
        progress: Progress | None = None,
    ) -> tuple[int, bool]:
        """A new recipe's number, and whether it is new: a request that came before is not."""
        known = None if once is None else self.store.made(once)
        if known is not None:
            return known, False
        try:
            keeper = _Keeper(self.store, self._writer, once)
            talk = Conversation.start(
                note, keeper, who=who, measures=measures, progress=progress
            )
        except AlreadyMade as made:
            return made.recipe, False
        return talk.id, True

    @contextmanager
    def recipe(self, number: int) -> Iterator[Conversation]:
        """The recipe as it stands now, for this caller alone. Raises NoSuchRecipe."""
        with self._lock:
            place = self._places.setdefault(number, _Place())
            self._places.move_to_end(number)
            while len(self._places) > _AT_HAND:
                self._places.popitem(last=False)
        with place.lock:
            if place.talk is None:
                place.talk = Conversation.resume(self.store, number)
                place.talk.keeper = _Keeper(self.store, self._writer)
            else:
                place.talk.refresh()
            yield place.talk

    def worked_out(self, key: tuple[str, int, int], how: Callable[[], list[T]]) -> list[T]:
        """What takes long and holds for one version of a recipe; worked out once."""
        with self._lock:
            if key in self._worked_out:
                found: list[T] = self._worked_out[key]
                return found
        found = how()
        with self._lock:
            self._worked_out[key] = found
            while len(self._worked_out) > _AT_HAND:
                self._worked_out.popitem(last=False)
        return found


class _Keeper:
    """The store behind its writer; ``once`` names a beginning that may come twice."""

    def __init__(self, store: Store, writer: Writer, once: Once | None = None) -> None:
        self.store = store
        self.writer = writer
        self.once = once

    def create(
        self,
        first: Draft,
        *,
        title: str | None = None,
        measures: str | None = None,
        warnings: Sequence[str] = (),
    ) -> int:
        with self.writer.alone:
            return self.store.create(
                first, title=title, measures=measures, warnings=warnings, once=self.once
            )

    def append(self, recipe: int, draft: Draft, *, after: int, title: str | None = None) -> Turn:
        return self.writer.append(Append(recipe, draft, after, title))

    def turns(self, recipe: int, after: int = 0) -> list[Turn]:
        return self.store.turns(recipe, after)

    def pantry(self, measures: str = "us") -> Pantry:
        return self.store.pantry(measures)


def once(key: str | None, caller: str, body: str) -> Once | None:
    """What names a request: its key within its caller's, and its body, as digests."""
    if key is None:
        return None
    return Once(_digest(f"{caller}\n{key}"), _digest(body))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def check_version(talk: Conversation, seen: int | None) -> None:
    """Refuse a writer who has not seen the last version; None has nothing to say."""
    if seen is not None and seen != talk.version:
        raise stale(talk, seen)


def stale(talk: Conversation, seen: int) -> Refused:
    """412, telling what changed since ``seen``."""
    since = [
        {"version": t.version, "who": t.who, "kind": t.kind, "told": t.told()}
        for t in talk.turns[max(0, seen) :]
    ]
    known = 1 <= seen <= talk.version
    return Refused(
        412,
        f"recipe {talk.id} is at version {talk.version}, not {seen}; nothing was changed."
        " Look at what changed and send yours again.",
        version=talk.version,
        since=since,
        changes=differences(at(talk, seen), talk) if known else [],
    )


def met(talk: Conversation, problem: StaleRecipe) -> Refused:
    """Another process was quicker between looking and writing."""
    seen = talk.version
    talk.refresh()
    return stale(talk, seen) if talk.version != seen else Refused(409, str(problem))
