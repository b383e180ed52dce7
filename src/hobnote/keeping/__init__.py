"""Keeping: recipes and their conversations on disk, as append-only logs of turns.

    Store.open(url=None)            SQLite in the user's data folder, or any SQLAlchemy URL
    Turn, surviving, withdrawn      one message of a log, and what undo leaves standing
    KeepingError, StaleRecipe       what keeping says when it cannot keep
"""

from __future__ import annotations

from hobnote.keeping.errors import KeepingError, NoSuchRecipe, StaleRecipe
from hobnote.keeping.turns import Draft, Turn, standing, surviving, withdrawn

__all__ = [
    "Draft",
    "KeepingError",
    "NoSuchRecipe",
    "StaleRecipe",
    "Turn",
    "standing",
    "surviving",
    "withdrawn",
]
