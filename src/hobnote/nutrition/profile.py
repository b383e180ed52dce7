"""A composition row as bounds per 100 g, with the figures that follow from others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hobnote.nutrition.bounds import bounds, exact, hull, scale
from hobnote.nutrition.tables import energy_factors, nutrients, rule
from hobnote.pantry.types import Food
from hobnote.record import Bounds

Profile = dict[str, Bounds]


# Rows are immutable and asked for again after every answer. Keyed by identity, with the row
# held so that its identity stays its own.
_SEEN: dict[int, tuple[Food, Profile]] = {}
_SEEN_MOST = 4096


def profile(food: Food) -> Profile:
    """Bounds per 100 g by nutrient key; what the row does not know is left out.

    A share of a small parent (sugars of a food with hardly any carbohydrate) is
    bounded by it. Salt is sodium x 2.5 and available carbohydrate is total
    carbohydrate less fibre (EU 1169/2011 Annex I).
    """
    seen = _SEEN.get(id(food))
    if seen is None:
        if len(_SEEN) >= _SEEN_MOST:
            _SEEN.clear()
        seen = _SEEN[id(food)] = food, _profile(food)
    return dict(seen[1])


def _profile(food: Food) -> Profile:
    small = rule("small_parent_g")
    known: Profile = {}
    for key, nutrient in nutrients().items():
        if key in food.nutrients:
            known[key] = exact(max(0.0, float(food.nutrients[key])))
        elif nutrient.parent in known and known[nutrient.parent].high <= small:
            limit = known[nutrient.parent].high
            known[key] = bounds(0.0, limit / 2, limit)
    _derive(known)
    return known


def _derive(known: Profile) -> None:
    if "energy_kcal" in known:
        known["energy_kj"] = scale(known["energy_kcal"], rule("kj_per_kcal"))
    if "sodium_mg" in known:
        known["salt_g"] = scale(known["sodium_mg"], rule("salt_per_sodium") / 1000)
    total, fibre = known.get("carbohydrate_g"), known.get("fibre_g")
    known.pop("available_carbohydrate_g", None)
    if total is not None and fibre is not None:
        known["available_carbohydrate_g"] = bounds(
            max(0.0, total.low - fibre.high),
            max(0.0, total.best - fibre.best),
            max(0.0, total.high - fibre.low),
        )


def spread(food: Food, alternatives: Sequence[Food]) -> Profile:
    """The profile of ``food``, its bounds widened to hold every alternative that it might be."""
    own = profile(food)
    others = [profile(other) for other in alternatives if other.id != food.id]
    for key, figure in own.items():
        own[key] = hull([figure, *(other[key] for other in others if key in other)])
    return own


def eu_energy(figures: Mapping[str, Bounds]) -> tuple[Bounds, Bounds] | None:
    """(kcal, kJ) by the factors of EU 1169/2011 Annex XIV, or None where a macro is unknown.

    The kJ figure is a sum of its own factors, not kcal x 4.184. Alcohol counts
    where it is known.
    """
    needed = ("available_carbohydrate_g", "protein_g", "fat_g", "fibre_g")
    if any(key not in figures for key in needed):
        return None
    factors = energy_factors("EU")
    keys = [*needed, *(["alcohol_g"] if "alcohol_g" in figures else [])]
    ends: list[tuple[float, float, float]] = []
    for which in (0, 1):
        per_g = {key: factors[key][which] or 0.0 for key in keys}
        ends.append(
            (
                sum(figures[key].low * per_g[key] for key in keys),
                sum(figures[key].best * per_g[key] for key in keys),
                sum(figures[key].high * per_g[key] for key in keys),
            )
        )
    return bounds(*ends[0]), bounds(*ends[1])


def own_energy(food: Food) -> float | None:
    """kcal per 100 g from the row's macronutrients by the row's own factors, else 4/9/4.

    Alcohol counts 7 kcal/g.
    """
    general = energy_factors("Atwater general")
    total = 0.0
    for macro, key in (
        ("protein", "protein_g"),
        ("fat", "fat_g"),
        ("carbohydrate", "carbohydrate_g"),
    ):
        if key not in food.nutrients:
            return None
        factor = food.factors.get(key, food.factors.get(macro, general[key][0]))
        total += food.nutrients[key] * factor
    alcohol, _ = general["alcohol_g"]
    return total + food.nutrients.get("alcohol_g", 0.0) * alcohol
