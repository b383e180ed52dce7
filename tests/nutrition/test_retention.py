"""Vitamins of the dish as cooked: the published table, energy and macros whole."""

import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.tables import nutrients
from hobnote.pantry import open_pantry
from hobnote.pantry.tables import lines, split
from hobnote.record import Step

UK = open_pantry("uk")
MACROS = ("energy_kcal", "protein_g", "fat_g", "carbohydrate_g", "fibre_g", "sodium_mg")


def figures(record):
    return record.components[0].ingredients[0].nutrition


def cooked(row, dish, *verbs: str):
    steps = [
        Step(number=n, text=verb, verb=verb, ingredients=["broccoli"])
        for n, verb in enumerate(verbs, start=1)
    ]
    return weigh(dish(row("broccoli", 200), steps=steps), UK)


def test_boiled_and_drained_broccoli_keeps_part_of_its_vitamin_c(row, dish) -> None:
    raw, out = cooked(row, dish), cooked(row, dish, "boil", "drain")
    share = figures(out)["vitamin_c_mg"].best / figures(raw)["vitamin_c_mg"].best
    assert share == pytest.approx(0.65)
    assert figures(out)["vitamin_c_mg"].low < figures(out)["vitamin_c_mg"].high
    assert all(figures(out)[key] == figures(raw)[key] for key in MACROS)
    held = out.nutrition.scores["vitamin_retention"]["foods"]["broccoli"]
    assert held["method"] == "boiled" and "USDA R6" in held["source"]
    assert held["kept"]["vitamin_c_mg"]["best"] == 0.65
    assert out.nutrition.total["vitamin_c_mg"] == figures(out)["vitamin_c_mg"]


def test_in_a_soup_nothing_is_poured_off(row, dish) -> None:
    raw, soup = cooked(row, dish), cooked(row, dish, "boil")
    assert figures(soup) == figures(raw)
    assert "vitamin_retention" not in soup.nutrition.scores


@pytest.mark.parametrize("verb", ["roast", "bake", "fry"])
def test_other_ways_of_cooking_cost_some_too(row, dish, verb) -> None:
    raw, out = cooked(row, dish), cooked(row, dish, verb)
    assert figures(out)["vitamin_c_mg"].high < figures(raw)["vitamin_c_mg"].best
    assert all(figures(out)[key] == figures(raw)[key] for key in MACROS)


def test_weighing_again_takes_nothing_more(row, dish) -> None:
    once = cooked(row, dish, "boil", "drain")
    assert weigh(once, UK) == once


def test_cooked_food_was_cooked_before(row, dish) -> None:
    steps = [Step(number=1, text="fry", verb="fry", ingredients=["broccoli"])]
    record = weigh(dish(row("broccoli", 200, state="cooked"), steps=steps), UK)
    assert "vitamin_retention" not in record.nutrition.scores


def test_the_table_names_no_macronutrient() -> None:
    keys = {split(line)[3] for line in lines("retention.csv")[1:]} - {"alcohol_g"}
    assert keys <= set(nutrients())
    assert not keys & {*MACROS[:-1], "saturates_g", "sugars_g", "water_g", "energy_kj"}
