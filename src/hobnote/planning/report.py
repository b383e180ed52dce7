"""A plan as plain text and as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from itertools import groupby
from typing import Any

from hobnote.nutrition.tables import nutrients
from hobnote.planning.plan import Plan
from hobnote.planning.shopping import Item
from hobnote.planning.wishes import Wishes
from hobnote.publishing import figures
from hobnote.record import Bounds

_SHOWN = ("energy_kcal", "protein_g")


def plan_text(plan: Plan, wishes: Wishes, shopping: Sequence[Item]) -> str:
    """The week, what to cook, how surely it holds, and the shopping list."""
    lines = [
        *_week(plan, wishes),
        *_cooking(plan),
        *_surety(plan, wishes),
        *shopping_lines(shopping),
    ]
    if plan.notes:
        lines += ["", *plan.notes]
    return "\n".join(lines) + "\n"


def _week(plan: Plan, wishes: Wishes) -> Iterator[str]:
    keys = list(dict.fromkeys([*_SHOWN, *(band.nutrient for band in wishes.bands)]))
    for day, served in groupby(plan.servings, key=lambda one: one.day):
        total = plan.totals[day - 1]
        yield f"Day {day}: {_figures(total, keys)}"
        for one in served:
            size = "1 portion" if one.size == 1 else f"{figures.fraction(one.size)} portions"
            yield f"  {one.meal:<10} {one.title}, {size}"


def _figures(total: Mapping[str, Bounds], keys: Sequence[str]) -> str:
    known = nutrients()
    parts = []
    for key in keys:
        text = figures.bounds(total.get(key), unit=known[key].unit)
        parts.append(text if key == "energy_kcal" else f"{known[key].name} {text}")
    return ", ".join(parts)


def _cooking(plan: Plan) -> Iterator[str]:
    titles = {serving.dish: serving.title for serving in plan.servings}
    yield ""
    yield "To cook"
    for key, count in plan.batches.items():
        left = plan.left_over.get(key, 0.0)
        rest = f", {figures.fraction(round(left, 2))} left over" if left > 0.01 else ""
        yield f"  {'once' if count == 1 else f'{count} times'} {titles[key]}{rest}"
    for word, grams in plan.used_up.items():
        yield f"  uses up {grams:,.0f} g of {word}"


def _surety(plan: Plan, wishes: Wishes) -> Iterator[str]:
    if not wishes.bands:
        return
    yield ""
    if plan.certain:
        yield "Every day keeps its bands, wherever in their ranges the true figures lie."
        return
    yield "Every day keeps its bands at the likeliest figures. As the figures are open:"
    for words, share in plan.holds.items():
        yield f"  {words}: holds on about {share:.0%} of days"


def shopping_lines(items: Sequence[Item]) -> Iterator[str]:
    """The list, aisle by aisle."""
    if not items:
        return
    yield ""
    yield "To buy"
    for aisle, found in groupby(items, key=lambda one: one.aisle):
        yield f"  {aisle}"
        for item in found:
            yield f"    {item.name}: {_amount(item)}"


def _amount(item: Item) -> str:
    parts = []
    if item.grams is not None:
        parts.append(figures.bounds(item.grams, unit="g"))
    if item.packs:
        count, pack = item.packs
        parts.append(f"{count} × {pack.noun} of {pack.grams:,.0f} g")
    if item.at_home:
        parts.append(f"{item.at_home:,.0f} g at home")
    if item.unweighed:
        parts.append(f"amount not known in {', '.join(item.unweighed)}")
    return "; ".join(parts)


def plan_data(plan: Plan, shopping: Sequence[Item]) -> dict[str, Any]:
    """The plan for JSON."""
    return {
        "schema": "hobnote/plan@1",
        "servings": [asdict(serving) for serving in plan.servings],
        "batches": {str(key): count for key, count in plan.batches.items()},
        "left_over": {str(key): value for key, value in plan.left_over.items()},
        "used_up": dict(plan.used_up),
        "totals": [{key: value.model_dump() for key, value in day.items()} for day in plan.totals],
        "certain": plan.certain,
        "holds": dict(plan.holds),
        "cost": plan.cost,
        "notes": list(plan.notes),
        "shopping": [
            {
                "name": item.name,
                "aisle": item.aisle,
                "grams": item.grams and item.grams.model_dump(),
                "at_home": item.at_home,
                "packs": item.packs and {"count": item.packs[0], **item.packs[1].model_dump()},
                "used_in": list(item.used_in),
                "unweighed": list(item.unweighed),
            }
            for item in shopping
        ],
    }
