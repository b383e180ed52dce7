"""Shopping lists: sums by food, aisles, packs, what is at home."""

from __future__ import annotations

import pytest

from hobnote.planning.entry import entry
from hobnote.planning.report import shopping_lines
from hobnote.planning.shelf import ListShelf
from hobnote.planning.shopping import aisle, shopping
from hobnote.record import Amount, Bounds, Component, FoodRef, Ingredient, Record


def row(name, grams, food=None, **more):
    weight = None if grams is None else Bounds(low=grams * 0.9, best=grams, high=grams * 1.1)
    ref = food and FoodRef(id=food, description=name, match=1)
    return Ingredient(name=name, grams=weight, food=ref, **more)


def entries(*recipes):
    records = [
        Record(title=f"dish {n}", components=[Component(ingredients=list(rows))])
        for n, rows in enumerate(recipes, 1)
    ]
    return [entry(one) for one in ListShelf.of(records).recipes()]


def test_the_same_food_is_bought_once():
    found = shopping(
        entries(
            [row("tinned tomato", 400, "t1")], [row("tomato", 200, "t1"), row("onion", 100, "o1")]
        ),
        {1: 2, 2: 1},
    )
    by_name = {item.name: item for item in found}
    assert by_name["tomato"].grams.best == 1000
    assert by_name["tomato"].grams.high == pytest.approx(1100)
    assert by_name["tomato"].used_in == ("dish 1", "dish 2")
    assert set(by_name) == {"tomato", "onion"}


def test_what_is_not_cooked_optional_or_from_the_tap_is_not_bought():
    found = shopping(
        entries(
            [
                row("leek", 100),
                row("water", 500),
                row("boiling water", 5),
                row("parsley", 5, optional=True),
                row("oil", 5, swap_for="butter"),
            ],
            [row("swede", 100)],
        ),
        {1: 1},
    )
    assert [item.name for item in found] == ["leek"]


def test_packs_are_those_that_a_recipe_named():
    tin = Amount(
        low=2,
        best=2,
        high=2,
        unit="piece",
        noun="tin",
        basis="counted",
        content_g=Bounds(low=400, best=400, high=400),
    )
    (item,) = shopping(entries([row("chickpea", 800, "c", amount=tin)]), {1: 2})
    assert (item.packs[0], item.packs[1].noun) == (4, "tin")
    (item,) = shopping(entries([row("chickpea", 800, "c", amount=tin)]), {1: 2}, {"chickpea": 900})
    assert (item.packs[0], item.at_home) == (2, 900)
    assert "2 × tin of 400 g" in "\n".join(shopping_lines([item]))


def test_an_unknown_amount_is_said():
    (item,) = shopping(entries([row("salt", None)], [row("salt", 4)]), {1: 1, 2: 1})
    assert item.grams.best == 4
    assert "amount not known in dish 1" in "\n".join(shopping_lines([item]))


@pytest.mark.parametrize(
    ("name", "where"),
    [
        ("carrot", "fruit and vegetables"),
        ("cheddar", "milk and eggs"),
        ("chicken thigh", "meat and fish"),
        ("egg", "milk and eggs"),
        ("red lentil", "grains and pulses"),
        ("parsley", "fruit and vegetables"),
        ("olive oil", "nuts, oils and baking"),
        ("cumin", "sauces and seasonings"),
        ("a thing nobody knows", "other"),
    ],
)
def test_aisles(name, where):
    assert aisle(name, None) == where


def test_the_list_goes_aisle_by_aisle():
    found = shopping(
        entries([row("cumin", 4), row("carrot", 9), row("cheddar", 9), row("leek", 9)]), {1: 1}
    )
    aisles = [item.aisle for item in found]
    assert aisles == sorted(aisles, key=aisles.index)
    assert len(set(aisles)) == 3
