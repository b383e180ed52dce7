"""Whether a food is counted in pieces: onions are, flour is not. Asks the pantry's weights."""

from __future__ import annotations

from functools import cache

from hobnote.pantry import open_pantry
from hobnote.record import Amount


@cache
def countable(name: str) -> bool:
    """Whether the pantry knows what one ``name`` weighs."""
    pantry = open_pantry()
    food = pantry.match(name).food
    one = Amount(low=1, best=1, high=1, unit="piece", basis="counted")
    return food is not None and pantry.grams(food, name, one) is not None
