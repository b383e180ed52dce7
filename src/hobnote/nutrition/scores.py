"""The published scores of a dish, each with the inputs that a reader needs to redo it.

Everything is plain data, ready for JSON. Where a needed figure is unknown the
entry says so in ``cannot_be_scored`` and holds no score.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict

from hobnote.nutrition.bounds import bounds, divide, ratio
from hobnote.nutrition.front_of_pack import NUTRIENTS, level
from hobnote.nutrition.npm import npm
from hobnote.nutrition.nrf import needed, nrf93
from hobnote.nutrition.profile import eu_energy
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row
from hobnote.record import Bounds, Nutrition

Plain = dict[str, object]


def scores(nutrition: Nutrition, rows: Sequence[Row], portions: Bounds | None) -> dict[str, object]:
    """NPM 2004/05, NRF9.3 and front-of-pack levels of the rows that count."""
    counted = [row for row in rows if row.counts]
    if not counted:
        return {}
    return {
        "npm_2004_05": npm_of(nutrition, counted),
        "nrf9_3": nrf_of(nutrition, counted),
        "uk_front_of_pack": levels_of(nutrition, portions),
    }


def _cannot(rule: str, why: Sequence[str]) -> Plain:
    return {"rule": rule, "cannot_be_scored": list(why)}


def _lacking(figures: Mapping[str, Bounds] | None, keys: Sequence[str], n: Nutrition) -> list[str]:
    """Why a score cannot be had: foods that are not in the sum, nutrients that are unknown."""
    why = [f"{name} is not in the sum" for name in n.missing]
    return why + [f"{key} is unknown" for key in keys if key not in (figures or {})]


def _fruit(row: Row) -> bool:
    """Whether the food counts as fruit, vegetable or nut."""
    if row.food is None:
        return False
    rules = tree("score_rules")["fruit_veg_nuts"]
    text = row.food.description.lower()
    for word in rules["instead"]:
        if word in text:
            return True
    nut = row.food.group in rules["nut_groups"] and any(w in text for w in rules["nuts"])
    if not nut and row.food.group not in rules["groups"]:
        return False
    return not any(word in text for word in rules["never"])


def fruit_percent(rows: Sequence[Row]) -> Bounds | None:
    """Fruit, vegetables and nuts in % of the weight, dried ones counted double on both sides."""
    rules = tree("score_rules")["fruit_veg_nuts"]
    parts = []
    for row in rows:
        if row.grams is None:
            continue
        fruit = _fruit(row)
        text = row.food.description.lower() if row.food else ""
        dried = fruit and any(word in text for word in rules["dried"])
        by = float(rules["dried_weight"]) if dried else 1.0
        g = row.grams
        share = 100.0 if fruit else 0.0
        parts.append((bounds(g.low * by, g.best * by, g.high * by), bounds(share, share, share)))
    return ratio(parts)


def npm_of(nutrition: Nutrition, rows: Sequence[Row]) -> Plain:
    """The nutrient profile of the dish as put together, with the range that open figures allow."""
    rule = "UK Nutrient Profiling Model 2004/05 (FSA)"
    figures = nutrition.per_100g or {}
    keys = ("saturates_g", "sugars_g", "sodium_mg", "fibre_g", "protein_g")
    energy, fruit = eu_energy(figures), fruit_percent(rows)
    why = _lacking(figures, keys, nutrition)
    if energy is None:
        why.append("energy_kj is unknown")
    if why or energy is None or fruit is None:
        return _cannot(rule, why or ["no weight is known"])

    def inputs(against: str, in_favour: str) -> dict[str, float]:
        found = {key: getattr(figures[key], against) for key in keys[:3]}
        found["energy_kj"] = getattr(energy[1], against)
        found["fibre_aoac_g"] = getattr(figures["fibre_g"], in_favour)
        found["protein_g"] = getattr(figures["protein_g"], in_favour)
        found["fruit_veg_nuts_percent"] = getattr(fruit, in_favour)
        return {key: round(value, 4) for key, value in found.items()}

    best = inputs("best", "best")
    result = npm(best)
    ends = sorted(npm(inputs(*way)).score for way in (("low", "high"), ("high", "low")))
    return {
        "rule": rule,
        "basis": "100 g as put together",
        "inputs": best,
        **asdict(result),
        "score_range": [min(ends[0], result.score), max(ends[1], result.score)],
        "verdict": "less healthy" if result.less_healthy else "passes",
    }


def added_sugars(rows: Sequence[Row]) -> float | None:
    """Sugars in g of the rows whose table group is all added sugar; None where one is unknown."""
    groups = tree("score_rules")["added_sugars"]["groups"]
    total = 0.0
    for row in rows:
        if row.food is not None and row.food.group in groups:
            sugars = row.ingredient.nutrition.get("sugars_g")
            if sugars is None:
                return None
            total += sugars.best
    return total


def nrf_of(nutrition: Nutrition, rows: Sequence[Row]) -> Plain:
    """NRF9.3 of the dish per 100 kcal, best figures."""
    rule = "NRF9.3 (Drewnowski 2009; Fulgoni, Keast and Drewnowski 2009)"
    keys = [key for key in needed() if key != "added_sugars_g"]
    why = _lacking(nutrition.total, ["energy_kcal", *keys], nutrition)
    added = added_sugars(rows)
    if added is None:
        why.append("added sugars are unknown")
    if why or added is None:
        return _cannot(rule, why)
    amounts = {key: nutrition.total[key].best for key in keys} | {"added_sugars_g": added}
    energy = nutrition.total["energy_kcal"].best
    if energy <= 0:
        return _cannot(rule, ["the dish has no energy"])
    result = nrf93(amounts, energy)
    return {
        "rule": rule,
        "basis": "100 kcal",
        "daily_values": "FDA before 2016; added sugars 50 g and vitamin E 20 mg from memory",
        "inputs": {key: round(value, 4) for key, value in amounts.items()}
        | {"energy_kcal": energy},
        "percent_of_value_per_100_kcal": result.percents,
        "score": result.score,
    }


def levels_of(nutrition: Nutrition, portions: Bounds | None) -> Plain:
    """Front-of-pack words by nutrient; ``may_be`` where the open figures reach another level."""
    rule = "UK front-of-pack criteria (DH/FSA 2013, revised 2016)"
    figures = nutrition.per_100g or {}
    why = _lacking(figures, NUTRIENTS, nutrition)
    if why:
        return _cannot(rule, why)
    weight = nutrition.weight_g
    size = divide(weight, portions) if weight and portions and portions.low > 0 else None
    found: Plain = {}
    for key in NUTRIENTS:
        per_100 = figures[key]
        portion = (nutrition.per_portion or {}).get(key)
        ends = [
            level(
                key,
                getattr(per_100, end),
                getattr(portion, end) if portion else None,
                getattr(size, end) if size else None,
            )
            for end in ("low", "best", "high")
        ]
        found[key] = {
            "level": ends[1],
            "per_100g": per_100.best,
            "per_portion": portion.best if portion else None,
            "may_be": sorted({ends[0], ends[2]} - {ends[1]}),
        }
    return {
        "rule": rule,
        "basis": "100 g as put together; portion rule where the portion is over 100 g",
        "portion_g": round(size.best, 1) if size else None,
        "levels": found,
    }
