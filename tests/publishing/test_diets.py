"""A diet is claimed only where every ingredient proves it."""

from __future__ import annotations

import pytest

from hobnote.pantry import open_pantry
from hobnote.publishing.diets import diets
from hobnote.record import Component, Flag, FoodRef, Ingredient, Record


def dish(*names, **more):
    rows = []
    for name in names:
        match = open_pantry("us").match(name)
        food = match.food and FoodRef(
            id=match.food.id, description=match.food.description, match=match.score
        )
        rows.append(Ingredient(name=name, food=food))
    return Record(components=[Component(ingredients=rows)], **more)


def test_plain_plants_prove_three_diets():
    assert diets(dish("carrot", "red lentil", "olive oil")) == [
        "VeganDiet",
        "VegetarianDiet",
        "GlutenFreeDiet",
        "LowLactoseDiet",
    ]


@pytest.mark.parametrize(
    ("other", "lost"),
    [
        ("egg", {"VeganDiet"}),
        ("chicken breast", {"VeganDiet", "VegetarianDiet"}),
        ("cheddar", {"VeganDiet", "VegetarianDiet", "LowLactoseDiet"}),
        ("milk", {"VeganDiet", "LowLactoseDiet"}),
        ("honey", {"VeganDiet"}),
        ("rolled oats", {"GlutenFreeDiet"}),
        ("plain flour", {"GlutenFreeDiet"}),
        ("salmon fillet", {"VeganDiet", "VegetarianDiet"}),
        ("anchovy", {"VeganDiet", "VegetarianDiet"}),
        ("couscous", {"GlutenFreeDiet"}),
    ],
)
def test_one_ingredient_takes_a_diet_away(other, lost):
    assert not set(diets(dish("carrot", other))) & lost


@pytest.mark.parametrize(
    "other",
    ["worcestershire sauce", "chicken stock", "curry paste", "a thing nobody knows", "sausage"],
)
def test_made_up_and_unknown_foods_prove_nothing(other):
    assert diets(dish("carrot", other)) == []


def test_an_open_question_about_the_food_proves_nothing():
    record = dish("carrot", flags=[Flag(id="f1", kind="unsure food", question="?")])
    assert diets(record)
    record.components[0].ingredients[0].flags = ["f1"]
    assert diets(record) == []


def test_an_optional_egg_counts_and_a_swap_does_not():
    record = dish("carrot", "egg")
    record.components[0].ingredients[1].optional = True
    assert "VeganDiet" not in diets(record)
    record.components[0].ingredients[1].swap_for = "carrot"
    assert "VeganDiet" in diets(record)
    assert diets(Record()) == []
