"""Whole dishes: textbook compositions against the table's own rows for the finished dish.

The composite rows are those of USDA SR28 ("prepared from recipe", "home-prepared"), by NDB
number, per 100 g as eaten; the ingredient rows are SR28's too. The compositions are the
ordinary proportions of American home cooking by the cup (flour 125 g, milk 244 g, sugar
200 g, egg 50 g without shell; household weights of SR28), from memory of common home
recipes: SR28 does not print its own. Where two usual versions were tried (oatmeal cookies,
cornbread, pancakes, waffles, banana bread, French toast, caramel custard, hummus) the nearer
one stands here, and the kind of milk in the cocoa was chosen by the row's fat. Every dish that
was tried is listed: those whose macronutrients agree or are explained in DISHES, the rest
in LOOSER, where only the energy is held to 15 %. What a dish loses or takes up in cooking is
only water here, so the finished weight is taken where the dry matter agrees with the row's
own water content (the weight yield of the EuroFIR recipe method).
"""

from __future__ import annotations

from typing import Any

import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.bounds import exact
from hobnote.nutrition.yields import at_yield
from hobnote.pantry.foods import food_table
from hobnote.pantry.types import Food, Match, Weight
from hobnote.record import Amount, Bounds, Component, Ingredient, Nutrition, Record

FLOUR, SUGAR, BROWN, EGG, MILK_2, MILK = "20081", "19335", "19334", "01123", "01079", "01077"
SHORTENING, MARGARINE, BUTTER, OIL, SALT = "04031", "04610", "01001", "04044", "02047"
POWDER, SODA, POTATO, WATER = "18369", "18372", "11367", "14411"

# NDB number of the dish: {NDB number of the ingredient: grams}
DISHES: dict[str, dict[str, float]] = {
    "06165": {MARGARINE: 14, FLOUR: 8, MILK: 244, SALT: 1},  # white sauce, thin
    "06166": {MARGARINE: 28, FLOUR: 16, MILK: 244, SALT: 1},  # white sauce, medium
    "06167": {MARGARINE: 43, FLOUR: 24, MILK: 244, SALT: 1},  # white sauce, thick
    "01105": {MILK_2: 244, "19165": 5.4, SUGAR: 12.6},  # hot cocoa
    "01130": {EGG: 100, BUTTER: 5, WATER: 15, SALT: 0.5},  # omelette
    "01132": {EGG: 100, MILK: 30, BUTTER: 5, SALT: 0.5},  # scrambled egg
    "11371": {POTATO: 450, MILK: 61, MARGARINE: 28, SALT: 3},  # mashed potato, margarine
    "11934": {POTATO: 450, MILK: 61, BUTTER: 28, SALT: 3},  # mashed potato, butter
    "16005": {  # baked beans
        "16037": 454, "10165": 113, "19304": 80, BROWN: 55, "11282": 110, SALT: 6, "02024": 3,
    },
    "18016": {FLOUR: 250, POWDER: 14, SALT: 4, SHORTENING: 68, MILK_2: 183},  # biscuits (scones)
    "18024": {  # cornbread
        "20022": 138, FLOUR: 125, SUGAR: 25, POWDER: 14, SALT: 3, EGG: 50, MILK_2: 244, OIL: 27,
    },
    "18126": {FLOUR: 250, SUGAR: 38, POWDER: 14, SALT: 3, SHORTENING: 76, MILK_2: 163},  # shortcake
    "18146": {  # yellow cake
        FLOUR: 281, SUGAR: 300, SHORTENING: 103, EGG: 100, MILK: 305, POWDER: 12, SALT: 5,
    },
    "18184": {  # oatmeal cookies with raisins
        FLOUR: 188, SUGAR: 100, BROWN: 220, MARGARINE: 170, EGG: 100, "08120": 243, SODA: 4.6,
        SALT: 3, "09298": 145,
    },
    "18189": {  # peanut butter cookies
        FLOUR: 156, "16098": 129, MARGARINE: 113, SUGAR: 100, BROWN: 110, EGG: 50, SODA: 3,
        POWDER: 2,
    },
    "18237": {WATER: 237, BUTTER: 113, FLOUR: 125, EGG: 200, SALT: 1},  # cream puff shell
    "18273": {  # plain muffins
        FLOUR: 250, SUGAR: 67, POWDER: 14, SALT: 3, EGG: 50, MILK_2: 244, OIL: 55,
    },
    "18378": {  # chocolate chip cookies
        FLOUR: 281, BUTTER: 227, SUGAR: 150, BROWN: 165, EGG: 100, "19080": 340, "12155": 117,
        SODA: 4.6, SALT: 6,
    },
    "18396": {  # dinner rolls
        FLOUR: 625, MILK_2: 244, SUGAR: 50, MARGARINE: 76, EGG: 50, "18375": 14, SALT: 9,
    },
    "18402": {FLOUR: 250, SHORTENING: 137, SALT: 6, WATER: 75},  # pie crust, unbaked
    "19094": {MILK: 488, EGG: 200, SUGAR: 150},  # caramel custard
    "19168": {MILK: 488, EGG: 150, SUGAR: 67, SALT: 1},  # baked egg custard
    "20097": {FLOUR: 300, EGG: 150},  # egg pasta, cooked: the dough takes up water
    "11414": {  # potato salad
        POTATO: 450, "01129": 100, "04025": 110, "11143": 60, "11282": 40, "11945": 45, SALT: 6,
    },
    "18293": {FLOUR: 156, SUGAR: 13, POWDER: 9, SALT: 3, EGG: 50, MILK_2: 244, OIL: 27},  # pancakes
    "16137": {  # hummus
        "16358": 480, "12166": 80, "09152": 120, "04053": 14, "11215": 6, SALT: 3, WATER: 30,
    },
    "16138": {"16056": 200, "11282": 55, "11215": 9, "11297": 15, FLOUR: 16, SALT: 4, OIL: 45},
}  # fmt: skip

# Here the unknown original differs in one macronutrient or more, mostly in how much fat it takes
# or in the kind of milk; the energy still agrees.
LOOSER: dict[str, dict[str, float]] = {
    "01164": {BUTTER: 28, FLOUR: 16, MILK: 244, "01009": 120, SALT: 1},  # cheese sauce
    "11372": {"11352": 680, BUTTER: 28, FLOUR: 16, MILK: 366, SALT: 6},  # scalloped potatoes
    "11373": {"11352": 680, BUTTER: 28, FLOUR: 16, MILK: 366, SALT: 6, "01009": 113},  # au gratin
    "11656": {  # corn pudding
        "11174": 482, EGG: 100, MILK: 122, BUTTER: 28, FLOUR: 16, SUGAR: 25, SALT: 3,
    },
    "18019": {  # banana bread
        FLOUR: 250, SUGAR: 150, MARGARINE: 76, EGG: 100, "09040": 225, POWDER: 9, SODA: 1, SALT: 2,
    },
    "18073": {FLOUR: 800, MILK_2: 488, SUGAR: 25, SHORTENING: 28, "18375": 7, SALT: 12},  # bread
    "18077": {  # wholemeal bread
        "20080": 720, MILK_2: 366, WATER: 180, "19296": 63, OIL: 41, "18375": 14, SALT: 12,
    },
    "18101": {  # chocolate cake
        FLOUR: 219, SUGAR: 350, "19165": 65, EGG: 100, MILK: 244, OIL: 109, WATER: 237, POWDER: 7,
        SODA: 7, SALT: 6,
    },
    "18116": {  # gingerbread
        FLOUR: 281, "19304": 237, SUGAR: 100, SHORTENING: 95, EGG: 50, WATER: 178, SODA: 5,
    },
    "18134": {FLOUR: 125, SUGAR: 200, EGG: 300, SALT: 1, "09152": 15},  # sponge cake
    "18208": {  # sugar cookies
        FLOUR: 312, SUGAR: 200, MARGARINE: 170, EGG: 50, POWDER: 5, SALT: 3, MILK_2: 15,
    },
    "18269": {"18069": 150, EGG: 100, MILK_2: 61, MARGARINE: 14, SALT: 1},  # French toast
    "18282": {  # corn muffins
        "20022": 138, FLOUR: 125, SUGAR: 50, POWDER: 14, SALT: 3, EGG: 50, MILK_2: 244, OIL: 55,
    },
    "18367": {FLOUR: 219, POWDER: 14, SALT: 3, SUGAR: 13, EGG: 100, MILK_2: 305, OIL: 82},
    "18377": {  # oatmeal cookies without raisins
        FLOUR: 188, SUGAR: 100, BROWN: 220, MARGARINE: 170, EGG: 100, "08120": 243, SODA: 4.6,
        SALT: 3,
    },
    "18390": {  # buttermilk pancakes
        FLOUR: 156, SUGAR: 25, POWDER: 4, SODA: 2, SALT: 3, EGG: 50, "01088": 245, OIL: 27,
    },
    "19186": {"09004": 750, FLOUR: 63, BROWN: 165, MARGARINE: 57, "08120": 40},  # apple crisp
    "19375": {"19336": 120, MILK: 15, MARGARINE: 2},  # sugar glaze
    "04135": {OIL: 109, "02053": 119},  # vinegar and oil; the table's has sugar in it
    # Thin white sauce with butter: the row has less fat than whole milk alone, so it was made with
    # skimmed milk or hardly any butter; the energy is 27 % off and is explained, not held.
    "06264": {BUTTER: 14, FLOUR: 8, MILK: 244, SALT: 1},
}  # fmt: skip
ENERGY_EXPLAINED = {"06264"}

# Differences over 15 % and why. Everything else must agree within 15 %.
EXPLAINED = {
    ("11414", "protein_g"): "the table's salad holds more egg than two in a pound of potatoes",
    ("18293", "fat_g"): "fat from the pan is in the table's pancakes and not in the batter",
    ("16137", "protein_g"): "drained chickpeas (16358) hold 7.0 g, with liquid (16058) 4.9 g",
    ("16138", "fat_g"): "how much oil falafel takes up in deep frying varies; 45 g is a guess",
    ("16138", "protein_g"): "follows from the oil and the flour of the guess",
    ("16138", "carbohydrate_g"): "follows from the oil and the flour of the guess",
}
MACROS = ("energy_kcal", "protein_g", "fat_g", "carbohydrate_g")


class ById:
    """A pantry in which a name is an NDB number and every amount is in grams."""

    ASK_BELOW = 0.5

    def match(self, name: str, **_: Any) -> Match:
        return Match(name, food_table().get(name), 1.0, "by number")

    def grams(self, food: Any, name: str, amount: Amount, **_: Any) -> Weight | None:
        assert amount.low is not None and amount.best is not None and amount.high is not None
        return Weight(amount.low, amount.best, amount.high, "scale")

    def vague(self, key: str, food: Any, name: str, **_: Any) -> Weight | None:
        return None

    def usual(self, food: Any, name: str, portions: float | None = None) -> Weight | None:
        return None

    def food(self, id: str) -> Food | None:
        return food_table().get(id)

    def classes(self, food: Any, name: str) -> frozenset[str]:
        return frozenset()


def computed(parts: dict[str, float]) -> Nutrition:
    rows = [
        Ingredient(name=id, amount=Amount(low=g, best=g, high=g, unit="g", basis="weighed"))
        for id, g in parts.items()
    ]
    return weigh(Record(components=[Component(ingredients=rows)]), ById()).nutrition


def finished(parts: dict[str, float], dish: Food) -> dict[str, Bounds]:
    """Per 100 g of the finished dish, at the water content of the table's row."""
    nutrition = computed(parts)
    assert nutrition.missing == [] and nutrition.weight_g is not None
    dry = nutrition.weight_g.best - nutrition.total["water_g"].best
    weight = dry / (100 - dish.nutrients["water_g"]) * 100
    return at_yield(nutrition, exact(weight / nutrition.weight_g.best))


@pytest.mark.parametrize("ndb", sorted(DISHES))
def test_a_textbook_composition_gives_the_table_s_figures(ndb: str) -> None:
    dish = food_table().get(ndb)
    hundred = finished(DISHES[ndb], dish)
    for key in MACROS:
        ours, theirs = hundred[key].best, dish.nutrients[key]
        agrees = ours == pytest.approx(theirs, rel=0.15, abs=0.1)
        # A difference that has gone must leave the list of explanations too.
        assert agrees is ((ndb, key) not in EXPLAINED), f"{dish.description}: {key} {ours:.1f}"


@pytest.mark.parametrize("ndb", sorted(LOOSER))
def test_energy_agrees_where_the_original_is_unknown(ndb: str) -> None:
    dish = food_table().get(ndb)
    ours = finished(LOOSER[ndb], dish)["energy_kcal"].best
    agrees = ours == pytest.approx(dish.nutrients["energy_kcal"], rel=0.15)
    assert agrees is (ndb not in ENERGY_EXPLAINED), f"{dish.description}: {ours:.0f}"


def test_enough_dishes_agree_without_an_explanation() -> None:
    plain = [ndb for ndb in DISHES if not any(ndb == n for n, _ in EXPLAINED)]
    assert len(plain) >= 12
