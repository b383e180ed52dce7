"""Rounding of declared figures against the published rules, at every edge.

FDA: 21 CFR 101.9(c), amounts in a serving.
EU: Commission guidance on tolerances for nutrient values, December 2012, rounding table.
"""

import pytest

from hobnote.nutrition.rounding import rounded_text

FDA = [
    # 21 CFR 101.9(c)(1): under 5 calories is 0; to 50 by 5; above by 10.
    ("energy_kcal", 4.9, "0"),
    ("energy_kcal", 5, "5"),
    ("energy_kcal", 47.4, "45"),
    ("energy_kcal", 47.5, "50"),
    ("energy_kcal", 50, "50"),
    ("energy_kcal", 54.9, "50"),
    ("energy_kcal", 55, "60"),
    ("energy_kcal", 234, "230"),
    # 101.9(c)(2): fat under 0.5 g is 0; under 5 g by 0.5; from 5 g by 1.
    ("fat_g", 0.49, "0"),
    ("fat_g", 0.5, "0.5"),
    ("fat_g", 2.74, "2.5"),
    ("fat_g", 2.75, "3.0"),
    ("saturates_g", 4.7, "4.5"),
    ("fat_g", 5.4, "5"),
    ("fat_g", 5.5, "6"),
    # 101.9(c)(3): cholesterol under 2 mg is 0; 2 to 5 mg "less than 5 mg"; above by 5.
    ("cholesterol_mg", 1.9, "0"),
    ("cholesterol_mg", 2, "less than 5"),
    ("cholesterol_mg", 5, "less than 5"),
    ("cholesterol_mg", 7.5, "10"),
    # 101.9(c)(4): sodium under 5 mg is 0; to 140 by 5; above by 10.
    ("sodium_mg", 4.9, "0"),
    ("sodium_mg", 137.5, "140"),
    ("sodium_mg", 140, "140"),
    ("sodium_mg", 144.9, "140"),
    ("sodium_mg", 145, "150"),
    # 101.9(c)(6)-(7): carbohydrate, fibre, sugars, protein under 0.5 g is 0; under 1 g in words.
    ("carbohydrate_g", 0.49, "0"),
    ("fibre_g", 0.5, "less than 1"),
    ("sugars_g", 0.99, "less than 1"),
    ("protein_g", 1.49, "1"),
    ("protein_g", 1.5, "2"),
    # 101.9(d)(7), (c)(8)(iii): macronutrients by 1 %; vitamins and minerals to 10 % by 2 %.
    ("dv_macro", 12.5, "13"),
    ("dv_micro", 8.9, "8"),
    ("dv_micro", 9, "10"),
]

EU = [
    ("energy_kj", 819.49, "819"),
    ("energy_kcal", 195.5, "196"),
    ("fat_g", 0.5, "< 0.5"),
    ("fat_g", 0.51, "0.5"),
    ("fat_g", 0, "0"),
    ("protein_g", 9.94, "9.9"),
    ("protein_g", 9.95, "10"),
    ("available_carbohydrate_g", 10.5, "11"),
    ("sugars_g", 10.4, "10"),
    ("fibre_g", 3.25, "3.3"),
    ("saturates_g", 0.1, "< 0.1"),
    ("saturates_g", 0.11, "0.1"),
    ("saturates_g", 10.6, "11"),
    ("salt_g", 0.0125, "< 0.01"),
    ("salt_g", 0.0126, "0.01"),
    ("salt_g", 0.994, "0.99"),
    ("salt_g", 1.04, "1.0"),
    ("salt_g", 1.25, "1.3"),
]


@pytest.mark.parametrize(("nutrient", "value", "text"), FDA)
def test_fda(nutrient: str, value: float, text: str) -> None:
    assert rounded_text("FDA", nutrient, value) == text


@pytest.mark.parametrize(("nutrient", "value", "text"), EU)
def test_eu(nutrient: str, value: float, text: str) -> None:
    assert rounded_text("EU", nutrient, value) == text
