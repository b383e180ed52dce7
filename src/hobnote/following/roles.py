"""The part that a food plays in an offer: what replaces what, under which condition."""

from __future__ import annotations

from dataclasses import dataclass

from hobnote.following.state import RowState
from hobnote.marking.marks import Mark


@dataclass(frozen=True, slots=True)
class Role:
    """``kind``: swap (the food replaces ``for_food`` or the topic), original, or out."""

    kind: str
    for_food: Mark | None = None
    condition: str | None = None
    shares_amount: bool = False
    explicit: bool = False
    of_row: RowState | None = None
    tentative: bool = False
    """Only if some row of the dish is like it."""
