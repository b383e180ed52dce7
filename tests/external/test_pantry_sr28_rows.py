"""Table rows against SR28 as other documents quote it, not as our own file has it.

Sources: USDA SR28 values as quoted in the project's sheet of published standards (sections 2,
7, 8 and 10, rows marked checked): energy of staples, refuse, specific energy factors.
"""

import pytest

from hobnote.pantry import open_pantry
from hobnote.pantry.foods import food_table

PANTRY = open_pantry("us")

# kcal in 100 g. Source: SR28, quoted.
ENERGY = [
    ("olive oil", None, 884),
    ("butter", None, 717),
    ("sugar", None, 387),
    ("flour", None, 364),
    ("rolled oats", None, 379),
    ("lentil", None, 352),
    ("couscous", None, 376),
    ("pasta", None, 371),
    ("broccoli", None, 34),
    ("chicken breast", None, 120),
]


@pytest.mark.parametrize(("name", "state", "kcal"), ENERGY)
def test_energy(name, state, kcal):
    food = PANTRY.match(name, state=state).food
    assert food.nutrients["energy_kcal"] == kcal


def test_raw_white_rice_has_358_to_365_kcal():
    for ndb in ("20044", "20050", "20052"):
        assert 358 <= food_table().get(ndb).nutrients["energy_kcal"] <= 365


# Refuse in per cent of the weight as bought. Source: SR28 FOOD_DES, quoted.
REFUSE = [
    ("01123", 12), ("09040", 36), ("09037", 26), ("09038", 33), ("09176", 29), ("09148", 24),
    ("09236", 4), ("09316", 6), ("09202", 32), ("09159", 16), ("11282", 10), ("11215", 13),
    ("11124", 11), ("11143", 11), ("11352", 25), ("11507", 28), ("11485", 16), ("11529", 9),
    ("11216", 7), ("11090", 39), ("11246", 56), ("11109", 20), ("11011", 47), ("02044", 36),
    ("09326", 48), ("09266", 49),
]  # fmt: skip


@pytest.mark.parametrize(("ndb", "per_cent"), REFUSE)
def test_refuse(ndb, per_cent):
    assert food_table().get(ndb).refuse == pytest.approx(per_cent / 100)


def test_butter_has_its_own_energy_factors():
    # Source: SR28 01001, Merrill and Watt: protein 4.27, fat 8.79, carbohydrate 3.87 kcal/g.
    factors = food_table().get("01001").factors
    assert factors == {"protein_g": 4.27, "fat_g": 8.79, "carbohydrate_g": 3.87}


def test_salt_is_sodium_times_two_and_a_half():
    # Source: SR28 02047, 38,758 mg sodium in 100 g.
    assert food_table().get("02047").nutrients["sodium_mg"] == 38758


def test_what_sr28_leaves_blank_is_unknown():
    # Source: SR28: choline is filled for 54 per cent of the foods, vitamin K for 59.
    table = food_table()
    foods = [table.get(i) for i in list(table)[:2000]]
    assert any("choline_mg" not in food.nutrients for food in foods)
    assert any(food.nutrients.get("trans_fat_g") == 0 for food in foods)
    assert any("trans_fat_g" not in food.nutrients for food in foods)
