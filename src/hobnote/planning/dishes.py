"""Recipes as the solver sees them, and which of them a plan may use at all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from hobnote.nutrition.phrases import find
from hobnote.planning.avoid import allergens_of
from hobnote.planning.entry import PlanEntry
from hobnote.planning.wishes import Wishes
from hobnote.record import Bounds


@dataclass(frozen=True, slots=True)
class Dish:
    """A recipe that makes ``portions``; ``foods`` are grams in one batch by pantry word."""

    id: int
    title: str
    portions: float
    figures: Mapping[str, Bounds]
    foods: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Choice:
    """The dishes that may be used, and why others may not: reason -> titles."""

    dishes: tuple[Dish, ...]
    left_out: Mapping[str, tuple[str, ...]]


def choose(entries: Iterable[PlanEntry], wishes: Wishes) -> Choice:
    """Dishes that a plan may use. A figure that a band needs must be known.

    Raises PlanningError for an allergen that is not known.
    """
    avoid = set(allergens_of(wishes.avoid))
    dishes, out = [], dict[str, list[str]]()
    for item in entries:
        title = item.title or f"recipe {item.id}"
        reason = _reason(item, avoid, wishes)
        if reason:
            out.setdefault(reason, []).append(title)
            continue
        assert item.portions is not None
        dishes.append(
            Dish(item.id, title, item.portions.best, item.per_portion, _foods(item, wishes.pantry))
        )
    return Choice(tuple(dishes), {reason: tuple(titles) for reason, titles in out.items()})


def _reason(item: PlanEntry, avoid: set[str], wishes: Wishes) -> str | None:
    if item.portions is None or item.portions.best <= 0:
        return "how many they serve was not said"
    held = avoid & {*item.allergens.contains, *item.allergens.may_contain}
    if held:
        return f"contains or may contain {', '.join(sorted(held))}"
    if avoid and item.unsure_foods:
        return "a food in it is still a question, so its allergens are not known"
    unknown = [band.name for band in wishes.bands if band.nutrient not in item.per_portion]
    if unknown:
        return f"{', '.join(unknown)} not known"
    if item.missing and any(band.high is not None for band in wishes.bands):
        return "part of it is not in its figures, so no upper limit can be kept"
    return None


def _foods(item: PlanEntry, pantry: Mapping[str, float]) -> dict[str, float]:
    """Grams in one batch of each thing that is to be used up."""
    found = {}
    for word in pantry:
        grams = sum(
            part.grams.best
            for part in item.ingredients
            if part.grams is not None and not part.optional and find([word], part.name)
        )
        if grams > 0:
            found[word] = grams
    return found
