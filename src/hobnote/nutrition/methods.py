"""How each food of a dish was cooked, in the words of the pantry's tables ("boiled", "roasted")."""

from __future__ import annotations

from hobnote.nutrition.larder import Larder
from hobnote.nutrition.phrases import find
from hobnote.nutrition.step_index import StepIndex
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row


def is_cooked(row: Row, steps: StepIndex, pantry: Larder) -> bool:
    """Whether this dish cooks the food: a step heats it, and it was not cooked before."""
    name = row.ingredient.name
    if row.food is None or row.food.form in ("cooked", "drained"):
        return False
    if not steps.heated(name, row.component):
        return False
    ready = pantry.classes(row.food, name) & set(tree("cooking_verbs")["ready_classes"])
    return not ready or bool(find(tree("cooking_verbs")["cured_raw"], name))


def methods(row: Row, steps: StepIndex) -> list[str]:
    """The methods of the steps that name the food, wet ones first; "cooked" always last."""
    table = tree("cooking_verbs")["methods"]
    found = steps.methods(row.ingredient.name, row.component)
    wet = {table[verb] for verb in tree("cooking_verbs")["wet"]}
    ordered = sorted(dict.fromkeys(found), key=lambda method: method not in wet)
    return list(dict.fromkeys([*ordered, "cooked"]))


def drained(row: Row, steps: StepIndex) -> bool:
    """Whether the water that the food was boiled in was poured off."""
    return steps.drained(row.ingredient.name, row.component)
