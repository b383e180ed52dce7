"""Cutting float noise off a record before it is written, so that what is read back prints alike."""

from __future__ import annotations

from hobnote.publishing import figures
from hobnote.record import Amount, Bounds, Ingredient, Range, Record, Step

_DIGITS = 4


def tidied(record: Record) -> Record:
    """``record`` with weights and amounts to four decimals, times to the second and the
    figures of a portion as they are printed."""
    parts = [
        part.model_copy(update={"ingredients": [_row(row) for row in part.ingredients]})
        for part in record.components
    ]
    portion = record.nutrition.per_portion
    nutrition = record.nutrition.model_copy(
        update={
            "per_portion": None
            if portion is None
            else {key: as_printed(value) for key, value in portion.items()}
        }
    )
    return record.model_copy(
        update={
            "components": parts,
            "steps": [_step(step) for step in record.steps],
            "portions": record.portions and _bounds(record.portions),
            "nutrition": nutrition,
        }
    )


def printed(value: float) -> float:
    """``value`` as a page prints it."""
    return float(figures.number(value).replace(",", ""))


def as_printed(value: Bounds) -> Bounds:
    """Bounds as a page prints them."""
    return Bounds(low=printed(value.low), best=printed(value.best), high=printed(value.high))


def _bounds(value: Bounds) -> Bounds:
    return Bounds(
        low=round(value.low, _DIGITS),
        best=round(value.best, _DIGITS),
        high=round(value.high, _DIGITS),
    )


def _amount(amount: Amount) -> Amount:
    figures_ = {
        key: None if value is None else round(value, _DIGITS)
        for key, value in (("low", amount.low), ("best", amount.best), ("high", amount.high))
    }
    return amount.model_copy(update=figures_)


def _row(row: Ingredient) -> Ingredient:
    return row.model_copy(
        update={
            "amount": _amount(row.amount),
            "grams": None if row.grams is None else _bounds(row.grams),
        }
    )


def _step(step: Step) -> Step:
    if step.minutes is None:
        return step
    low, high = (round(value * 60) / 60 for value in (step.minutes.low, step.minutes.high))
    return step.model_copy(update={"minutes": Range(low=low, high=high)})
