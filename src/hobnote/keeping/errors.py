"""What keeping says when something cannot be kept or found."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hobnote.keeping.turns import Turn


class KeepingError(Exception):
    """The store cannot be used, as one clear sentence that names it."""


class NoSuchRecipe(KeepingError):
    """No recipe has this number."""

    def __init__(self, recipe: object) -> None:
        self.recipe = recipe
        super().__init__(f"there is no recipe {recipe}; 'hobnote list' shows those that there are.")


class StaleRecipe(KeepingError):
    """Somebody else changed the recipe first; nothing was written.

    ``since`` are the turns that the writer had not seen, oldest first.
    """

    def __init__(self, recipe: int, since: Sequence[Turn]) -> None:
        self.recipe = recipe
        self.since = tuple(since)
        told = "; ".join(turn.told() for turn in since) or "by somebody else"
        super().__init__(
            f"recipe {recipe} was changed meanwhile ({told}); look at it again, then repeat yours."
        )


class AlreadyMade(KeepingError):
    """The same request made a recipe before; nothing was written."""

    def __init__(self, recipe: int) -> None:
        self.recipe = recipe
        super().__init__(f"this note was taken in before, as recipe {recipe}.")
