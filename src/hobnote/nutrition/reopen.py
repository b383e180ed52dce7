"""Working on a weighed record without weighing it again: what-if and scaling stand on this."""

from __future__ import annotations

from collections.abc import Sequence

from hobnote.nutrition.larder import Larder
from hobnote.nutrition.totals import chosen, row_counts
from hobnote.nutrition.weigh import conclude, rebuilt
from hobnote.nutrition.weighing import Row, match_of, second_weight
from hobnote.record import Ingredient, Record, Step


def reopen(record: Record, pantry: Larder) -> list[list[Row]]:
    """The rows of a weighed record, their grams and figures as they stand."""
    parts = []
    soaked = [step for step in record.steps if step.verb == "soak"]
    for component, counts in zip(record.components, chosen(record.components), strict=True):
        part = []
        for ingredient in component.ingredients:
            row = reopened(ingredient, soaked, pantry)
            row.component = component.name
            row.counts = counts and row_counts(ingredient)
            part.append(row)
        parts.append(part)
    return parts


def reopened(ingredient: Ingredient, steps: Sequence[Step], pantry: Larder) -> Row:
    """One row of a weighed record, its grams and figures as they stand."""
    match = match_of(ingredient, steps, pantry)
    profile, second = second_weight(ingredient, match, pantry)
    return Row(ingredient.model_copy(update={"flags": []}), match, second, profile)


def close(record: Record, parts: Sequence[Sequence[Row]], pantry: Larder) -> Record:
    """The record with sums, verdicts, lists and flags that follow from ``parts``."""
    return conclude(rebuilt(record, parts), parts, pantry)


def reweighed(record: Record, pantry: Larder) -> Record:
    """``record`` with everything recomputed that follows from its rows as they stand."""
    return close(record, reopen(record, pantry), pantry)
