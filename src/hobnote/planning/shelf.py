"""Where the planner finds recipes: anything that hands out records with a number and a version."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING, Protocol

from hobnote.record import Record

if TYPE_CHECKING:
    from hobnote.keeping.store import Store
    from hobnote.pantry.pantry import Pantry

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Shelved:
    """A recipe as it stands. ``changed`` is UTC; ``version`` rises with every change."""

    id: int
    version: int
    changed: datetime
    record: Record


class Shelf(Protocol):
    """Hands out every recipe as it stands now."""

    def recipes(self) -> Sequence[Shelved]:
        """All recipes, in any order."""


class ListShelf:
    """Recipes in memory, for tests and for records read from files."""

    def __init__(self, recipes: Iterable[Shelved] = ()) -> None:
        self.shelved = list(recipes)

    @classmethod
    def of(cls, records: Iterable[Record]) -> ListShelf:
        """Records numbered from 1, all of version 1 and never changed."""
        return cls(Shelved(n, 1, EPOCH, record) for n, record in enumerate(records, start=1))

    def recipes(self) -> Sequence[Shelved]:
        """The list."""
        return self.shelved


class StoreShelf:
    """The recipes of a store. A recipe is worked out again only when it or the cook's own foods
    have changed."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._known: dict[int, tuple[Pantry, Shelved]] = {}

    def recipes(self) -> Sequence[Shelved]:
        """Every kept recipe. Raises KeepingError where the store does not answer."""
        from hobnote.asking.conversation import Conversation

        found = []
        pantries = cache(self.store.pantry)  # asked once a locale, not once a recipe
        for kept in self.store.list():
            pantry = pantries(kept.measures or "us")
            known = self._known.get(kept.id)
            if known is None or known[0] is not pantry or known[1].version != kept.version:
                talk = Conversation.resume(self.store, kept.id)
                shelved = Shelved(kept.id, kept.version, kept.changed, talk.record)
                known = self._known[kept.id] = (talk.pantry, shelved)
            found.append(known[1])
        return found
