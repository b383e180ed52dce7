"""A tiny pantry with round figures, so that every sum in these tests can be redone by hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hobnote.pantry import yields
from hobnote.pantry.types import Food, Match, Weight
from hobnote.record import Amount, Bounds, Component, Ingredient, Record


def food(id: str, description: str, group: str = "", form: str | None = None, **n: float) -> Food:
    base = {"energy_kcal": 0.0, "protein_g": 0.0, "fat_g": 0.0, "carbohydrate_g": 0.0}
    base |= {"fibre_g": 0.0, "sugars_g": 0.0, "saturates_g": 0.0, "sodium_mg": 0.0}
    base |= n
    return Food(id, description, group, {k: v for k, v in base.items() if v >= 0}, form=form)


VEG, SWEETS = "Vegetables and Vegetable Products", "Sweets"
FOODS = {
    "oil": food("oil", "Oil", energy_kcal=900, fat_g=100, saturates_g=10),
    "salt": food("salt", "Salt, table", sodium_mg=40000),
    "sugar": food("sugar", "Sugars", SWEETS, energy_kcal=400, carbohydrate_g=100, sugars_g=100),
    "flour": food(
        "flour", "Wheat flour", energy_kcal=360, protein_g=10, fat_g=1, carbohydrate_g=75, fibre_g=3
    ),
    "onion": food(
        "onion", "Onions, raw", VEG, "raw",
        energy_kcal=40, protein_g=1, carbohydrate_g=10, fibre_g=2, sugars_g=4,
    ),
    "chicken": food("chicken", "Chicken, raw", form="raw", energy_kcal=120, protein_g=24, fat_g=3),
    "mince": food("mince", "Beef, ground", form="raw", energy_kcal=250, protein_g=18, fat_g=20),
    "egg": food("egg", "Egg, whole, raw", form="raw", energy_kcal=140, protein_g=12, fat_g=10),
    "milk": food("milk", "Milk, whole", energy_kcal=60, protein_g=3, fat_g=3, carbohydrate_g=5),
    "skimmed milk": food("skim", "Milk, skim", energy_kcal=35, protein_g=3, carbohydrate_g=5),
    "rice": food("rice", "Rice, white, raw", energy_kcal=360, protein_g=7, carbohydrate_g=80),
    "tahini": food(
        "tahini", "Sesame butter, tahini", energy_kcal=600, protein_g=17, fat_g=54,
        carbohydrate_g=21, fibre_g=9,
    ),
    "peanut butter": food(
        "pb", "Peanut butter", energy_kcal=590, protein_g=24, fat_g=50, carbohydrate_g=20, fibre_g=6
    ),
    "spice": food("spice", "Spices, mixed", energy_kcal=300, carbohydrate_g=60, sugars_g=-1),
    "honey": food("honey", "Honey", SWEETS, energy_kcal=300, carbohydrate_g=82, sugars_g=82),
}  # fmt: skip
CLASSES = {
    "oil": {"oil"}, "salt": {"salt"}, "chicken": {"meat", "poultry"}, "mince": {"meat", "mince"},
    "egg": {"egg"}, "rice": {"rice"}, "flour": {"flour"}, "milk": {"milk"}, "sugar": {"sugar"},
}  # fmt: skip
VAGUE = {"glug": (5, 15, 25), "pinch": (0.2, 0.4, 0.6), "splash": (10, 20, 40)}
USUAL = {"oil": (5, 15, 30), "salt": (1, 3, 6)}
PIECES = {"egg": (44, 50, 63), "onion": (70, 110, 150)}


class FakePantry:
    """Answers like the real pantry, from the tables above."""

    ASK_BELOW = 0.7

    def match(self, name: str, *, state: str | None = None, preparation: Any = ()) -> Match:
        if name == "dairy":
            both = (FOODS["milk"], FOODS["skimmed milk"])
            return Match(name, both[0], 0.9, "fake", generic=True, alternatives=both)
        if name == "onoin":
            return Match(name, FOODS["onion"], 0.5, "fake", ((FOODS["rice"], 0.4),))
        found = FOODS.get(name)
        return Match(name, found, 1.0 if found else 0.0, "fake")

    def grams(self, food: Any, name: str, amount: Amount, **_: Any) -> Weight | None:
        by = {"g": 1.0, "kg": 1000.0, "ml": 1.0, "tsp": 5.0, "tbsp": 15.0}.get(amount.unit or "")
        spans = (by, by, by) if by else PIECES.get(name)
        ends = (amount.low, amount.best, amount.high)
        if spans is None or None in ends:
            return None
        low, best, high = (a * s for a, s in zip(ends, spans, strict=True))  # type: ignore[operator]
        return Weight(low, best, high, "fake measure")

    def vague(
        self, key: str, food: Any, name: str, *, size: Any = None, count: Any = (1, 1, 1)
    ) -> Weight | None:
        if key not in VAGUE:
            return None
        return Weight(*(g * n for g, n in zip(VAGUE[key], count, strict=True)), f"a {key}")

    def usual(self, food: Any, name: str, portions: float | None = None) -> Weight | None:
        return Weight(*USUAL[name], "usual range") if name in USUAL else None

    def food(self, id: str) -> Food | None:
        return next((f for f in FOODS.values() if f.id == id), None)

    def weight_yield(self, food: Any, name: str, method: str) -> yields.Factor | None:
        return yields.weight_yield([name], self.classes(food, name), method)

    def retention(
        self, food: Any, name: str, method: str, minutes: float | None = None
    ) -> dict[str, yields.Factor]:
        return yields.retention(self.classes(food, name), method, minutes)

    def fat_uptake(self, food: Any, name: str, method: str) -> yields.Factor | None:
        return yields.fat_uptake([name], self.classes(food, name), method)

    def classes(self, food: Any, name: str) -> frozenset[str]:
        return frozenset(CLASSES.get(name, set()))


@pytest.fixture
def pantry() -> FakePantry:
    return FakePantry()


@pytest.fixture
def row() -> Callable[..., Ingredient]:
    """``row("oil", 10)``: 10 g weighed; ``row("oil", vague="glug")``; ``row("oil")``: unsaid."""

    def make(
        name: str, grams: float | None = None, *, vague: str | None = None, **more: Any
    ) -> Ingredient:
        if vague is not None:
            amount = Amount(low=1, best=1, high=1, basis="vague", noun=vague, said=f"a {vague}")
        elif grams is not None:
            amount = Amount(low=grams, best=grams, high=grams, unit="g", basis="weighed")
        else:
            amount = Amount()
        return Ingredient(**({"name": name, "amount": amount} | more))

    return make


@pytest.fixture
def dish() -> Callable[..., Record]:
    """``dish(row, row, portions=2)``: a record with one main component."""

    def make(*rows: Ingredient, portions: float | None = 2, **more: Any) -> Record:
        shares = None if portions is None else Bounds(low=portions, best=portions, high=portions)
        parts = more.pop("components", [Component(ingredients=list(rows))])
        return Record(portions=shares, components=parts, **more)

    return make
