"""What keeping says when something cannot be kept or found."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hobnote.keeping.turns import Turn


class KeepingError(Exception):
    """The store cannot be used, as one clear sentence that names it.

    ``outside`` is the sentence for callers of the service, whom names of files do
    not concern; ``passing`` is True where the same may well succeed later.
    """

    outside = "the recipes cannot be reached just now; nothing was changed."
    passing = True


class StoreDamaged(KeepingError):
    """What is kept cannot be read back; a copy of the files was put beside them.

    ``cause`` is what was found, without names and without the cook's words.
    """

    outside = (
        "the recipes kept here are damaged; nothing was changed, "
        "and the service's log says what can be done."
    )
    passing = False

    def __init__(self, cause: str, sentence: str) -> None:
        self.cause = cause
        super().__init__(sentence)


class StoreFull(KeepingError):
    """There is no room; nothing was written, and nothing kept before is touched."""

    outside = (
        "there is no room left where the recipes are kept; nothing was changed: "
        "send it again when room was made."
    )


class StoreReadOnly(KeepingError):
    """The file or its folder cannot be written, or not even opened."""

    outside = "the recipes cannot be written here just now; nothing was changed."


class StoreNewer(KeepingError):
    """A newer Hobnote wrote what is kept."""

    outside = "the recipes were kept by a newer Hobnote than this one; nothing was changed."
    passing = False


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
