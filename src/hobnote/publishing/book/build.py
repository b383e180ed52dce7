"""Putting a book together: recipes in their chapters, its version, and what changed. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePath

from hobnote.publishing.book.plan import BookPlan
from hobnote.publishing.book.versions import Build, Builds, changes, digest, snapshot
from hobnote.publishing.errors import settled
from hobnote.publishing.options import Options
from hobnote.publishing.sheet import Sheet, sheet
from hobnote.record import Record


@dataclass(frozen=True, slots=True)
class BookDish:
    """A recipe of the book. ``id`` is its anchor, ``file`` the page of an EPUB that holds it."""

    key: str
    id: str
    file: str
    record: Record
    page: Sheet

    @property
    def title(self) -> str:
        """The recipe's title."""
        return self.page.title


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter with its recipes in order."""

    id: str
    file: str
    title: str
    dishes: tuple[BookDish, ...]


@dataclass(frozen=True, slots=True)
class Book:
    """A book that is ready to be laid out. ``before`` is the version that ``changes`` are since."""

    title: str
    foreword: tuple[str, ...]
    version: int
    made: str
    before: int | None
    changes: tuple[str, ...]
    chapters: tuple[Chapter, ...]

    @property
    def dishes(self) -> list[BookDish]:
        """Every recipe in order."""
        return [dish for chapter in self.chapters for dish in chapter.dishes]

    @property
    def drafts(self) -> list[str]:
        """Titles of recipes with open questions."""
        return [dish.title for dish in self.dishes if dish.page.questions]


def built(
    plan: BookPlan,
    recipes: Mapping[str, tuple[Record, int]],
    builds: Builds,
    made: str,
    *,
    settled_only: bool = False,
) -> tuple[Book, Builds]:
    """The book and the list of builds with it.

    ``recipes`` maps what the plan names (as text) to a record and its version,
    ``made`` is the date to print. A book in which nothing printed has changed
    keeps its version. Raises OpenQuestions where only settled recipes are wanted.
    """
    chapters, place = [], 0
    for n, chapter in enumerate(plan.chapters, start=1):
        dishes = []
        for named in chapter.recipes:
            place += 1
            record = _titled(str(named), recipes[str(named)][0])
            if settled_only:
                settled(record)
            page = sheet(record, Options(units=plan.units))
            dishes.append(BookDish(str(named), f"r{place}", f"chapter{n}.xhtml", record, page))
        chapters.append(Chapter(f"c{n}", f"chapter{n}.xhtml", chapter.title, tuple(dishes)))
    now = Build(
        version=1,
        made=made,
        title=plan.title,
        foreword=digest(plan.foreword),
        chapters=[(c.title, [str(r) for r in c.recipes]) for c in plan.chapters],
        recipes={
            key: snapshot(_titled(key, record), version, plan.units)
            for key, (record, version) in _ordered(plan, recipes).items()
        },
    )
    last = builds.builds[-1] if builds.builds else None
    kept = list(builds.builds)
    if last is not None and now.same(last):
        now = last  # nothing printed differs: the same version, with what it changed then
        before = builds.builds[-2] if len(builds.builds) > 1 else None
    else:
        before = last
        now.version = 1 if last is None else last.version + 1
        kept.append(now)
    book = Book(
        title=plan.title,
        foreword=tuple(" ".join(p.split()) for p in plan.foreword.split("\n\n") if p.strip()),
        version=now.version,
        made=now.made,
        before=None if before is None else before.version,
        changes=() if before is None else tuple(changes(before, now)),
        chapters=tuple(chapters),
    )
    return book, Builds(builds=kept)


def _titled(key: str, record: Record) -> Record:
    """A recipe without a title is called by its number or its file."""
    if record.title:
        return record
    name = f"Recipe {key}" if key.isdecimal() else PurePath(key).stem.replace("-", " ")
    return record.model_copy(update={"title": name})


def _ordered(
    plan: BookPlan, recipes: Mapping[str, tuple[Record, int]]
) -> dict[str, tuple[Record, int]]:
    return {str(named): recipes[str(named)] for named in plan.wanted()}
