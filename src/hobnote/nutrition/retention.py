"""Vitamins and minerals that cooking leaves, by the pantry's retention table.

Taken off a row's own figures, so that every sum is of the dish as cooked. Energy and the
macronutrients stay as they are (true retention 100), and so does alcohol, whose energy could not
follow it. Boiling takes them only where the water was poured off: in a soup they stay. What the
table does not hold is left whole, so those figures are upper bounds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from hobnote.nutrition.bounds import bounds, multiply, rounded
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.methods import drained, is_cooked, methods
from hobnote.nutrition.step_index import StepIndex
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row
from hobnote.pantry.yields import Factor
from hobnote.record import Bounds, Record

KEPT_WHOLE = frozenset({"alcohol_g"})


def take_off(row: Row, steps: StepIndex, pantry: Larder, like: Row | None = None) -> None:
    """Take off ``row`` what cooking it costs; a swap is cooked ``like`` what it stands for."""
    kept = _kept(row, steps, pantry, like)[1]
    if not kept:
        return
    figures = dict(row.ingredient.nutrition)
    for key, factor in kept.items():
        if key in figures:
            figures[key] = rounded(multiply(figures[key], _share(factor)))
    row.ingredient = row.ingredient.model_copy(update={"nutrition": figures})


def _share(factor: Factor) -> Bounds:
    return bounds(factor.low, factor.best, factor.high)


def note(rows: Iterable[Row], record: Record, pantry: Larder) -> dict[str, object] | None:
    """What was taken off, by food: its method, the share of each nutrient kept, the source."""
    foods: dict[str, object] = {}
    steps = StepIndex(record.steps)
    for row in rows:
        method, kept = _kept(row, steps, pantry) if row.counts else ("", {})
        live = {key: factor for key, factor in kept.items() if key in row.ingredient.nutrition}
        if live:
            foods[row.ingredient.name] = {
                "method": method,
                "kept": {key: _share(factor).model_dump() for key, factor in live.items()},
                "source": ", ".join(dict.fromkeys(f.source for f in live.values())),
            }
    if not foods:
        return None
    return {
        "method": "true retention by ingredient (EuroFIR); energy, macros and alcohol whole",
        "foods": foods,
    }


def _kept(
    row: Row, steps: StepIndex, pantry: Larder, like: Row | None = None
) -> tuple[str, Mapping[str, Factor]]:
    """The method that counts and what it leaves; nothing where the table does not speak."""
    cooked = like or row
    if not is_cooked(cooked, steps, pantry) or row.food is None:
        return "", {}
    said = methods(cooked, steps)
    for method in _counting(said, drained(cooked, steps)):
        found = pantry.retention(row.food, row.ingredient.name, method)
        kept = {key: factor for key, factor in found.items() if key not in KEPT_WHOLE}
        if kept:
            return method, kept
    return "", {}


def _counting(said: Iterable[str], water_gone: bool) -> list[str]:
    """The methods that cost vitamins: dearest first."""
    order: list[str] = tree("cooking_verbs")["costs_vitamins"]
    found = [m for m in order if m in set(said)]
    return found if water_gone else [m for m in found if m != "boiled"]
