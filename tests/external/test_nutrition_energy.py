"""Energy factors, salt and daily values against the published figures."""

import pytest

from hobnote.nutrition.bounds import exact
from hobnote.nutrition.profile import eu_energy, own_energy, profile
from hobnote.nutrition.safe_heat import fahrenheit, safe_core
from hobnote.nutrition.tables import energy_factors, rows
from hobnote.pantry.types import Food


@pytest.mark.parametrize(
    ("nutrient", "kcal", "kj"),
    [
        # EU 1169/2011 Annex XIV
        ("available_carbohydrate_g", 4, 17),
        ("protein_g", 4, 17),
        ("fat_g", 9, 37),
        ("fibre_g", 2, 8),
        ("alcohol_g", 7, 29),
        ("polyols_g", 2.4, 10),
        ("erythritol_g", 0, 0),
        ("salatrims_g", 6, 25),
        ("organic_acid_g", 3, 13),
    ],
)
def test_eu_factors(nutrient: str, kcal: float, kj: float) -> None:
    assert energy_factors("EU")[nutrient] == (kcal, kj)


@pytest.mark.parametrize(
    ("nutrient", "kcal", "kj"),
    [
        # FAO Food and Nutrition Paper 77, chapter 3; 21 CFR 101.9(c)(1)(i)(B)
        ("protein_g", 4, 17),
        ("fat_g", 9, 37),
        ("carbohydrate_g", 4, 17),
        ("alcohol_g", 7, 29),
    ],
)
def test_atwater_general_factors(nutrient: str, kcal: float, kj: float) -> None:
    assert energy_factors("Atwater general")[nutrient] == (kcal, kj)


def test_eu_energy_is_a_sum_of_its_own_factors() -> None:
    """Annex XIV: fat 10, carbohydrate 20, protein 5, fibre 3 g give 196 kcal and 819 kJ.

    196 x 4.184 would give 820: the kJ figure is no conversion.
    """
    macros = {"fat_g": 10, "available_carbohydrate_g": 20, "protein_g": 5, "fibre_g": 3}
    kcal, kj = eu_energy({key: exact(value) for key, value in macros.items()})  # type: ignore[misc]
    assert (kcal.best, kj.best) == (196, 819)


def test_salt_from_sodium() -> None:
    """EU 1169/2011 Annex I, salt = sodium x 2.5; SR28 02047, table salt, 38,758 mg of sodium."""
    salt = profile(Food("02047", "Salt, table", "", {"sodium_mg": 38758}))
    assert salt["salt_g"].best == pytest.approx(96.9, abs=0.01)


def test_kilojoules_of_a_food() -> None:
    """1 kcal = 4.184 kJ (thermochemical; FAO Paper 77): SR28 01001, butter, 717 kcal, 2999 kJ."""
    assert profile(Food("01001", "Butter", "", {"energy_kcal": 717}))["energy_kj"].best == (
        pytest.approx(2999, abs=1.5)
    )


def test_specific_factors_of_butter() -> None:
    """SR28 01001: factors 4.27, 8.79, 3.87 and its macronutrients give its own 717 kcal."""
    factors = {"protein": 4.27, "fat": 8.79, "carbohydrate": 3.87}
    macros = {"protein_g": 0.85, "fat_g": 81.11, "carbohydrate_g": 0.06}
    assert own_energy(Food("01001", "Butter", "", macros, factors=factors)) == pytest.approx(
        717, abs=0.5
    )


DAILY = [
    # 21 CFR 101.9(c)(8)(iv) and (c)(9); EU 1169/2011 Annex XIII parts A and B
    ("energy_kcal", 2000, 2000),
    ("fat_g", 78, 70),
    ("saturates_g", 20, 20),
    ("fibre_g", 28, None),
    ("protein_g", 50, 50),
    ("sodium_mg", 2300, None),
    ("salt_g", None, 6),
    ("vitamin_c_mg", 90, 80),
    ("vitamin_d_ug", 20, 5),
    ("calcium_mg", 1300, 800),
    ("iron_mg", 18, 14),
    ("potassium_mg", 4700, 2000),
    ("magnesium_mg", 420, 375),
]


@pytest.mark.parametrize(("nutrient", "fda", "eu"), DAILY)
def test_daily_values(nutrient: str, fda: float | None, eu: float | None) -> None:
    row = next(r for r in rows("daily_values") if r["nutrient"] == nutrient)
    assert (row["fda"] and float(row["fda"])) == (fda or "")
    assert (row["eu"] and float(row["eu"])) == (eu or "")


@pytest.mark.parametrize(
    ("classes", "celsius", "degrees_f"),
    [
        # USDA FSIS / FoodSafety.gov safe minimum internal temperatures, in °F
        ({"meat", "poultry"}, 73.9, 165),
        ({"meat", "poultry", "mince"}, 73.9, 165),
        ({"meat", "mince"}, 71.1, 160),
        ({"meat"}, 62.8, 145),
        ({"fish"}, 62.8, 145),
    ],
)
def test_safe_core_temperatures(classes: set[str], celsius: float, degrees_f: int) -> None:
    safe = safe_core(classes)
    assert safe is not None
    assert (safe.celsius, safe.fahrenheit) == (celsius, degrees_f)
    # °F = °C x 9/5 + 32, by definition: both columns tell the same temperature.
    assert fahrenheit(safe.celsius) == pytest.approx(safe.fahrenheit, abs=0.1)


def test_what_needs_no_core_temperature() -> None:
    assert safe_core({"oil"}) is None and safe_core(set()) is None
