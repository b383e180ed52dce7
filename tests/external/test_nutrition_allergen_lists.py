"""The allergen lists of the law, whole and nothing more.

EU: Regulation 1169/2011 Annex II (14). US: FALCPA 2004 and the FASTER Act 2021 (9).
"""

from hobnote.nutrition.tables import tree

EU = {
    "cereals containing gluten", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk",
    "nuts", "celery", "mustard", "sesame", "sulphur dioxide and sulphites", "lupin", "molluscs",
}  # fmt: skip
US = {"wheat", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk", "nuts", "sesame"}


def listed(regime: str) -> set[str]:
    return {a["name"] for a in tree("allergens")["allergen"] if regime in a["regimes"]}


def test_the_eu_list_of_14() -> None:
    assert listed("EU") == EU and len(EU) == 14


def test_the_us_list_of_9() -> None:
    assert listed("US") == US and len(US) == 9
