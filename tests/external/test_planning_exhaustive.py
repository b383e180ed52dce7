"""The solver (HiGHS through SciPy) against an exhaustive search of its own, on small weeks."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from hobnote.planning.dishes import Dish
from hobnote.planning.plan import broken
from hobnote.planning.solver import Effort, solve
from hobnote.planning.tables import rules
from hobnote.planning.wishes import Band, Wishes
from hobnote.record import Bounds

pytest.importorskip("scipy", reason="SciPy is not installed (extra: plan)")


def instance(seed):
    chance = random.Random(seed)
    dishes = []
    for n in range(1, chance.randint(3, 4) + 1):
        kcal, share = chance.uniform(300, 900), chance.uniform(0, 0.15)
        protein = kcal * chance.uniform(0.03, 0.1)
        figures = {
            key: Bounds(low=best * (1 - share), best=best, high=best * (1 + share))
            for key, best in (("energy_kcal", kcal), ("protein_g", protein))
        }
        foods = {"rice": chance.uniform(50, 300)} if chance.random() < 0.5 else {}
        dishes.append(Dish(n, f"dish {n}", chance.choice([1, 2, 3, 4]), figures, foods))
    days, meals = chance.choice([(3, ("lunch",)), (2, ("lunch", "supper")), (1, ("a", "b", "c"))])
    energy = chance.uniform(450, 700) * len(meals)
    suits = {"supper": frozenset({1, 2})} if "supper" in meals and chance.random() < 0.4 else {}
    wishes = Wishes(
        days=days,
        meals=meals,
        bands=(
            Band("energy_kcal", energy * 0.85, energy * 1.15),
            Band("protein_g", low=energy * chance.uniform(0.03, 0.06)),
        ),
        repeats=chance.choice([1, 2, 3]),
        people=chance.choice([1, 2, 3]),
        sizes=(0.75, 1.25),
        pantry={"rice": 250.0} if chance.random() < 0.6 else {},
        suits=suits,
    )
    return dishes, wishes, chance.random() < 0.5


def best_by_hand(dishes, wishes, certain):
    """The least cost over every way to fill the meals; None where no way keeps the wishes."""
    price = rules()["cost"]
    slots = [(day, meal) for day in range(wishes.days) for meal in wishes.meals]
    options = [
        [
            (dish, size)
            for dish in dishes
            for size in wishes.sizes
            if dish.id in wishes.suits.get(meal, (dish.id,))
        ]
        for _, meal in slots
    ]
    best = None
    for picks in itertools.product(*options):
        eaten, today, fits = {}, {}, True
        for (day, _), (dish, size) in zip(slots, picks, strict=True):
            eaten.setdefault(dish.id, []).append(size)
            today.setdefault(day, []).append((dish, size))
        if any(len(sizes) > wishes.repeats for sizes in eaten.values()):
            continue
        off = 0.0
        for served in today.values():
            if len({dish.id for dish, _ in served}) < len(served):
                fits = False
                break
            for band in wishes.bands:
                low, mid, high = (
                    sum(getattr(dish.figures[band.nutrient], end) * size for dish, size in served)
                    for end in ("low", "best", "high")
                )
                least, most = (low, high) if certain else (mid, mid)
                if band.low is not None and least < band.low - 1e-9:
                    fits = False
                if band.high is not None and most > band.high + 1e-9:
                    fits = False
                if band.nutrient == "energy_kcal":
                    off += abs(mid - (band.low + band.high) / 2)
        if not fits:
            continue
        by_id = {dish.id: dish for dish in dishes}
        total = {key: sum(sizes) * wishes.people for key, sizes in eaten.items()}
        made = {key: math.ceil(total[key] / by_id[key].portions - 1e-9) for key in total}
        left = sum(made[key] * by_id[key].portions - total[key] for key in made)
        used = sum(
            min(have, sum(by_id[key].foods.get(word, 0) * made[key] for key in made))
            for word, have in wishes.pantry.items()
        )
        cost = (
            price["leftover_portion"] * left
            + price["pantry_100g"] * used / 100
            + price["off_100_kcal"] * off / 100
        )
        best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("seed", range(50))
def test_the_solver_finds_what_an_exhaustive_search_finds(seed):
    dishes, wishes, certain = instance(seed)
    expected = best_by_hand(dishes, wishes, certain)
    plan = solve(dishes, wishes, Effort(seconds=60, gap=0), certain=certain)
    if expected is None:
        assert plan is None
        return
    assert plan is not None
    assert broken(plan, {dish.id: dish for dish in dishes}, wishes) == []
    assert plan.cost == pytest.approx(expected, abs=1e-5)


def test_the_instances_are_worth_solving():
    outcomes = [best_by_hand(*instance(seed)) is None for seed in range(50)]
    assert 5 <= sum(outcomes) <= 40
