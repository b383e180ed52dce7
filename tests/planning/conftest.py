"""The galley's shelf: a few small recipes, weighed by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from hobnote.planning.shelf import ListShelf, Shelved
from hobnote.record import (
    Allergen,
    Amount,
    Bounds,
    Component,
    Flag,
    FoodRef,
    Ingredient,
    Nutrition,
    Range,
    Record,
    Step,
)

START = datetime(2026, 3, 1, 8, tzinfo=UTC)


def about(best, share=0.1):
    return Bounds(low=best * (1 - share), best=best, high=best * (1 + share))


def dish(title, kcal, protein, portions=4, rows=(), allergens=(), steps=(), **more):
    """A recipe of ``portions`` with ``kcal`` and ``protein`` g each; rows are (name, grams)."""
    parts = [
        Ingredient(
            name=name,
            grams=about(grams),
            food=FoodRef(id=f"test:{name}", description=name, match=1),
            amount=Amount(low=grams, best=grams, high=grams, unit="g", basis="weighed"),
        )
        for name, grams in rows
    ]
    per = {"energy_kcal": about(kcal), "protein_g": about(protein)}
    return Record(
        title=title,
        portions=Bounds(low=portions, best=portions, high=portions),
        components=[Component(ingredients=parts)],
        steps=list(steps),
        nutrition=Nutrition(per_portion=per),
        allergens=[Allergen(name=name, regimes=["EU"]) for name in allergens],
        **more,
    )


@pytest.fixture
def records():
    oats = dish(
        "porridge",
        420,
        15,
        12,
        [("oats", 600), ("milk", 1200)],
        ["cereals containing gluten", "milk"],
        [
            Step(number=1, text="Simmer", verb="simmer", minutes=Range(low=8, high=10)),
            Step(number=2, text="Stir", verb="stir", minutes=Range(low=1, high=2)),
        ],
    )
    chilli = dish(
        "bean chilli",
        610,
        32,
        8,
        [("kidney bean", 800), ("onion", 300)],
        [],
        [
            Step(number=1, text="Chop", verb="chop"),
            Step(number=2, text="Simmer", verb="simmer", minutes=Range(low=40, high=50)),
        ],
    )
    salad = dish("egg salad", 350, 24, 2, [("egg", 200), ("lettuce", 150)], ["eggs"])
    stew = dish(
        "mystery stew",
        500,
        20,
        4,
        [("beef", 400)],
        [],
        flags=[Flag(id="f1", kind="unmatched food", question="What is bosh?")],
    )
    stew.components[0].ingredients.append(Ingredient(name="bosh", flags=["f1"]))
    stew.nutrition.missing = ["bosh"]
    return [oats, chilli, salad, stew]


@pytest.fixture
def shelf(records):
    return ListShelf(
        Shelved(n, 1, START + timedelta(hours=n), record) for n, record in enumerate(records, 1)
    )
