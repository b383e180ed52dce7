"""A plan: what is served when, what is cooked, and how surely it keeps the bands."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil

from hobnote.nutrition.bounds import add, scale
from hobnote.planning.dishes import Dish
from hobnote.planning.tables import rules
from hobnote.planning.wishes import Band, Wishes
from hobnote.record import Bounds

_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class Serving:
    """A dish at a meal; ``size`` is in portions of its recipe, ``day`` counts from 1."""

    day: int
    meal: str
    dish: int
    title: str
    size: float


@dataclass(frozen=True, slots=True)
class Plan:
    """Servings in order, batches cooked by dish, and what is said about them.

    ``certain`` is True where the bands hold over the whole range of every
    figure, not just for the likeliest one. ``gap`` is the share by which a
    better plan might still exist (0: none does).
    """

    servings: tuple[Serving, ...]
    batches: Mapping[int, int]
    left_over: Mapping[int, float]
    used_up: Mapping[str, float]
    totals: tuple[Mapping[str, Bounds], ...]
    certain: bool
    holds: Mapping[str, float] = field(default_factory=dict)
    cost: float = 0.0
    gap: float = 0.0
    notes: tuple[str, ...] = ()


def build(
    servings: Sequence[Serving], dishes: Mapping[int, Dish], wishes: Wishes, *, certain: bool
) -> Plan:
    """The plan of these servings, with the fewest whole batches that make them."""
    eaten: Counter[int] = Counter()
    for serving in servings:
        eaten[serving.dish] += serving.size * wishes.people  # type: ignore[assignment]
    batches = {key: ceil(eaten[key] / dishes[key].portions - _HAIR) for key in sorted(eaten)}
    left = {key: batches[key] * dishes[key].portions - eaten[key] for key in batches}
    used = {}
    for word, have in wishes.pantry.items():
        cooked = sum(dishes[key].foods.get(word, 0.0) * count for key, count in batches.items())
        used[word] = min(have, cooked)
    totals = tuple(_day(day, servings, dishes) for day in range(1, wishes.days + 1))
    plan = Plan(
        servings=tuple(servings),
        batches=batches,
        left_over={key: round(value, 6) for key, value in left.items()},
        used_up=used,
        totals=totals,
        certain=certain,
        holds=holds(servings, dishes, wishes),
    )
    return _priced(plan, wishes)


def _priced(plan: Plan, wishes: Wishes) -> Plan:
    from dataclasses import replace

    return replace(plan, cost=cost(plan, wishes))


def cost(plan: Plan, wishes: Wishes) -> float:
    """What the solver makes least, from ``data/rules.toml``."""
    prices = rules()["cost"]
    total = prices["leftover_portion"] * sum(plan.left_over.values())
    total += prices["pantry_100g"] * sum(plan.used_up.values()) / 100
    middle = energy_middle(wishes.bands)
    if middle is not None:
        off = sum(abs(day["energy_kcal"].best - middle) for day in plan.totals)
        total += prices["off_100_kcal"] * off / 100
    return float(total)


def energy_middle(bands: Sequence[Band]) -> float | None:
    """The middle of the energy band, where it has two ends."""
    for band in bands:
        if band.nutrient == "energy_kcal" and band.low is not None and band.high is not None:
            return (band.low + band.high) / 2
    return None


def _day(day: int, servings: Sequence[Serving], dishes: Mapping[int, Dish]) -> dict[str, Bounds]:
    """One person's day. Only figures that every dish of the day has."""
    eaten = [(dishes[s.dish], s.size) for s in servings if s.day == day]
    keys = set.intersection(*(set(dish.figures) for dish, _ in eaten)) if eaten else set()
    return {
        key: add(scale(dish.figures[key], size) for dish, size in eaten) for key in sorted(keys)
    }


def broken(plan: Plan, dishes: Mapping[int, Dish], wishes: Wishes) -> list[str]:
    """Every wish that a plan breaks, in words; empty where it keeps them all."""
    return list(_broken(plan, dishes, wishes))


def _broken(plan: Plan, dishes: Mapping[int, Dish], wishes: Wishes) -> Iterator[str]:
    slots = Counter((serving.day, serving.meal) for serving in plan.servings)
    wanted = [(day, meal) for day in range(1, wishes.days + 1) for meal in wishes.meals]
    if slots != Counter(wanted):
        yield "not every meal has exactly one dish"
    times = Counter(serving.dish for serving in plan.servings)
    for key, count in times.items():
        if count > wishes.repeats:
            yield f"{dishes[key].title} is served {count} times"
    for (key, day), count in Counter((s.dish, s.day) for s in plan.servings).items():
        if count > 1:
            yield f"{dishes[key].title} is served twice on day {day}"
    for serving in plan.servings:
        if serving.size not in wishes.sizes:
            yield f"a portion of {serving.size:g} is no size that was allowed"
        suited = wishes.suits.get(serving.meal)
        if suited is not None and serving.dish not in suited:
            yield f"{serving.title} does not suit {serving.meal}"
    for key, count in plan.batches.items():
        eaten = sum(s.size for s in plan.servings if s.dish == key) * wishes.people
        if eaten > count * dishes[key].portions + _HAIR:
            yield f"{dishes[key].title} is not cooked often enough"
    for band in wishes.bands:
        for day, total in enumerate(plan.totals, start=1):
            figure = total.get(band.nutrient)
            if figure is None or not _inside(figure, band, plan.certain):
                yield f"day {day} is outside {band.words()}"


def _inside(figure: Bounds, band: Band, certain: bool) -> bool:
    low, high = (figure.low, figure.high) if certain else (figure.best, figure.best)
    slack = _HAIR * max(1.0, abs(figure.high))
    return (band.low is None or low >= band.low - slack) and (
        band.high is None or high <= band.high + slack
    )


def holds(
    servings: Sequence[Serving],
    dishes: Mapping[int, Dish],
    wishes: Wishes,
    *,
    draws: int = 400,
    seed: int = 1,
) -> dict[str, float]:
    """By band, the share of days that keep it when every dish's true figure is drawn from
    its range (triangular about the likeliest); a dish that is served again has one true figure."""
    chance, kept = random.Random(seed), Counter[str]()
    names = {serving.dish for serving in servings}
    for _ in range(draws):
        for band in wishes.bands:
            true = {}
            for key in sorted(names):
                figure = dishes[key].figures[band.nutrient]
                true[key] = chance.triangular(figure.low, figure.high, figure.best)
            for day in range(1, wishes.days + 1):
                value = sum(true[s.dish] * s.size for s in servings if s.day == day)
                exact = Bounds(low=value, best=value, high=value)
                kept[band.words()] += _inside(exact, band, certain=True)
    return {b.words(): kept[b.words()] / (draws * wishes.days) for b in wishes.bands}
