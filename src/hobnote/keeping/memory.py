"""What a conversation needs of a store, and a keeper that forgets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from hobnote.keeping.errors import StaleRecipe
from hobnote.keeping.turns import Draft, Turn
from hobnote.pantry import open_pantry

if TYPE_CHECKING:
    from hobnote.pantry.pantry import Pantry


class Keeper(Protocol):
    """What a conversation needs of a store; :class:`hobnote.keeping.store.Store` is one."""

    def create(
        self,
        first: Draft,
        *,
        title: str | None = None,
        measures: str | None = None,
        warnings: Sequence[str] = (),
    ) -> int:
        """A new recipe with its first turn."""

    def append(self, recipe: int, draft: Draft, *, after: int, title: str | None = None) -> Turn:
        """One more turn; StaleRecipe when another came first."""

    def turns(self, recipe: int, after: int = 0) -> list[Turn]:
        """The log."""

    def pantry(self, measures: str = "us") -> Pantry:
        """The foods to read and weigh with; the same object as long as they are the same."""


@dataclass(slots=True)
class InMemory:
    """A keeper that forgets: for the library and for tests."""

    logs: dict[int, list[Turn]] = field(default_factory=dict)

    def create(
        self,
        first: Draft,
        *,
        title: str | None = None,
        measures: str | None = None,
        warnings: Sequence[str] = (),
    ) -> int:
        """A new recipe with its first turn."""
        number = len(self.logs) + 1
        self.logs[number] = [Turn.of(first, 1)]
        return number

    def append(self, recipe: int, draft: Draft, *, after: int, title: str | None = None) -> Turn:
        """One more turn; StaleRecipe when another came first."""
        log = self.logs[recipe]
        if len(log) != after:
            raise StaleRecipe(recipe, log[after:])
        log.append(Turn.of(draft, after + 1))
        return log[-1]

    def turns(self, recipe: int, after: int = 0) -> list[Turn]:
        """The log."""
        return self.logs[recipe][after:]

    def pantry(self, measures: str = "us") -> Pantry:
        """The table alone."""
        return open_pantry(measures)
