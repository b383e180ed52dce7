"""What the pantry hands out. Nutrients are per 100 g; a nutrient that is not there is unknown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class HouseholdWeight:
    """``grams`` of one ``measure`` ("cup, chopped", "clove", "large") of the edible food."""

    measure: str
    grams: float
    source: str


@dataclass(frozen=True, slots=True)
class Food:
    """One composition row.

    ``nutrients`` maps keys such as ``energy_kcal``, ``protein_g``, ``sodium_mg``
    to amounts per 100 g edible; a missing key is unknown, never zero.
    ``refuse`` is the inedible share of the weight as bought, 0 to 1.
    ``factors`` are the row's own energy factors in kcal/g for protein, fat and
    carbohydrate. ``form`` is raw, dry, cooked, drained or None.
    """

    id: str
    description: str
    group: str
    nutrients: Mapping[str, float]
    refuse: float = 0.0
    weights: tuple[HouseholdWeight, ...] = ()
    factors: Mapping[str, float] = field(default_factory=dict)
    form: str | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Match:
    """The answer to a name. ``food`` is None when nothing fits.

    ``score`` is 0 to 1; below ``Pantry.ASK_BELOW`` the match is a question.
    ``generic`` is True when the name covers several foods that differ in
    numbers ("oil"); ``alternatives`` then holds them.
    """

    name: str
    food: Food | None
    score: float
    why: str
    runners_up: tuple[tuple[Food, float], ...] = ()
    generic: bool = False
    alternatives: tuple[Food, ...] = ()


@dataclass(frozen=True, slots=True)
class Weight:
    """Grams as (low, best, high) and where the conversion came from."""

    low: float
    best: float
    high: float
    source: str
