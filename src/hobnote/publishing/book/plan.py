"""The plan of a book: a TOML file that names its chapters and their recipes."""

from __future__ import annotations

import tomllib
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from hobnote.publishing.errors import PublishingError
from hobnote.publishing.options import Units


class ChapterPlan(BaseModel):
    """``recipes`` are numbers of kept recipes, or files beside the plan, in order."""

    model_config = ConfigDict(extra="forbid")

    title: str = Field(min_length=1)
    recipes: list[int | str] = Field(min_length=1)


class BookPlan(BaseModel):
    """Title, foreword (paragraphs are parted by blank lines), units, and chapters in order."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    title: str = Field(min_length=1)
    foreword: str = ""
    units: Units = "both"
    chapters: list[ChapterPlan] = Field(alias="chapter", min_length=1)

    def wanted(self) -> list[int | str]:
        """Every recipe that the chapters name. Raises PublishingError for one named twice."""
        found = [recipe for chapter in self.chapters for recipe in chapter.recipes]
        twice = next((one for n, one in enumerate(found) if one in found[:n]), None)
        if twice is not None:
            raise PublishingError(f"the book names recipe {twice} twice")
        return found


def book_in(path: Path) -> BookPlan:
    """The plan in a file. Raises PublishingError (one sentence that says where) or OSError."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
        return BookPlan.model_validate(data)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise PublishingError(f"{path} is not TOML ({problem})") from None
    except ValidationError as problem:
        first = problem.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise PublishingError(f"{path}: {where}: {first['msg']}") from None
