"""Scaling a weighed dish to a number of portions or to a figure in a portion.

Times and temperatures stay as they are. A scaled record is for printing:
weighing it anew would bring back the usual weight of what was never said.
"""

from __future__ import annotations

from hobnote.nutrition.bounds import exact, rounded, scale
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.reopen import reweighed
from hobnote.nutrition.tables import nutrients
from hobnote.nutrition.totals import counted_rows
from hobnote.record import Amount, Component, Ingredient, Record


def to_portions(record: Record, portions: float, pantry: Larder) -> Record:
    """Every ingredient scaled so that the dish makes ``portions`` of the same size.

    Raises ValueError when portions are unknown or not positive.
    """
    if portions <= 0:
        raise ValueError("the number of portions must be more than 0")
    if record.portions is None or record.portions.best <= 0:
        raise ValueError("how many portions the dish makes was not said, so it cannot be scaled")
    by = portions / record.portions.best
    scaled = _all(record, by).model_copy(update={"portions": exact(portions)})
    return reweighed(scaled, pantry)


def to_target(
    record: Record,
    nutrient: str,
    amount: float,
    pantry: Larder,
    *,
    ingredient: str | None = None,
) -> Record:
    """Scaled so that a portion holds ``amount`` of ``nutrient`` (a key such as "energy_kcal").

    All ingredients, or only the one named. The number of portions stays.
    Raises ValueError where it cannot be done, saying why.
    """
    name = nutrients()[nutrient].name if nutrient in nutrients() else nutrient
    if record.portions is None or record.nutrition.per_portion is None:
        raise ValueError("how many portions the dish makes was not said, so a portion has no size")
    figure = record.nutrition.total.get(nutrient)
    if figure is None or figure.best <= 0:
        raise ValueError(f"the dish's {name} is not known, so it cannot be scaled to it")
    if amount <= 0:
        raise ValueError("the target must be more than 0")
    wanted = amount * record.portions.best
    if ingredient is None:
        return reweighed(_all(record, wanted / figure.best), pantry)
    held = sum(
        row.nutrition[nutrient].best
        for row in counted_rows(record)
        if row.name == ingredient and nutrient in row.nutrition
    )
    if held <= 0:
        raise ValueError(f"the {ingredient} brings no {name}, so changing it changes nothing")
    by = (wanted - figure.best + held) / held
    if by < 0:
        without = (figure.best - held) / record.portions.best
        unit = nutrients()[nutrient].unit
        raise ValueError(f"even without the {ingredient} a portion has {without:.0f} {unit}")
    return reweighed(_all(record, by, ingredient), pantry)


def _all(record: Record, by: float, only: str | None = None) -> Record:
    components = [
        Component(
            name=part.name,
            choice=part.choice,
            optional=part.optional,
            ingredients=[
                _row(row, by) if only in (None, row.name) else row for row in part.ingredients
            ],
        )
        for part in record.components
    ]
    return record.model_copy(update={"components": components})


def _row(row: Ingredient, by: float) -> Ingredient:
    return row.model_copy(
        update={
            "amount": _amount(row.amount, by),
            "also": None if row.also is None else _amount(row.also, by),
            "grams": None if row.grams is None else rounded(scale(row.grams, by)),
            "nutrition": {key: rounded(scale(f, by)) for key, f in row.nutrition.items()},
            "uses": [
                use.model_copy(update={"amount": _amount(use.amount, by)}) for use in row.uses
            ],
        }
    )


def _amount(amount: Amount, by: float) -> Amount:
    if amount.low is None or amount.best is None or amount.high is None:
        return amount
    changed: dict[str, object] = {
        "low": round(amount.low * by, 6),
        "best": round(amount.best * by, 6),
        "high": round(amount.high * by, 6),
    }
    # The words no longer fit the figure, except those that name a vague measure.
    if amount.basis != "vague" and by != 1:
        changed["said"] = None
    return amount.model_copy(update=changed)
