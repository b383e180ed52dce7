"""Claims on both sides of each published limit.

EU: Regulation (EC) 1924/2006, Annex, per 100 g. US: 21 CFR 101.54 to 101.62, per portion.
"""

import pytest

from hobnote.nutrition.bounds import exact
from hobnote.nutrition.worded_claims import judge_words
from hobnote.record import Nutrition, StatedClaim

PLAIN = {
    "energy_kcal": 100.0, "protein_g": 5.0, "fat_g": 5.0, "saturates_g": 1.0, "sugars_g": 5.0,
    "available_carbohydrate_g": 8.75, "fibre_g": 0.0, "sodium_mg": 100.0, "iron_mg": 1.0,
}  # fmt: skip


def verdict(claim: str, regime: str, grams: float = 100, **figures: float) -> bool | None:
    """The claim for a dish of one portion of ``grams`` with ``figures`` per 100 g."""
    per_100 = {key: exact(value) for key, value in (PLAIN | figures).items()}
    portion = {key: exact(f.best * grams / 100) for key, f in per_100.items()}
    n = Nutrition(total=portion, per_portion=portion, per_100g=per_100, weight_g=exact(grams))
    stated = StatedClaim(claim=claim, rule="", met=None, reason="")
    start = {"EU": "EU 1924/2006", "US": "21 CFR"}[regime]
    found = [s for s in judge_words([stated], n, exact(1)) if s.rule.startswith(start)]
    assert len(found) == 1
    return found[0].met


def energy_share(protein: float) -> dict[str, float]:
    """100 kcal by the EU's factors of which ``protein`` g x 4 kcal are protein's."""
    return {"protein_g": protein, "fat_g": 0, "available_carbohydrate_g": 25 - protein}


EU = [
    (
        "low calorie",
        {"fat_g": 0, "protein_g": 5, "available_carbohydrate_g": 5, "energy_kcal": 40},
        True,
    ),
    ("low calorie", {"energy_kcal": 41}, False),
    ("low fat", {"fat_g": 3.0}, True),
    ("low fat", {"fat_g": 3.1}, False),
    ("fat free", {"fat_g": 0.5}, True),
    ("fat free", {"fat_g": 0.6}, False),
    # 1.1 g of saturates are 9.9 kcal of 100: within 10 % of the energy; 1.2 g are not.
    ("low saturated fat", {"saturates_g": 1.1}, True),
    ("low saturated fat", {"saturates_g": 1.2}, False),
    ("low sugar", {"sugars_g": 5.0}, True),
    ("low sugar", {"sugars_g": 5.1}, False),
    ("sugar free", {"sugars_g": 0.5}, True),
    ("sugar free", {"sugars_g": 0.6}, False),
    ("low salt", {"sodium_mg": 120}, True),
    ("low salt", {"sodium_mg": 121}, False),
    ("very low salt", {"sodium_mg": 40}, True),
    ("very low salt", {"sodium_mg": 41}, False),
    ("salt free", {"sodium_mg": 5}, True),
    ("salt free", {"sodium_mg": 6}, False),
    ("source of fibre", {"fibre_g": 3.0, "available_carbohydrate_g": 60}, True),
    ("source of fibre", {"fibre_g": 2.9, "available_carbohydrate_g": 60}, False),
    # The other way in, per 100 kcal: 1.5 g in 48 + 45 + 4 = 100 kcal.
    ("source of fibre", {"fibre_g": 1.6, "available_carbohydrate_g": 7.9}, True),
    ("source of fibre", {"fibre_g": 1.4, "available_carbohydrate_g": 8.1}, False),
    ("high fibre", {"fibre_g": 6.0, "available_carbohydrate_g": 60}, True),
    ("high fibre", {"fibre_g": 5.9, "available_carbohydrate_g": 60}, False),
    ("source of protein", energy_share(3.0), True),
    ("source of protein", energy_share(2.9), False),
    ("high protein", energy_share(5.0), True),
    ("high protein", energy_share(4.9), False),
    # Significant amount, Annex XIII A.2 of EU 1169/2011: 15 % of 14 mg = 2.1 mg; high: 4.2 mg.
    ("source of iron", {"iron_mg": 2.1}, True),
    ("source of iron", {"iron_mg": 2.0}, False),
    ("high in iron", {"iron_mg": 4.2}, True),
    ("high in iron", {"iron_mg": 4.1}, False),
]

US = [
    ("low fat", 100, {"fat_g": 3.0}, True),  # 101.62(b): 3 g
    ("low fat", 100, {"fat_g": 3.1}, False),
    ("fat free", 100, {"fat_g": 0.4}, True),  # 101.62(b): under 0.5 g
    ("fat free", 100, {"fat_g": 0.5}, False),
    ("low saturated fat", 100, {"saturates_g": 1.0}, True),  # 101.62(c): 1 g and 15 %
    ("low saturated fat", 100, {"saturates_g": 1.1}, False),
    ("low sodium", 100, {"sodium_mg": 140}, True),  # 101.61(b)
    ("low sodium", 100, {"sodium_mg": 141}, False),
    ("very low sodium", 100, {"sodium_mg": 35}, True),
    ("very low sodium", 100, {"sodium_mg": 36}, False),
    ("sodium free", 100, {"sodium_mg": 4.9}, True),
    ("sodium free", 100, {"sodium_mg": 5}, False),
    ("low calorie", 100, {"energy_kcal": 40}, True),  # 101.60(b)
    ("low calorie", 100, {"energy_kcal": 41}, False),
    ("high protein", 100, {"protein_g": 10}, True),  # 101.54(b): 20 % of 50 g
    ("high protein", 100, {"protein_g": 9.9}, False),
    ("good source of protein", 100, {"protein_g": 5}, True),  # 101.54(c): 10 %
    ("good source of protein", 100, {"protein_g": 4.9}, False),
    ("high fiber", 100, {"fibre_g": 5.6}, True),  # 20 % of 28 g
    ("high fiber", 100, {"fibre_g": 5.5}, False),
    ("good source of fiber", 100, {"fibre_g": 2.8}, True),
    ("good source of fiber", 100, {"fibre_g": 2.7}, False),
    # A main dish, 101.62(b): 3 g in 100 g and 30 % of the energy, whatever a portion holds.
    ("low fat", 400, {"fat_g": 3.0, "available_carbohydrate_g": 20}, True),
    ("low fat", 400, {"fat_g": 3.0, "available_carbohydrate_g": 5}, False),
    ("low sodium", 400, {"sodium_mg": 140}, True),  # 101.61(b): meals, 140 mg in 100 g
    ("low sodium", 400, {"sodium_mg": 141}, False),
]


@pytest.mark.parametrize(("claim", "figures", "met"), EU)
def test_eu_limits(claim: str, figures: dict[str, float], met: bool) -> None:
    assert verdict(claim, "EU", **figures) is met


@pytest.mark.parametrize(("claim", "grams", "figures", "met"), US)
def test_us_limits(claim: str, grams: float, figures: dict[str, float], met: bool) -> None:
    assert verdict(claim, "US", grams, **figures) is met


def test_cholesterol_is_a_us_claim_only() -> None:
    """101.62(d): at most 20 mg with at most 2 g of saturates; the EU's Annex has no such claim."""
    assert verdict("low cholesterol", "US", cholesterol_mg=20, saturates_g=2) is True
    assert verdict("low cholesterol", "US", cholesterol_mg=21, saturates_g=2) is False
    assert verdict("low cholesterol", "US", cholesterol_mg=20, saturates_g=2.1) is False
    assert verdict("low cholesterol", "EU", cholesterol_mg=20) is None
