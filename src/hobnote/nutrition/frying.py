"""Oil that food is fried in: what the food takes up counts, what stays in the pan does not.

A litre of oil to deep-fry in is not a litre eaten. The weight of such a row becomes the fat
that the fried food takes up (the pantry's table, a range), and a flag asks for the real figure:
pan and oil weighed before and after. Oil that is neither said to be for deep- or shallow-frying
nor left behind (drained, lifted out) counts whole, as the oil of a stew does.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache

from hobnote.nutrition.bounds import add, bounds, multiply, rounded
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.phrases import find
from hobnote.nutrition.tables import rule, tree
from hobnote.nutrition.weighing import Row, reweigh
from hobnote.pantry.types import Weight
from hobnote.record import Bounds, Ingredient, Record, Step

MARK = "taken up in "


def is_uptake(row: Ingredient) -> bool:
    """Whether the row's weight is what food took up of it, not what stood in the pan."""
    return (row.weight_source or "").startswith(MARK)


def count_what_is_eaten(record: Record, weighed: Sequence[Row], pantry: Larder) -> None:
    """Give every row of frying fat the weight that the food in it takes up."""
    if not any(_frying(step) for step in record.steps):
        return
    for row in weighed:
        if row.counts and row.grams is not None and _is_fat(row, pantry):
            found = _uptake(row, record, weighed, pantry)
            if found is not None:
                reweigh(row, found)


def instead(swap: Row, target: Row) -> None:
    """A swap for frying fat is taken up as the fat that it replaces is."""
    if not is_uptake(target.ingredient) or swap.food is None or target.grams is None:
        return
    g = target.grams
    reweigh(swap, Weight(g.low, g.best, g.high, target.ingredient.weight_source or ""))


def _uptake(row: Row, record: Record, weighed: Sequence[Row], pantry: Larder) -> Weight | None:
    steps = _steps_with(row.ingredient.name, record)
    if not any(map(_frying, steps)):
        return None
    open_amount = row.ingredient.amount.basis in ("vague", "unsaid")
    fried = _fried(steps, row, weighed, pantry)
    method = _method(steps, row, fried, open_amount)
    if method is None:
        return None
    taken = []
    for food in fried:
        factor = pantry.fat_uptake(food.food, food.ingredient.name, method)
        if factor is not None and food.grams is not None:
            share = bounds(factor.low / 100, factor.best / 100, factor.high / 100)
            taken.append((food.ingredient.name, multiply(food.grams, share), factor.source))
    total = rounded(add(grams for _, grams, _ in taken))
    if total.best < rule("least_uptake_g"):
        return None
    if not open_amount and _pan(row).low <= rule("pan_oil_times") * total.high:
        return None  # no more than the food can take up: all of it counts
    names = ", ".join(dict.fromkeys(name for name, _, _ in taken))
    sources = ", ".join(dict.fromkeys(source for _, _, source in taken))
    text = f"{MARK}{method.replace('fried', 'frying')} {names}: {sources}"
    return Weight(total.low, total.best, total.high, text)


def _pan(row: Row) -> Bounds:
    assert row.grams is not None
    return row.grams


def _method(steps: Sequence[Step], row: Row, fried: Sequence[Row], open_amount: bool) -> str | None:
    """Deep-fried or shallow-fried where the oil stays behind; None where it is eaten."""
    words = tree("frying")
    text = " ".join(f"{_heard(step)} {step.text}" for step in steps)
    heard = " ".join(h.text for h in row.ingredient.heard)
    if _pattern("deep").search(f"{heard} {text}"):
        return "deep-fried"
    if open_amount:
        return None
    much = _pan(row).best >= rule("deep_oil_g")
    if much:
        return "deep-fried"
    names = {row.ingredient.name, *(food.ingredient.name for food in fried)}
    theirs = " ".join(
        f"{_heard(s)} {s.text}" for s in steps if not s.ingredients or names & set(s.ingredients)
    )
    if _pattern("shallow").search(text) or find(words["left_behind"], theirs):
        return "shallow-fried"
    return None


@cache
def _pattern(which: str) -> re.Pattern[str]:
    return re.compile(tree("frying")[which], re.IGNORECASE)


def _heard(step: Step) -> str:
    return "".join(h.text for h in step.heard)


def _frying(step: Step) -> bool:
    return step.verb in tree("frying")["verbs"]


def _steps_with(name: str, record: Record) -> list[Step]:
    """The steps that name the fat, and those that follow in its pan until one does not fry."""
    places = [n for n, step in enumerate(record.steps) if name in step.ingredients]
    if not places:
        return []
    first, last = places[0], places[-1]
    part = record.steps[first].component
    after = tree("frying")["after"]
    while last + 1 < len(record.steps):
        step = record.steps[last + 1]
        if step.component != part or not (_frying(step) or step.verb in after):
            break
        last += 1
    return [s for s in record.steps[first : last + 1] if s.component == part]


def _fried(steps: Sequence[Step], fat: Row, weighed: Iterable[Row], pantry: Larder) -> list[Row]:
    """The foods that a frying step names, else every solid food of the fat's part."""
    solid = [
        row
        for row in weighed
        if row.counts and row is not fat and row.grams is not None and row.food is not None
        and not pantry.classes(row.food, row.ingredient.name) & set(tree("frying")["not_fried"])
    ]  # fmt: skip
    names = {name for step in steps if _frying(step) for name in step.ingredients}
    named = [row for row in solid if row.ingredient.name in names]
    return named or [row for row in solid if row.component == fat.component]


def _is_fat(row: Row, pantry: Larder) -> bool:
    classes = pantry.classes(row.food, row.ingredient.name)
    words = tree("frying")
    return bool(classes & set(words["fats"])) and not classes & set(words["not_fats"])
