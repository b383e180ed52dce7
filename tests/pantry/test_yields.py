"""Yields, retention and fat uptake."""

import pytest

from hobnote.pantry import open_pantry
from hobnote.pantry.types import Weight
from hobnote.pantry.yields import cooked_weight, raw_weight, retention

UK = open_pantry("uk")


def test_cooked_rice_is_not_taken_as_dry():
    rice = UK.match("rice").food
    factor = UK.weight_yield(rice, "rice", "boiled")
    dry = raw_weight(Weight(150, 150, 150, "as weighed"), factor)
    assert 50 <= dry.low < dry.best < dry.high <= 60


def test_cooking_and_uncooking_go_both_ways():
    factor = UK.weight_yield(UK.match("chicken breast").food, "chicken breast", "grilled")
    raw = Weight(200, 200, 200, "as weighed")
    back = raw_weight(cooked_weight(raw, factor), factor)
    assert back.best == pytest.approx(200)
    assert back.low <= 200 <= back.high


def test_methods_that_are_alike_share_a_row():
    lentils = UK.match("lentils").food
    assert UK.weight_yield(lentils, "lentils", "simmered") == UK.weight_yield(
        lentils, "lentils", "boiled"
    )


def test_no_table_no_figure():
    assert UK.weight_yield(None, "gubbins", "boiled") is None
    assert UK.retention(None, "gubbins", "roasted") == {}


def test_the_longer_it_simmers_the_less_alcohol_is_left():
    kept = [retention({"alcohol"}, "simmered", m)["alcohol_g"].best for m in (10, 25, 55, 85, 115)]
    assert kept == sorted(kept, reverse=True)
    assert "alcohol_g" not in retention({"alcohol"}, "simmered", None)


def test_vitamin_c_of_boiled_vegetables():
    kept = UK.retention(UK.match("broccoli").food, "broccoli", "boiled")["vitamin_c_mg"]
    assert 0 < kept.low < kept.best < kept.high < 1


def test_aubergines_drink_more_oil_than_other_vegetables():
    aubergine = UK.fat_uptake(UK.match("aubergine").food, "aubergine", "shallow-fried")
    carrot = UK.fat_uptake(UK.match("carrot").food, "carrot", "shallow-fried")
    assert aubergine.best > carrot.best


def test_a_row_about_the_food_comes_before_its_class_and_its_like_before_any_method():
    softened = UK.weight_yield(None, "onion", "softened")
    assert softened == UK.weight_yield(None, "onion", "fried")
    assert UK.weight_yield(None, "couscous", "boiled").best > 3
    assert UK.weight_yield(None, "bacon", "fried").best < 0.45
