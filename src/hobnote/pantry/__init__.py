"""The pantry: what a food is, what it holds, and what a spoken amount of it weighs.

``open_pantry("uk")`` is the way in. Importing this room is cheap; tables are read when the
pantry is opened and rows when they are asked for.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from hobnote.pantry.types import Food, HouseholdWeight, Match, Weight

if TYPE_CHECKING:
    from hobnote.pantry.pantry import Pantry

__all__ = ["Food", "HouseholdWeight", "Match", "Weight", "open_pantry"]


@lru_cache(maxsize=8)
def open_pantry(measures: str = "us") -> Pantry:
    """The pantry of one locale: ``us``, ``uk``, ``au`` or ``metric``. Cached.

    Raises ValueError for any other name.
    """
    from hobnote.pantry.pantry import Pantry

    return Pantry(measures)
