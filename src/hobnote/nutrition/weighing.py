"""One ingredient row: from what was said to a food, grams and nutrients."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobnote.nutrition.bounds import bounds, rounded
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.profile import Profile, profile, spread
from hobnote.pantry.types import Food, Match, Weight
from hobnote.record import Amount, Bounds, FoodRef, Ingredient, Step

_REMEMBERED: dict[tuple[object, ...], tuple[Profile, dict[str, Bounds]]] = {}
_MOST_REMEMBERED = 512  # some 15 kB each


@dataclass(slots=True)
class Row:
    """An ingredient as weighed, with what the flags need to know about it.

    ``match`` is the pantry's answer, ``second`` the grams of the second
    measure, ``profile`` the food's bounds per 100 g.
    """

    ingredient: Ingredient
    match: Match
    second: Weight | None
    profile: Profile
    component: str = "main"
    counts: bool = True

    @property
    def grams(self) -> Bounds | None:
        return self.ingredient.grams

    @property
    def food(self) -> Food | None:
        return self.match.food


def weigh_row(
    said: Ingredient,
    pantry: Larder,
    portions: float | None,
    replaces: Ingredient | None = None,
    steps: Sequence[Step] = (),
) -> Row:
    """Match, weigh and compute one row. ``replaces`` is the weighed row that a swap stands for."""
    match = match_of(said, steps, pantry)
    per_100 = _profile(match)
    weight = _weigh(said, said.amount, match.food, per_100, pantry, portions)
    second = None
    if said.also is not None:
        second = _weigh(said, said.also, match.food, per_100, pantry, portions)
    if weight is None and second is not None:
        # the first measure cannot be weighed (nothing said, or no food to convert it by)
        weight, second = second, None
    if replaces is not None and said.amount.basis == "unsaid" and replaces.grams is not None:
        g = replaces.grams
        weight = Weight(g.low, g.best, g.high, f"taken as heavy as the {replaces.name}")
    grams = _combine(weight, second)
    changed: dict[str, object] = {
        "grams": grams,
        "weight_source": weight.source if weight else None,
        "food": match.food
        and FoodRef(
            id=match.food.id,
            description=match.food.description,
            match=round(min(1.0, max(0.0, match.score)), 4),
        ),
        "flags": [],
        "nutrition": _nutrition(grams, match, per_100),
    }
    if said.amount.basis == "vague" and weight is not None:
        changed["amount"] = said.amount.model_copy(update={**weight_ends(weight), "unit": "g"})
    return Row(said.model_copy(update=changed), match, second, per_100)


def match_of(said: Ingredient, steps: Sequence[Step], pantry: Larder) -> Match:
    """The food of a row. Beans that a step soaks were weighed dry, so soaking is a preparation."""
    preparation = tuple(said.preparation)
    if any(step.verb == "soak" and said.name in step.ingredients for step in steps):
        preparation = (*preparation, "soaked")
    return pantry.match(said.name, state=said.state, preparation=preparation)


def reweigh(row: Row, weight: Weight) -> None:
    """Give a weighed row another weight: what is eaten of it, where that is less than went in."""
    said, grams = row.ingredient, _combine(weight, None)
    changed: dict[str, object] = {
        "grams": grams,
        "weight_source": weight.source,
        "nutrition": _nutrition(grams, row.match, row.profile),
    }
    if said.amount.basis == "vague":
        changed["amount"] = said.amount.model_copy(update={**weight_ends(weight), "unit": "g"})
    row.ingredient = said.model_copy(update=changed)
    row.second = None


def _nutrition(grams: Bounds | None, match: Match, per_100: Profile) -> dict[str, Bounds]:
    """:func:`nutrition`, remembered: an answer changes one row and leaves the others."""
    if grams is None or match.food is None:
        return {}
    ids = (match.food.id, *(food.id for food in match.alternatives if match.generic))
    key = (ids, match.food.source, grams.low, grams.best, grams.high)
    found = _REMEMBERED.get(key)
    if found is None or found[0] != per_100:
        if len(_REMEMBERED) >= _MOST_REMEMBERED:
            _REMEMBERED.clear()
        found = (per_100, nutrition(grams, per_100))
        _REMEMBERED[key] = found
    return dict(found[1])


def weight_ends(weight: Weight) -> dict[str, float]:
    """Low, best and high without float noise."""
    return {end: round(getattr(weight, end), 4) for end in ("low", "best", "high")}


def second_weight(said: Ingredient, match: Match, pantry: Larder) -> tuple[Profile, Weight | None]:
    """The profile of a matched row and the grams of its second measure, if it has one."""
    per_100 = _profile(match)
    if said.also is None or said.amount.best is None:
        return per_100, None
    return per_100, _weigh(said, said.also, match.food, per_100, pantry, None)


def nutrition(grams: Bounds | None, per_100: Profile) -> dict[str, Bounds]:
    """Nutrients of ``grams`` of a food, grams and profile open independently."""
    if grams is None:
        return {}
    low, best, high = grams.low / 100, grams.best / 100, grams.high / 100
    return {
        key: rounded(Bounds(low=low * f.low, best=best * f.best, high=high * f.high))
        for key, f in per_100.items()
    }


def _profile(match: Match) -> Profile:
    if match.food is None:
        return {}
    if match.generic and match.alternatives:
        return spread(match.food, match.alternatives)
    return profile(match.food)


def _weigh(
    said: Ingredient,
    amount: Amount,
    food: Food | None,
    per_100: Profile,
    pantry: Larder,
    portions: float | None,
) -> Weight | None:
    low, best, high = amount.low, amount.best, amount.high
    if low is None or best is None or high is None:
        # Without a food there is nothing usual about its amount.
        if amount.basis in ("unsaid", "vague") and food is not None:
            return pantry.usual(food, said.name, portions)
        return None
    if amount.basis == "energy":
        return _from_energy(bounds(low, best, high), per_100)
    if amount.basis == "vague" and amount.unit is None:
        key = amount.noun or amount.said or ""
        return pantry.vague(key, food, said.name, size=amount.size, count=(low, best, high))
    if amount.unit in ("g", "kg"):
        by = 1000.0 if amount.unit == "kg" else 1.0
        source = said.weight_source if amount.basis == "vague" else None
        if source is not None:
            return Weight(low * by, best * by, high * by, source)
    content = amount.content_g
    return pantry.grams(
        food,
        said.name,
        amount,
        preparation=tuple(said.preparation),
        state=said.state,
        content_g=(content.low, content.best, content.high) if content is not None else None,
    )


def _from_energy(kcal: Bounds, per_100: Profile) -> Weight | None:
    density = per_100.get("energy_kcal")
    if density is None or density.low <= 0:
        return None
    return Weight(
        kcal.low / density.high * 100,
        kcal.best / density.best * 100,
        kcal.high / density.low * 100,
        f"from energy, {density.best:.0f} kcal per 100 g",
    )


def _combine(weight: Weight | None, second: Weight | None) -> Bounds | None:
    """One weight, or the span of two measures of the same thing around the first's best."""
    if weight is None:
        return None
    low, high = weight.low, weight.high
    if second is not None:
        low, high = min(low, second.low), max(high, second.high)
    return rounded(bounds(low, weight.best, high))
