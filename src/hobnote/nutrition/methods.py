"""How each food of a dish was cooked, in the words of the pantry's tables ("boiled", "roasted")."""

from __future__ import annotations

from hobnote.nutrition.larder import Larder
from hobnote.nutrition.phrases import find
from hobnote.nutrition.safe_heat import heated
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row
from hobnote.record import Record, Step


def is_cooked(row: Row, record: Record, pantry: Larder) -> bool:
    """Whether this dish cooks the food: a step heats it, and it was not cooked before."""
    name = row.ingredient.name
    if row.food is None or row.food.form in ("cooked", "drained"):
        return False
    if not heated(name, row.component, record):
        return False
    ready = pantry.classes(row.food, name) & set(tree("cooking_verbs")["ready_classes"])
    return not ready or bool(find(tree("cooking_verbs")["cured_raw"], name))


def methods(row: Row, record: Record) -> list[str]:
    """The methods of the steps that name the food, wet ones first; "cooked" always last."""
    table = tree("cooking_verbs")["methods"]
    name = row.ingredient.name
    found = [table[s.verb] for s in record.steps if s.verb in table and name in s.ingredients]
    if not found:
        found = [table[s.verb] for s in record.steps if s.verb in table and _whole(s, row)]
    wet = [table[verb] for verb in tree("cooking_verbs")["wet"]]
    found.sort(key=lambda method: method not in wet)
    return list(dict.fromkeys([*found, "cooked"]))


def drained(row: Row, record: Record) -> bool:
    """Whether the water that the food was boiled in was poured off."""
    name = row.ingredient.name
    return any(
        (name in step.ingredients or _whole(step, row))
        and (step.verb in ("drain", "strain") or find(["drain", "drained"], step.text))
        for step in record.steps
    )


def _whole(step: Step, row: Row) -> bool:
    """Whether a step does what it does to everything in the row's part of the dish."""
    return not step.ingredients and step.component == row.component
