"""What kind of food a name is, asked of the pantry: counted in pieces, or near another food."""

from __future__ import annotations

from functools import cache
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
_MILKY: Final = frozenset({"milk", "plant-milk", "cream", "yoghurt", "dairy", "nut"})
_GRAINY: Final = frozenset({"grain", "rice", "pasta", "bread", "noodle", "oats"})


@cache
def countable(name: str) -> bool:
    """Whether the pantry knows what one ``name`` weighs."""
    pantry = open_pantry()
    food = pantry.match(name).food
    one = Amount(low=1, best=1, high=1, unit="piece", basis="counted")
    return food is not None and pantry.grams(food, name, one) is not None


FARTHEST: Final = 4.0
"""How many times one amount may be another and still be about the same thing."""


def compatible(name: str, a: Amount, b: Amount) -> bool:
    """Whether two amounts may be two ways of saying the same, as far as weights tell."""
    if a.unit == b.unit and a.best and b.best:
        return 1 / FARTHEST <= b.best / a.best <= FARTHEST
    pantry = open_pantry()
    food = pantry.match(name).food
    grams = [pantry.grams(food, name, x) for x in (a, b) if x.basis not in ("vague", "energy")]
    if len(grams) < 2 or grams[0] is None or grams[1] is None:
        return True
    first, second = grams[0], grams[1]
    return first.low / FARTHEST <= second.best <= first.high * FARTHEST


@cache
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
