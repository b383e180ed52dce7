"""Grams as a scale shows them, cups and spoons as a drawer holds them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.publishing.measures import (
    grams_text,
    kitchen_text,
    on_scale,
    plural,
    put_in,
    us_text,
)
from hobnote.record import Amount, Bounds, FoodRef, Ingredient


def sure(value):
    return Bounds(low=value, best=value, high=value)


@pytest.mark.parametrize(
    ("grams", "shown"),
    [(0.26, 0.3), (1.94, 1.9), (4.3, 4.5), (4.2, 4.0), (237.4, 237), (1234, 1235), (0, 0)],
)
def test_a_scale_shows_its_steps(grams, shown):
    assert on_scale(grams) == shown


@given(st.floats(0, 50_000))
def test_rounding_to_the_scale_is_close_and_settles(grams):
    shown = on_scale(grams)
    assert abs(shown - grams) <= 2.5 + 1e-9
    assert on_scale(shown) == shown


@given(st.floats(0, 10_000), st.floats(0, 10_000))
def test_a_heavier_weight_never_shows_lighter(a, b):
    low, high = sorted((a, b))
    assert on_scale(low) <= on_scale(high)


def test_grams_keep_their_range():
    assert grams_text(Bounds(low=7, best=14, high=27)) == "14 g (7–27)"
    assert grams_text(Bounds(low=99, best=100, high=101)) == "100 g"
    assert grams_text(None) is None
    assert grams_text(sure(0.01)) == "under 0.1 g"


def test_a_weight_off_the_scale_stays_as_it_was_said():
    read = Amount(low=3.3, best=3.3, high=3.3, unit="g", basis="weighed")
    assert grams_text(sure(3.3), read) == "3.3 g"
    assert grams_text(sure(3.3)) == "3.5 g"


@pytest.mark.parametrize(
    ("size", "kind", "shown"),
    [
        (236.588, "ml", "1 cup"),
        (78.86, "ml", "⅓ cup"),
        (550, "ml", "2⅓ cups"),
        (59.1, "ml", "¼ cup"),
        (22, "ml", "1½ tbsp"),
        (4.93, "ml", "1 tsp"),
        (0.62, "ml", "⅛ tsp"),
        (0.1, "ml", "under ⅛ tsp"),
        (453.59, "g", "1 lb"),
        (400, "g", "14 oz"),
        (7, "g", "¼ oz"),
    ],
)
def test_the_drawer(size, kind, shown):
    assert us_text(size, kind) == shown


@given(st.floats(0.7, 4000))
def test_a_spoonful_is_near_what_it_stands_for(size):
    from fractions import Fraction

    signs = {"⅛": 1 / 8, "¼": 1 / 4, "⅓": 1 / 3, "½": 1 / 2, "⅔": 2 / 3, "¾": 3 / 4}
    figure, unit = us_text(size, "ml").rsplit(" ", 1)
    whole = figure.rstrip("".join(signs))
    count = float(Fraction(whole.replace(",", "") or 0)) + signs.get(figure[-1], 0)
    ml = {"cup": 236.588, "cups": 236.588, "tbsp": 14.787, "tsp": 4.929}[unit]
    assert count * ml == pytest.approx(size, rel=0.26, abs=0.65)


def test_spoons_of_the_cooks_own_country():
    row = Ingredient(
        name="oil", amount=Amount(low=3, best=3, high=3, unit="tbsp", basis="measured")
    )
    assert kitchen_text(row, lambda _: None, "us") == "3 tbsp"
    assert kitchen_text(row, lambda _: None, "au") == "¼ cup"  # 60 ml


def test_a_density_makes_cups_and_none_makes_ounces():
    row = Ingredient(name="flour", grams=sure(250))
    assert kitchen_text(row, lambda _: 125 / 236.588) == "2 cups"
    assert kitchen_text(row, lambda _: None) == "8¾ oz"


def test_the_range_is_kept_in_spoons():
    row = Ingredient(name="oil", grams=Bounds(low=4.5, best=13.5, high=27))
    assert kitchen_text(row, lambda _: 0.9129) == "1 tbsp (1 tsp–2 tbsp)"


def test_counted_things_stay_counted():
    eggs = Ingredient(name="egg", amount=Amount(low=2, best=2, high=2, unit="piece", size="large"))
    assert kitchen_text(eggs, lambda _: None) == "2 large"
    cloves = Ingredient(name="garlic", amount=Amount(low=3, best=3, high=3, noun="clove"))
    assert kitchen_text(cloves, lambda _: None) == "3 cloves"
    assert kitchen_text(Ingredient(name="salt"), lambda _: None) is None


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("leaf", "leaves"),
        ("bunch", "bunches"),
        ("tin", "tins"),
        ("box", "boxes"),
        ("glass", "glasses"),
    ],
)
def test_plurals(one, many):
    assert plural(one) == many


def test_the_table_gives_plain_cups_only():
    from hobnote.pantry import open_pantry
    from hobnote.publishing.measures import table_density

    food = open_pantry("us").match("plain flour").food
    row = Ingredient(
        name="plain flour", food=FoodRef(id=food.id, description=food.description, match=1)
    )
    assert table_density(row) == pytest.approx(125 / 236.588, rel=0.01)
    row.food.id = "nowhere"
    assert table_density(row) is None


def weighed(kilos: float, eaten: Bounds, source: str) -> Ingredient:
    amount = Amount(low=kilos, best=kilos, high=kilos, unit="kg", basis="weighed")
    return Ingredient(name="lamb shoulder", amount=amount, grams=eaten, weight_source=source)


def test_what_is_measured_out_is_printed_though_less_is_eaten():
    bone = weighed(2.5, Bounds(low=1800, best=1950, high=2200), "as weighed; 78 % is eaten")
    assert put_in(bone, lambda _: None) == sure(2500)
    assert put_in(weighed(2.5, sure(2500), "as weighed"), lambda _: None) is None
    litre = Amount(low=1, best=1, high=1, unit="l", basis="measured")
    oil = Ingredient(name="oil", amount=litre, grams=sure(60), weight_source="taken up in frying")
    assert put_in(oil, lambda _: 0.92) == sure(920)
    assert put_in(oil.model_copy(update={"weight_source": "a cup"}), lambda _: 0.92) is None
