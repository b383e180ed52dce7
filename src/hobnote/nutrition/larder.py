"""What this room asks of the pantry: a protocol, so that any object that answers will do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from hobnote.pantry.types import Food, Match, Weight
from hobnote.pantry.yields import Factor
from hobnote.record import Amount


class Larder(Protocol):
    """The part of ``hobnote.pantry.Pantry`` that the nutrition room calls."""

    @property
    def ASK_BELOW(self) -> float:
        """Below this score a match is a question."""

    def match(
        self, name: str, *, state: str | None = None, preparation: Sequence[str] = ()
    ) -> Match:
        """The food that a name means."""

    def grams(
        self,
        food: Food | None,
        name: str,
        amount: Amount,
        *,
        preparation: Sequence[str] = (),
        state: str | None = None,
        content_g: tuple[float, float, float] | None = None,
    ) -> Weight | None:
        """Grams of a measured or counted amount, None where no conversion is known."""

    def vague(
        self,
        key: str,
        food: Food | None,
        name: str,
        *,
        size: str | None = None,
        count: tuple[float, float, float] = (1, 1, 1),
    ) -> Weight | None:
        """Grams of a vague measure."""

    def usual(self, food: Food | None, name: str, portions: float | None = None) -> Weight | None:
        """The usual range of an ingredient whose amount was not said."""

    def food(self, id: str) -> Food | None:
        """The row with that id."""

    def classes(self, food: Food | None, name: str) -> frozenset[str]:
        """Class words such as "oil", "poultry", "mince"."""

    def weight_yield(self, food: Food | None, name: str, method: str) -> Factor | None:
        """Cooked over raw weight by ``method``; None where unknown."""

    def retention(
        self, food: Food | None, name: str, method: str, minutes: float | None = None
    ) -> dict[str, Factor]:
        """The share of each nutrient that ``method`` leaves."""

    def fat_uptake(self, food: Food | None, name: str, method: str) -> Factor | None:
        """Grams of fat taken up per 100 g of raw food."""
