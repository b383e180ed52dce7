"""The feed: recipes that fit, what changed since last time, and a tag for caches. Pure.

A cursor is a moment. Writers may finish in another order than they began, so
entries changed shortly before the cursor are handed out once more: the same
``id`` and ``version`` mean nothing is new.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta

from pydantic import BaseModel, ConfigDict, Field

from hobnote.nutrition.phrases import find
from hobnote.planning.avoid import allergens_of
from hobnote.planning.entry import PlanEntry, entry, scaled
from hobnote.planning.errors import PlanningError
from hobnote.planning.shelf import EPOCH, Shelved
from hobnote.record import Bounds

SCHEMA = "hobnote/plan-feed@1"
OVERLAP = timedelta(seconds=30)
"""Longer than a writer waits for another one."""


class Filters(BaseModel):
    """What a recipe must be like. An unknown figure never passes a filter on it.

    Energy in kcal and protein in g a portion, minutes in all. ``certain``
    asks that a filter holds over the whole range of the figure, not for the
    likeliest one. ``allergen_free`` leaves out what may contain it as well, and recipes
    with a food that is still a question. ``contains`` are words of ingredient names.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    energy_min: float | None = None
    energy_max: float | None = None
    protein_min: float | None = None
    protein_max: float | None = None
    minutes_max: float | None = None
    allergen_free: tuple[str, ...] = ()
    contains: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    certain: bool = False
    settled: bool = False


class Gone(BaseModel):
    """A changed recipe that no longer passes the filters."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: int
    version: int
    gone: bool = True


class Feed(BaseModel):
    """What the feed hands out. ``ids`` are all recipes that pass, changed or not."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    schema_: str = Field(default=SCHEMA, alias="schema")
    cursor: str
    ids: tuple[int, ...]
    recipes: tuple[PlanEntry | Gone, ...]

    def json_text(self) -> str:
        """The feed as one JSON document."""
        return self.model_dump_json(by_alias=True)

    def ndjson(self) -> str:
        """One recipe a line; the last line holds the cursor and the ids."""
        lines = [item.model_dump_json() for item in self.recipes]
        lines.append(self.model_dump_json(by_alias=True, exclude={"recipes"}))
        return "".join(f"{line}\n" for line in lines)


def feed(
    shelved: Sequence[Shelved],
    filters: Filters | None = None,
    *,
    portions: float | None = None,
    since: str | None = None,
) -> Feed:
    """The feed of the recipes on a shelf.

    ``since`` is the cursor of an earlier answer: only what changed after it is
    handed out. Raises PlanningError for a cursor that is none of ours and for
    an allergen that is not known.
    """
    filters = filters or Filters()
    avoided = allergens_of(filters.allergen_free)
    filters = filters.model_copy(update={"allergen_free": avoided})
    after = None if since is None else max(moment(since), EPOCH + OVERLAP) - OVERLAP
    ids: list[int] = []
    found: list[PlanEntry | Gone] = []
    for recipe in sorted(shelved, key=lambda one: one.id):
        item = entry(recipe)
        fits = passes(item, filters)
        if fits:
            ids.append(item.id)
        if after is not None and recipe.changed <= after:
            continue
        if fits:
            found.append(item if portions is None else scaled(item, portions))
        elif after is not None:
            found.append(Gone(id=item.id, version=item.version))
    latest = max((recipe.changed for recipe in shelved), default=EPOCH)
    return Feed(cursor=cursor(latest), ids=tuple(ids), recipes=tuple(found))


def etag(body: str) -> str:
    """A strong entity tag (RFC 9110) of an answer's body."""
    return f'"{hashlib.sha256(body.encode("utf-8")).hexdigest()[:32]}"'


def matches(tag: str, header: str | None) -> bool:
    """Whether an If-None-Match header names ``tag`` (weak comparison, as RFC 9110 asks)."""
    if header is None:
        return False
    named = [part.strip().removeprefix("W/") for part in header.split(",")]
    return "*" in named or tag in named


def cursor(when: datetime) -> str:
    """A moment as a cursor: microseconds since 1970, so that nothing needs escaping in a URL."""
    return f"c{(when - EPOCH) // timedelta(microseconds=1)}"


def moment(token: str) -> datetime:
    """The moment of a cursor."""
    digits = token.removeprefix("c")
    wrong = f"{token[:40]!r} is not a cursor of this feed; leave it out to begin"
    if not token.startswith("c") or not digits.isdecimal() or len(digits) > 18:
        raise PlanningError(wrong)
    try:
        return (EPOCH + timedelta(microseconds=int(digits))).astimezone(UTC)
    except OverflowError:
        raise PlanningError(wrong) from None


def passes(item: PlanEntry, filters: Filters) -> bool:
    """Whether a recipe is as the filters ask."""
    energy, protein = item.per_portion.get("energy_kcal"), item.per_portion.get("protein_g")
    sure = filters.certain
    return (
        _within(energy, filters.energy_min, filters.energy_max, sure, item.missing)
        and _within(protein, filters.protein_min, filters.protein_max, sure, item.missing)
        and _quick(item, filters)
        and _free(item, filters.allergen_free)
        and all(_has(item, words) for words in filters.contains)
        and set(filters.tags) <= set(item.tags)
        and not (filters.settled and item.open_questions)
    )


def _within(
    figure: Bounds | None,
    low: float | None,
    high: float | None,
    sure: bool,
    missing: Iterable[str],
) -> bool:
    if low is None and high is None:
        return True
    if figure is None or (sure and high is not None and tuple(missing)):
        return False
    least, most = (figure.low, figure.high) if sure else (figure.best, figure.best)
    return (low is None or least >= low) and (high is None or most <= high)


def _quick(item: PlanEntry, filters: Filters) -> bool:
    if filters.minutes_max is None:
        return True
    told = item.total_minutes
    if told is None or (filters.certain and not told.complete):
        return False
    return told.high <= filters.minutes_max


def _free(item: PlanEntry, allergens: Sequence[str]) -> bool:
    if not allergens:
        return True
    held = {name.casefold() for name in (*item.allergens.contains, *item.allergens.may_contain)}
    return not item.unsure_foods and not held & {name.casefold() for name in allergens}


def _has(item: PlanEntry, words: str) -> bool:
    return any(find([words], part.name) for part in item.ingredients if not part.optional)
