"""A recipe as the meal planner sees it: figures for a portion, foods in grams, times, allergens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from hobnote.nutrition.bounds import rounded, scale
from hobnote.nutrition.safe_heat import heats
from hobnote.nutrition.totals import chosen, row_counts
from hobnote.planning.errors import PlanningError
from hobnote.planning.shelf import Shelved
from hobnote.planning.tables import rules
from hobnote.publishing.diets import diets
from hobnote.publishing.durations import together
from hobnote.record import Bounds, Ingredient, Record, Step

_UNSURE = ("unmatched food", "unsure food", "generic food", "mis-heard word")


class _Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Pack(_Shape):
    """What one bought piece was said to hold: a tin of 400 g."""

    noun: str
    grams: float


class Part(_Shape):
    """One ingredient. ``grams`` is None where no weight is known; ``food`` is the table's id."""

    name: str
    food: str | None
    description: str | None
    grams: Bounds | None
    optional: bool = False
    pack: Pack | None = None


class Minutes(_Shape):
    """Minutes that were told; ``complete`` is False where steps without a time come on top."""

    low: float
    high: float
    complete: bool


class Allergens(_Shape):
    """Names of allergens in the dish and of those that it may hold."""

    contains: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()


class PlanEntry(_Shape):
    """One recipe of the feed. Figures are (low, best, high); a figure that is absent is unknown.

    ``unsure_foods`` are ingredients whose food is an open question: their
    allergens are not known. ``missing`` are those outside the figures, so the true
    figures are higher.
    """

    id: int
    version: int
    changed: datetime
    title: str | None
    portions: Bounds | None
    scaled_by: float = 1.0
    per_portion: dict[str, Bounds] = Field(default_factory=dict)
    tags: tuple[str, ...] = ()
    allergens: Allergens = Allergens()
    unsure_foods: tuple[str, ...] = ()
    active_minutes: Minutes | None = None
    total_minutes: Minutes | None = None
    ingredients: tuple[Part, ...] = ()
    missing: tuple[str, ...] = ()
    open_questions: int = 0
    gone: Literal[False] = False


def entry(shelved: Shelved) -> PlanEntry:
    """The planner's view of a recipe."""
    record = shelved.record
    return PlanEntry(
        id=shelved.id,
        version=shelved.version,
        changed=shelved.changed,
        title=record.title,
        portions=record.portions,
        per_portion=dict(record.nutrition.per_portion or {}),
        tags=tuple(_tags(record)),
        allergens=Allergens(
            contains=_allergens(record, "contains"),
            may_contain=_allergens(record, "may contain"),
        ),
        unsure_foods=_unsure(record),
        active_minutes=_minutes(record.steps, attended=True),
        total_minutes=_minutes(record.steps, attended=False),
        ingredients=tuple(_parts(record)),
        missing=tuple(record.nutrition.missing),
        open_questions=len(record.flags),
    )


def scaled(item: PlanEntry, portions: float) -> PlanEntry:
    """``item`` with its ingredients for ``portions``; figures for a portion stay.

    A recipe whose portions are not known cannot be scaled and comes back as it
    is, ``scaled_by`` 1. Raises PlanningError unless ``portions`` is above 0.
    """
    if portions <= 0:
        raise PlanningError("the number of portions must be more than 0")
    if item.portions is None or item.portions.best <= 0:
        return item
    by = portions / item.portions.best
    parts = [
        part.model_copy(update={"grams": part.grams and rounded(scale(part.grams, by))})
        for part in item.ingredients
    ]
    whole = Bounds(low=portions, best=portions, high=portions)
    return item.model_copy(
        update={
            "portions": whole,
            "scaled_by": item.scaled_by * by,
            "ingredients": tuple(parts),
        }
    )


def _tags(record: Record) -> Iterator[str]:
    """Diets that the ingredients prove, the ways it is heated, or that it is not."""
    words = {"VeganDiet": "vegan", "VegetarianDiet": "vegetarian"}
    words |= {"GlutenFreeDiet": "gluten-free", "LowLactoseDiet": "low-lactose"}
    yield from (words[name] for name in diets(record))
    hot = dict.fromkeys(step.verb for step in record.steps if heats(step.verb))
    yield from hot
    if record.steps and not hot:
        yield "no heat"


def _allergens(record: Record, certainty: str) -> tuple[str, ...]:
    return tuple(found.name for found in record.allergens if found.certainty == certainty)


def _unsure(record: Record) -> tuple[str, ...]:
    doubtful = {flag.id for flag in record.flags if flag.kind in _UNSURE}
    names = (
        row.name
        for part in record.components
        for row in part.ingredients
        if row.swap_for is None and (row.food is None or doubtful & set(row.flags))
    )
    return tuple(dict.fromkeys(names))


def _minutes(steps: Iterable[Step], *, attended: bool) -> Minutes | None:
    alone = set(rules()["hands_off"]["verbs"])
    wanted = [step for step in steps if not (attended and step.verb in alone)]
    told = together(wanted)
    if told is None:
        return None
    return Minutes(low=told.low, high=told.high, complete=all(step.minutes for step in wanted))


def _parts(record: Record) -> Iterator[Part]:
    """Rows of the parts that count; swaps are left out, optional rows are marked."""
    for part, counts in zip(record.components, chosen(record.components), strict=True):
        for row in part.ingredients if counts or part.optional else ():
            if row.swap_for is None:
                yield Part(
                    name=row.name,
                    food=row.food.id if row.food else None,
                    description=row.food.description if row.food else None,
                    grams=row.grams,
                    optional=not (counts and row_counts(row)),
                    pack=_pack(row),
                )


def _pack(row: Ingredient) -> Pack | None:
    said = row.amount
    if said.noun is None or said.content_g is None or said.content_g.best <= 0:
        return None
    return Pack(noun=said.noun, grams=said.content_g.best)
