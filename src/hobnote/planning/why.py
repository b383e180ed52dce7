"""Why no plan exists, in plain words, from the simplest cause to the least simple."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from hobnote.planning.dishes import Choice, Dish
from hobnote.planning.wishes import Band, Wishes

if TYPE_CHECKING:
    from hobnote.planning.solver import Effort


def too_few(choice: Choice, wishes: Wishes) -> list[str]:
    """Reasons that can be counted: not enough recipes for the meals. Empty where there are."""
    found = list(_counted(choice, wishes))
    if found:
        found += [
            f"Left out: {', '.join(titles)} ({reason})."
            for reason, titles in choice.left_out.items()
        ]
    return found


def _counted(choice: Choice, wishes: Wishes) -> Iterator[str]:
    count, meals = len(choice.dishes), len(wishes.meals)
    slots = wishes.days * meals
    if count == 0:
        yield "There is no recipe that may be used."
        return
    if count < meals:
        yield (
            f"{_many(meals, 'meal')} a day need as many different recipes, and only {count} may "
            "be used."
        )
    elif count * wishes.repeats < slots:
        needed = -(-slots // count)
        yield (
            f"{slots} meals are wanted from {_many(count, 'recipe')}, each at most "
            f"{_times(wishes.repeats)}: that makes {count * wishes.repeats}. Allow each "
            f"{_times(needed)}, or add recipes."
        )
    for meal, suited in wishes.suits.items():
        if meal not in wishes.meals:
            continue
        able = [dish for dish in choice.dishes if dish.id in suited]
        if len(able) * wishes.repeats < wishes.days:
            recipes = "1 recipe suits" if len(able) == 1 else f"{len(able)} recipes suit"
            yield f"{meal} is wanted on {_many(wishes.days, 'day')}, and only {recipes} it."


def reasons(choice: Choice, wishes: Wishes, effort: Effort) -> list[str]:
    """Why the bands cannot be kept: out of reach on one day, too few good recipes, or at odds."""
    alone = [text for band in wishes.bands for text in _out_of_reach(choice.dishes, band, wishes)]
    return alone or list(_at_odds(choice, wishes, effort))


def _out_of_reach(dishes: Sequence[Dish], band: Band, wishes: Wishes) -> Iterator[str]:
    """Whether even the best day cannot reach one end of a band."""
    meals = len(wishes.meals)
    ranked = sorted(dishes, key=lambda dish: dish.figures[band.nutrient].best)
    most = max(wishes.sizes) * sum(d.figures[band.nutrient].best for d in ranked[-meals:])
    least = min(wishes.sizes) * sum(d.figures[band.nutrient].best for d in ranked[:meals])
    if band.low is not None and most < band.low:
        names = ", ".join(dish.title for dish in reversed(ranked[-meals:]))
        yield (
            f"{band.low:,g} {band.unit} of {band.name} a day is out of reach: the most that "
            f"{_many(meals, 'meal')} can bring is {most:,.0f} {band.unit} ({names}, "
            f"{max(wishes.sizes):g} portions each)."
        )
    if band.high is not None and least > band.high:
        names = ", ".join(dish.title for dish in ranked[:meals])
        yield (
            f"{band.high:,g} {band.unit} of {band.name} a day cannot be kept: the least that "
            f"{_many(meals, 'meal')} can bring is {least:,.0f} {band.unit} ({names}, "
            f"{min(wishes.sizes):g} portions each)."
        )


def _at_odds(choice: Choice, wishes: Wishes, effort: Effort) -> Iterator[str]:
    """Bands that can be kept on some day but not on all days together."""
    all_bands = "; ".join(band.words() for band in wishes.bands)
    yield f"No plan keeps all of this on every day: {all_bands}."
    yield from _nearest(choice.dishes, wishes, effort)
    helped = list(_what_would_help(choice.dishes, wishes, effort))
    if helped:
        yield f"It would go with {' or with '.join(helped)}."


def _nearest(dishes: Sequence[Dish], wishes: Wishes, effort: Effort) -> Iterator[str]:
    """What the nearest plan misses, each miss measured as a share of its limit."""
    from hobnote.planning.plan import build
    from hobnote.planning.solver import model, servings

    price = {
        (n, side): 1 / max(end, 1.0)
        for n, band in enumerate(wishes.bands)
        for side, end in (("low", band.low), ("high", band.high))
        if end is not None
    }
    whole = model(dishes, wishes, certain=False, slack=price)
    values, _, _ = whole.programme.run(effort)
    if values is None:
        return
    known = {dish.id: dish for dish in dishes}
    plan = build(servings(whole, values, dishes, wishes), known, wishes, certain=False)
    for band in wishes.bands:
        figures = [day[band.nutrient].best for day in plan.totals]
        short = [band.low - f for f in figures if band.low is not None and f < band.low - 1e-6]
        over = [f - band.high for f in figures if band.high is not None and f > band.high + 1e-6]
        for missed, word in ((short, "short of"), (over, "over")):
            if missed:
                yield (
                    f"The nearest plan is {word} its {band.name} on "
                    f"{len(missed)} of {_many(wishes.days, 'day')}, by up to "
                    f"{max(missed):,.0f} {band.unit}."
                )


def _what_would_help(dishes: Sequence[Dish], wishes: Wishes, effort: Effort) -> Iterator[str]:
    """Single changes that make a plan possible."""
    from hobnote.planning.errors import PlanningError
    from hobnote.planning.solver import solve

    slots = wishes.days * len(wishes.meals)
    changes: list[tuple[str, Wishes]] = [
        (
            f"no limit on how often a recipe comes (now {_times(wishes.repeats)})",
            replace(wishes, repeats=slots),
        )
    ]
    for n, band in enumerate(wishes.bands):
        others = (*wishes.bands[:n], *wishes.bands[n + 1 :])
        if others:
            changes.append((f"no band on {band.name}", replace(wishes, bands=others)))
    for words, other in changes:
        try:
            if solve(dishes, replace(other, pantry={}), effort, certain=False) is not None:
                yield words
        except PlanningError:
            continue


def _many(count: int, noun: str) -> str:
    return f"1 {noun}" if count == 1 else f"{count} {noun}s"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
