"""Weeks of 21 meals from 500 recipes: how long the solver takes and whether it keeps every wish.

    python scripts/bench_planner.py [--count 50] [--recipes 500] [--seconds 20]

Prints a line an instance and the median, longest time and number of broken wishes.
"""

from __future__ import annotations

import argparse
import random
import statistics
import time

from hobnote.planning.dishes import Choice, Dish
from hobnote.planning.plan import broken
from hobnote.planning.solver import Effort, Infeasible, plan_dishes
from hobnote.planning.wishes import Band, Wishes
from hobnote.record import Bounds


def random_dishes(chance: random.Random, count: int) -> tuple[Dish, ...]:
    """Recipes of a club galley: 250 to 900 kcal a portion, ranges of 2 to 20 in a hundred."""
    found = []
    for n in range(1, count + 1):
        kcal = chance.uniform(250, 900)
        protein = kcal * chance.uniform(0.03, 0.11)
        share = chance.uniform(0.01, 0.1)
        figures = {
            key: Bounds(low=best * (1 - share), best=best, high=best * (1 + share))
            for key, best in (("energy_kcal", kcal), ("protein_g", protein))
        }
        foods = {"rice": chance.uniform(100, 400)} if chance.random() < 0.1 else {}
        found.append(Dish(n, f"dish {n}", chance.choice([2, 4, 4, 6, 8]), figures, foods))
    return tuple(found)


def random_week(chance: random.Random) -> Wishes:
    """Three meals a day for a rower."""
    energy = chance.uniform(1700, 2600)
    return Wishes(
        days=7,
        meals=("breakfast", "lunch", "supper"),
        bands=(
            Band("energy_kcal", energy - 150, energy + 150),
            Band("protein_g", low=energy * chance.uniform(0.05, 0.075)),
        ),
        repeats=chance.choice([2, 3, 4]),
        people=chance.choice([1, 2, 4]),
        pantry={"rice": 500.0} if chance.random() < 0.5 else {},
    )


def main() -> None:
    """Run the bench."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=50)
    parser.add_argument("--recipes", type=int, default=500)
    parser.add_argument("--seconds", type=float, default=20)
    parser.add_argument("--gap", type=float, default=0.05)
    asked = parser.parse_args()
    times, wrong, certain, found = [], 0, 0, 0
    for seed in range(asked.count):
        chance = random.Random(seed)
        dishes, wishes = random_dishes(chance, asked.recipes), random_week(chance)
        begun = time.perf_counter()
        try:
            plan = plan_dishes(Choice(dishes, {}), wishes, Effort(asked.seconds, asked.gap))
        except Infeasible as problem:
            print(seed, f"{time.perf_counter() - begun:.1f} s", problem)
            continue
        times.append(time.perf_counter() - begun)
        faults = broken(plan, {dish.id: dish for dish in dishes}, wishes)
        wrong, certain, found = wrong + bool(faults), certain + plan.certain, found + 1
        told = f"{times[-1]:.1f} s, cost {plan.cost:.2f}, over the whole range: {plan.certain}"
        print(seed, told, *faults, flush=True)
    print(
        f"{found} of {asked.count} planned, {certain} over the whole range, {wrong} with a broken "
        f"wish; median {statistics.median(times):.1f} s, longest {max(times):.1f} s"
    )


if __name__ == "__main__":
    main()
