"""What kind of food a name is, asked of the pantry: counted in pieces, or near another food."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from hobnote.pantry import open_pantry
from hobnote.record import Amount

# Classes that say how a food comes, not what it is.
_FORM: Final = frozenset(
    {"liquid", "dry", "tinned", "cooked", "cured", "drink", "generic", "seasoning", "powder",
     "sauce", "frozen", "leaf"}
)  # fmt: skip
# Foods that take the same place on the plate although their classes differ.
_CENTRE: Final = frozenset(
    {"meat", "poultry", "fish", "shellfish", "mince", "soya", "pulse", "egg", "cheese"}
)
# What goes on, in or round other foods.
_NO_PIECE: Final = frozenset(
    {"seasoning", "spice", "herb", "salt", "salty", "oil", "fat", "acid", "liquid", "water",
     "sauce", "stock", "syrup", "sugar", "flour", "powder", "baking", "garlic", "ginger"}
)  # fmt: skip
_MILKY: Final = frozenset({"milk", "plant-milk", "cream", "yoghurt", "dairy", "nut"})
_GRAINY: Final = frozenset({"grain", "rice", "pasta", "bread", "noodle", "oats"})


@lru_cache(maxsize=4096)
def countable(name: str) -> bool:
    """Whether the pantry knows what one ``name`` weighs."""
    pantry = open_pantry()
    food = pantry.match(name).food
    one = Amount(low=1, best=1, high=1, unit="piece", basis="counted")
    return food is not None and pantry.grams(food, name, one) is not None


SURE: Final = 0.9
"""Match from which two names of one row of the table name the same food."""


@lru_cache(maxsize=4096)
def row_of(name: str) -> str | None:
    """Id of the pantry's row for ``name``, or None where the match is not sure."""
    match = open_pantry().match(name)
    return match.food.id if match.food is not None and match.score >= SURE else None


@lru_cache(maxsize=4096)
def is_piece(name: str) -> bool:
    """Whether a food comes in pieces that can be rested, sliced or turned: no seasoning, no liquid.

    Foods that the pantry does not know count as pieces.
    """
    return not kinds(name) & _NO_PIECE


FARTHEST: Final = 4.0
"""How many times one amount may be another and still be about the same thing."""


MISTAKEN: Final = 30.0
"""The same for a correction: a slip of the tongue is seldom larger."""
MOST_PIECES: Final = 12
"""Pieces of unknown weight up to which a count may go with a weight."""
VAGUE_REACH: Final = 20.0
"""The same where one of them is vague ("a squirt … it was 60 g")."""


def compatible(name: str, a: Amount, b: Amount, farthest: float = FARTHEST) -> bool:
    """Whether two amounts may be two ways of saying the same, as far as weights tell."""
    if a.unit == b.unit and a.best and b.best:
        return 1 / farthest <= b.best / a.best <= farthest
    pantry = open_pantry()
    food = pantry.match(name).food
    grams = [pantry.grams(food, name, x) for x in (a, b) if x.basis != "energy"]
    if len(grams) == 2 and (grams[0] is None or grams[1] is None):
        # "mince, 400 g … makes fifty": no piece of mince is known, so no fifty of it
        return not any(x.unit == "piece" and (x.best or 0) > MOST_PIECES for x in (a, b))
    if len(grams) < 2 or grams[0] is None or grams[1] is None:
        return True
    first, second = grams[0], grams[1]
    reach = VAGUE_REACH if "vague" in (a.basis, b.basis) else farthest
    return first.low / reach <= second.best <= first.high * reach


@lru_cache(maxsize=4096)
def kinds(name: str) -> frozenset[str]:
    """The pantry's classes of ``name``; empty for an unknown food."""
    pantry = open_pantry()
    food = pantry.match(name).food
    return pantry.classes(food, name) if food is not None else frozenset()


def likeness(a: str, b: str) -> float:
    """How easily one food stands in for another: 0 not at all; by classes and shared words."""
    if set(a.split()) & set(b.split()):
        return 3.0
    ka, kb = kinds(a), kinds(b)
    score = float(len((ka & kb) - _FORM))
    for family in (_CENTRE, _MILKY, _GRAINY):
        if ka & family and kb & family:
            score += 0.5
    return score
