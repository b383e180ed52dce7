"""A shortlist of many recipes: those that fit the bands best, those that use up the pantry, and
a few of every kind, so that a good week is found soon."""

from __future__ import annotations

import random
from collections.abc import Sequence
from math import ceil

from hobnote.planning.dishes import Dish
from hobnote.planning.wishes import Wishes

ENOUGH = 40
"""Up to so many recipes the whole choice is searched."""


def shortlist(dishes: Sequence[Dish], wishes: Wishes, turn: int = 0) -> list[Dish]:
    """About ``ENOUGH`` dishes, the better fitting first; another ``turn`` gives others."""
    slots = wishes.days * len(wishes.meals)
    count = max(ENOUGH, 2 * ceil(slots / wishes.repeats), 2 * len(wishes.meals))
    if len(dishes) <= count:
        return list(dishes)
    ranked = sorted(dishes, key=lambda dish: (misfit(dish, wishes), dish.id))
    picked: dict[int, Dish] = {}
    for word in wishes.pantry:
        by_use = sorted(dishes, key=lambda dish: -dish.foods.get(word, 0.0) / dish.portions)
        picked |= {dish.id: dish for dish in by_use[:5] if word in dish.foods}
    for suited in wishes.suits.values():
        able = [dish for dish in ranked if dish.id in suited]
        picked |= {dish.id: dish for dish in able[: max(5, ceil(wishes.days / wishes.repeats) + 2)]}
    offset = turn * count // 2
    for dish in ranked[offset : offset + count // 2]:
        picked.setdefault(dish.id, dish)
    others = [dish for dish in ranked if dish.id not in picked]
    random.Random(turn).shuffle(others)
    for dish in others:
        if len(picked) >= count:
            break
        picked[dish.id] = dish
    return list(picked.values())


def misfit(dish: Dish, wishes: Wishes) -> float:
    """How far a dish at its best size is from an even share of every band, its range on top."""
    share = 1 / len(wishes.meals)
    found = []
    for size in wishes.sizes:
        off = 0.0
        for band in wishes.bands:
            figure = dish.figures[band.nutrient]
            low, high = (end * share if end is not None else None for end in (band.low, band.high))
            scale = max(1.0, low or high or 1.0)
            off += max(0.0, (low or 0.0) - figure.low * size) / scale
            if high is not None:
                off += max(0.0, figure.high * size - high) / scale
        found.append(off)
    return min(found, default=0.0)
