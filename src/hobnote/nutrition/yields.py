"""What cooking does to the weight of a dish: the EuroFIR recipe method.

The weight yield (cooked / raw) applies to the dish as a whole; nutrients of the
raw ingredients are shared out over the finished weight. The figures are the
pantry's (``yields.csv``); what cooking takes of the vitamins is ``retention.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from hobnote.nutrition.bounds import add, bounds, divide, exact, multiply, rounded
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.methods import is_cooked, methods
from hobnote.nutrition.step_index import StepIndex
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row
from hobnote.record import Bounds, Nutrition, Record


@dataclass(frozen=True, slots=True)
class Yield:
    """``factor`` = cooked / raw weight; ``takes_up`` water where it is over 1."""

    factor: Bounds
    takes_up: bool
    source: str


def yield_of(row: Row, steps: StepIndex, pantry: Larder) -> Yield | None:
    """The yield of one ingredient in this dish; None where no step heats it or nothing is known."""
    if not is_cooked(row, steps, pantry):
        return None
    name = row.ingredient.name
    tried = methods(row, steps)
    classes = pantry.classes(row.food, name)
    if classes & set(tree("cooking_verbs")["takes_up"]) and not classes & {"flour", "oat"}:
        tried.append("boiled")  # it takes up what it is cooked in, whatever that is called
    for method in tried:
        found = pantry.weight_yield(row.food, name, method)
        if found is not None:
            factor = bounds(found.low, found.best, found.high)
            return Yield(factor, found.best > 1.0 and found.low > 1.0, found.source)
    return None


def finished_weight(
    parts: Iterable[Row], record: Record, pantry: Larder
) -> tuple[Bounds, dict[str, Bounds]] | None:
    """Grams of the finished dish, and the yields used by ingredient.

    Dry foods take up the liquids of their part of the dish first and only then
    add water that nobody listed. Evaporation of liquids is not estimated: weigh
    the finished dish where that matters. None where nothing was weighed or no
    yield applies.
    """
    counted = [row for row in parts if row.counts and row.grams is not None]
    used: dict[str, Bounds] = {}
    weights = []
    steps = StepIndex(record.steps)
    for _, group in groupby(counted, key=lambda row: row.component):
        weights.append(_part(list(group), steps, pantry, used))
    if not used:
        return None
    return rounded(add(weights), 1), used


def _part(
    part: Sequence[Row], steps: StepIndex, pantry: Larder, used: dict[str, Bounds]
) -> Bounds:
    solid, taken, liquid = exact(0.0), exact(0.0), exact(0.0)
    for row in part:
        assert row.grams is not None
        found = yield_of(row, steps, pantry)
        classes = pantry.classes(row.food, row.ingredient.name)
        if found is None:
            watery = classes & {"liquid", "water", "stock", "milk"} and "oil" not in classes
            if watery:
                liquid = add([liquid, row.grams])
            else:
                solid = add([solid, row.grams])
            continue
        used[row.ingredient.name] = found.factor
        if found.takes_up:
            gain = Bounds(
                low=max(0.0, found.factor.low - 1),
                best=max(0.0, found.factor.best - 1),
                high=max(0.0, found.factor.high - 1),
            )
            solid = add([solid, row.grams])
            taken = add([taken, multiply(row.grams, gain)])
        else:
            solid = add([solid, multiply(row.grams, found.factor)])
    ends = [
        getattr(solid, end) + max(getattr(liquid, end), getattr(taken, end))
        for end in ("low", "best", "high")
    ]
    return bounds(*ends)


def at_yield(nutrition: Nutrition, weight_yield: Bounds) -> dict[str, Bounds]:
    """Figures per 100 g of the finished dish, whose weight is ``weight_yield`` x what went in.

    Water is left out, as the yield itself moves it. Raises ValueError where the
    yield may be zero or nothing was computed.
    """
    if nutrition.per_100g is None:
        raise ValueError("nothing of the dish could be computed")
    return {
        key: rounded(divide(figure, weight_yield))
        for key, figure in nutrition.per_100g.items()
        if key != "water_g"
    }
