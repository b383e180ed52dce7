"""UK front-of-pack levels, as words: low, medium, high."""

from __future__ import annotations

from hobnote.nutrition.tables import rows, tree

NUTRIENTS = ("fat_g", "saturates_g", "sugars_g", "salt_g")


def level(
    nutrient: str,
    per_100: float,
    portion: float | None = None,
    portion_size: float | None = None,
    drink: bool = False,
) -> str:
    """The level of one nutrient.

    ``per_100`` in g per 100 g (or 100 ml of a drink), ``portion`` in g a
    portion, ``portion_size`` in g (ml). A portion over 100 g (150 ml) that
    carries more than the portion limit is high whatever 100 g hold.
    """
    kind = "drink" if drink else "food"
    rules = tree("score_rules")["front_of_pack"]
    over = rules["portion_over_drink_ml" if drink else "portion_over_food_g"]
    row = next(r for r in rows("front_of_pack") if r["kind"] == kind and r["nutrient"] == nutrient)
    large = portion_size is not None and portion_size > over
    if large and portion is not None and portion > float(row["portion"]):
        return "high"
    if per_100 <= float(row["low"]):
        return "low"
    return "medium" if per_100 <= float(row["medium"]) else "high"
