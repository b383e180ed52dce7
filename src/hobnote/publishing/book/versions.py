"""Versions of a book and what changed from one to the next. Pure.

A build keeps, for every recipe, what was printed of it. The list of builds is
a JSON file beside the book's plan.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from hobnote.publishing.errors import PublishingError
from hobnote.publishing.options import Options, Units
from hobnote.publishing.sheet import sheet
from hobnote.record import Record

SCHEMA = "hobnote/book@1"


class Snapshot(BaseModel):
    """What a build printed of a recipe. ``version`` is the recipe's own, as kept."""

    model_config = ConfigDict(extra="forbid")

    title: str
    version: int
    portions: str | None
    ingredients: dict[str, str]
    steps: list[str]
    energy: str | None
    questions: int


class Build(BaseModel):
    """One version of the book: its recipes by key, in order, and its foreword's digest."""

    model_config = ConfigDict(extra="forbid")

    version: int
    made: str
    title: str
    foreword: str
    chapters: list[tuple[str, list[str]]]
    recipes: dict[str, Snapshot]

    def same(self, other: Build) -> bool:
        """Whether nothing that is printed differs; the recipes' own versions do not count."""
        out: Any = {"version": True, "made": True, "recipes": {"__all__": {"version"}}}
        # As text, because the order of the recipes counts.
        return self.model_dump_json(exclude=out) == other.model_dump_json(exclude=out)


class Builds(BaseModel):
    """Every version so far, oldest first."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    schema_: str = Field(default=SCHEMA, alias="schema")
    builds: list[Build] = Field(default_factory=list)

    @classmethod
    def read(cls, text: str) -> Builds:
        """The list from its JSON. Raises PublishingError where it is damaged."""
        try:
            found = cls.model_validate_json(text)
        except ValidationError as problem:
            where = ".".join(str(part) for part in problem.errors()[0]["loc"]) or "its start"
            raise PublishingError(f"the list of builds is damaged at {where}") from None
        if found.schema_ != SCHEMA:
            raise PublishingError(f"the list of builds is {found.schema_!r}, not {SCHEMA!r}")
        return found

    def text(self) -> str:
        """The list as JSON."""
        return self.model_dump_json(by_alias=True, indent=1) + "\n"


def snapshot(record: Record, version: int, units: Units) -> Snapshot:
    """What a page of the recipe prints."""
    page = sheet(record, Options(units=units))
    rows: dict[str, str] = {}
    for part in page.parts:
        for line in part.lines:
            name = line.words if part.name == "main" else f"{line.words} ({part.name})"
            rows[_free(name, rows)] = line.amount or "amount not said"
    for line in page.extras:
        rows[_free(f"{line.words} ({line.note})", rows)] = line.amount or "amount not said"
    energy = next((fact.portion for fact in page.facts if fact.key == "energy_kcal"), None)
    return Snapshot(
        title=page.title,
        version=version,
        portions=page.portions,
        ingredients=rows,
        steps=[step.words for step in page.steps],
        energy=energy,
        questions=len(page.questions),
    )


def _free(name: str, taken: Mapping[str, str]) -> str:
    count, free = 1, name
    while free in taken:
        count += 1
        free = f"{name} #{count}"
    return free


def digest(text: str) -> str:
    """A short digest, to see whether a text changed without keeping it twice."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]


def changes(old: Build, new: Build) -> list[str]:
    """What a reader of the old version finds different, in the order of the new one."""
    found = []
    if old.title != new.title:
        found.append(f"The book is now called {new.title}; it was {old.title}.")
    if old.foreword != new.foreword:
        found.append("The foreword was rewritten.")
    for key, recipe in new.recipes.items():
        before = old.recipes.get(key)
        if before is None:
            found.append(f"New: {recipe.title}.")
        else:
            found += [f"{recipe.title}: {text}." for text in _recipe(before, recipe)]
    found += [f"Taken out: {r.title}." for key, r in old.recipes.items() if key not in new.recipes]
    kept = [key for key in old.recipes if key in new.recipes]
    if kept != [key for key in new.recipes if key in old.recipes] or _moved(old, new):
        found.append("Recipes were put in another order.")
    return found


def _moved(old: Build, new: Build) -> bool:
    """Whether a recipe that stayed stands in another chapter."""
    places = [
        {key: title for title, keys in build.chapters for key in keys} for build in (old, new)
    ]
    return any(places[0][key] != places[1][key] for key in places[0] if key in places[1])


def _recipe(old: Snapshot, new: Snapshot) -> Iterator[str]:
    if old.title != new.title:
        yield f"was called {old.title}"
    if old.portions != new.portions:
        yield f"{new.portions or 'portions not said'}, was {old.portions or 'not said'}"
    for name, amount in new.ingredients.items():
        before = old.ingredients.get(name)
        if before is None:
            yield f"{name} is new ({amount})"
        elif before != amount:
            yield f"{name} is {amount}, was {before}"
    for name in old.ingredients:
        if name not in new.ingredients:
            yield f"{name} is left out"
    yield from _steps(old.steps, new.steps)
    if old.energy != new.energy:
        yield f"a portion has {new.energy or 'unknown'} kcal, was {old.energy or 'unknown'}"
    if old.questions != new.questions:
        left = {0: "every question is answered", 1: "1 question is open"}
        yield left.get(new.questions, f"{new.questions} questions are open")


def _steps(old: list[str], new: list[str]) -> Iterator[str]:
    if old == new:
        return
    if len(old) == len(new):
        places = [str(n) for n, (a, b) in enumerate(zip(old, new, strict=True), 1) if a != b]
        many = "steps" if len(places) > 1 else "step"
        yield f"{many} {', '.join(places)} changed"
    else:
        yield f"the method has {len(new)} steps, had {len(old)}"
