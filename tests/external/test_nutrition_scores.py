"""Published scores: worked vectors and threshold edges."""

import pytest

from hobnote.nutrition.front_of_pack import level
from hobnote.nutrition.npm import npm, points
from hobnote.nutrition.nrf import nrf93

# UK Nutrient Profiling Model 2004/05, FSA technical guidance (2011): a figure scores the points
# of the highest threshold that it exceeds, strictly.
NPM_EDGES = [
    ("energy_kj", 335, 0),
    ("energy_kj", 335.1, 1),
    ("energy_kj", 3350, 9),
    ("energy_kj", 3351, 10),
    ("saturates_g", 1.0, 0),
    ("saturates_g", 10.01, 10),
    ("sugars_g", 4.5, 0),
    ("sugars_g", 27.1, 6),
    ("sugars_g", 31, 6),
    ("sugars_g", 45.1, 10),
    ("sodium_mg", 90, 0),
    ("sodium_mg", 901, 10),
    ("fruit_veg_nuts_percent", 40, 0),
    ("fruit_veg_nuts_percent", 41, 1),
    ("fruit_veg_nuts_percent", 61, 2),
    ("fruit_veg_nuts_percent", 80, 2),
    ("fruit_veg_nuts_percent", 81, 5),
    ("fibre_aoac_g", 0.9, 0),
    ("fibre_aoac_g", 4.8, 5),
    ("fibre_nsp_g", 3.6, 5),
    ("protein_g", 1.6, 0),
    ("protein_g", 8.1, 5),
]


@pytest.mark.parametrize(("key", "value", "expected"), NPM_EDGES)
def test_npm_thresholds(key: str, value: float, expected: int) -> None:
    assert points(key, value) == expected


def _npm(**changed: float) -> dict[str, float]:
    base = {
        "energy_kj": 1050.0,
        "saturates_g": 2.5,
        "sugars_g": 10.0,
        "sodium_mg": 300.0,
        "fruit_veg_nuts_percent": 50.0,
        "fibre_aoac_g": 3.0,
        "protein_g": 7.0,
    }
    return base | changed


def test_npm_worked_vectors() -> None:
    """FSA technical guidance rules, by hand: A 3 + 2 + 2 + 3 = 10, C 1 + 3 + 4 = 8, score 2.

    With 400 mg of sodium A is 11 and protein no longer counts: C 4, score 7.
    """
    first = npm(_npm())
    assert (first.a_points, first.c_points, first.score) == (10, 8, 2)
    assert not first.less_healthy
    second = npm(_npm(sodium_mg=400))
    assert (second.a_points, second.c_points, second.score) == (11, 4, 7)
    assert second.less_healthy and not second.protein_counts


def test_npm_protein_counts_again_with_full_fruit_points() -> None:
    """The cap falls away where fruit, vegetables and nuts score 5 (over 80 %)."""
    result = npm(_npm(sodium_mg=400, fruit_veg_nuts_percent=85))
    assert result.protein_counts and result.score == 11 - (5 + 3 + 4)


def test_npm_food_and_drink_limits() -> None:
    """A food is less healthy from 4 points, a drink from 1."""
    inputs = _npm(fibre_aoac_g=0, protein_g=0, fruit_veg_nuts_percent=0, sodium_mg=0)
    inputs |= {"energy_kj": 700, "saturates_g": 0, "sugars_g": 5}
    assert npm(inputs).score == 3
    assert not npm(inputs).less_healthy and npm(inputs, drink=True).less_healthy


# UK front-of-pack criteria, DH/FSA guide (2013, revised 2016), food per 100 g.
LEVELS = [
    ("fat_g", 3.0, "low"),
    ("fat_g", 3.1, "medium"),
    ("fat_g", 17.5, "medium"),
    ("fat_g", 17.6, "high"),
    ("saturates_g", 1.5, "low"),
    ("saturates_g", 5.0, "medium"),
    ("saturates_g", 5.1, "high"),
    ("sugars_g", 5.0, "low"),
    ("sugars_g", 22.5, "medium"),
    ("sugars_g", 22.6, "high"),
    ("salt_g", 0.3, "low"),
    ("salt_g", 1.5, "medium"),
    ("salt_g", 1.51, "high"),
]


@pytest.mark.parametrize(("nutrient", "value", "expected"), LEVELS)
def test_front_of_pack_levels(nutrient: str, value: float, expected: str) -> None:
    assert level(nutrient, value) == expected


@pytest.mark.parametrize(
    ("nutrient", "limit"),
    [("fat_g", 21), ("saturates_g", 6.0), ("sugars_g", 27), ("salt_g", 1.8)],
)
def test_front_of_pack_portion_rule(nutrient: str, limit: float) -> None:
    """Same guide: a portion over 100 g that exceeds the portion limit is high."""
    per_100 = {"fat_g": 10, "saturates_g": 3, "sugars_g": 10, "salt_g": 1.0}[nutrient]
    assert level(nutrient, per_100, portion=limit, portion_size=250) == "medium"
    assert level(nutrient, per_100, portion=limit + 0.1, portion_size=250) == "high"


def test_front_of_pack_sugars_of_a_drink() -> None:
    """Same guide, drinks per 100 ml: sugars low to 2.5, high above 11.25, portion 13.5."""
    assert level("sugars_g", 2.5, drink=True) == "low"
    assert level("sugars_g", 11.25, drink=True) == "medium"
    assert level("sugars_g", 11.3, drink=True) == "high"
    assert level("sugars_g", 6, portion=14, portion_size=200, drink=True) == "high"


def test_nrf93_by_hand() -> None:
    """Formula of Drewnowski 2009 and Fulgoni et al. 2009, per 100 kcal, DVs before 2016.

    200 kcal with protein 20 (20 % of 50 g in 100 kcal), fibre 5 (10), vitamin A 1000 IU (10),
    vitamin C 30 mg (25), calcium 200 mg (10), iron 3.6 mg (10), potassium 700 mg (10),
    magnesium 80 mg (10), none of vitamin E or added sugars: 105; less saturates 4 g (10)
    and sodium 480 mg (10).
    """
    amounts = {
        "protein_g": 20, "fibre_g": 5, "vitamin_a_iu": 1000, "vitamin_c_mg": 30,
        "vitamin_e_mg": 0, "calcium_mg": 200, "iron_mg": 3.6, "potassium_mg": 700,
        "magnesium_mg": 80, "saturates_g": 4, "added_sugars_g": 0, "sodium_mg": 480,
    }  # fmt: skip
    assert nrf93(amounts, 200).score == pytest.approx(85)


def test_nrf93_caps_what_it_encourages() -> None:
    """Same papers: no encouraged nutrient counts above 100 % of its daily value."""
    amounts = dict.fromkeys(
        ["protein_g", "fibre_g", "vitamin_a_iu", "vitamin_e_mg", "calcium_mg", "iron_mg",
         "potassium_mg", "magnesium_mg", "saturates_g", "added_sugars_g", "sodium_mg"], 0.0,
    )  # fmt: skip
    assert nrf93(amounts | {"vitamin_c_mg": 300}, 100).score == 100
