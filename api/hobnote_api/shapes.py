"""What the service answers: shapes only. Times are UTC."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from hobnote.asking.conversation import Conversation, Reply
from hobnote.asking.corrections import Fix
from hobnote.asking.questions import Question
from hobnote.following.events import Event
from hobnote.keeping import Turn, standing
from hobnote.keeping.store import Kept
from hobnote.reading import Piece, ReadingError, read_text
from hobnote.record import Record
from hobnote_api.notes import Who

Text = Annotated[str, Field(min_length=1, max_length=20_000)]


class Shape(BaseModel):
    """Base of every answer."""

    model_config = ConfigDict(extra="forbid")


class Entry(Shape):
    """A recipe as the list shows it."""

    id: int
    title: str | None
    version: int
    created: datetime
    changed: datetime

    @classmethod
    def of(cls, kept: Kept) -> Entry:
        return cls(
            id=kept.id,
            title=kept.title,
            version=kept.version,
            created=kept.created,
            changed=kept.changed,
        )


class Listing(Shape):
    """A page of recipes, the newest first; ``next`` is the ``after`` of the following page."""

    recipes: list[Entry]
    next: int | None


class Keys(Shape):
    """What corrections call the rows of each part, and the steps, in the record's order."""

    ingredients: dict[str, list[str]]
    steps: list[str]


class Recipe(Shape):
    """A recipe at one version. Offsets of ``heard`` in the record point into ``text``."""

    id: int
    version: int
    text: str
    record: Record
    keys: Keys
    questions: list[Question]
    asked: str | None

    @classmethod
    def of(cls, talk: Conversation) -> Recipe:
        parts: dict[str, list[str]] = {part.name: [] for part in talk.record.components}
        places = {id(row): part.name for part in talk.record.components for row in part.ingredients}
        for key, row in talk.rows.items():
            parts[places[id(row)]].append(key)
        return cls(
            id=talk.id,
            version=talk.version,
            text=talk.text,
            record=talk.record,
            keys=Keys(ingredients=parts, steps=list(talk.steps)),
            questions=talk.questions,
            asked=talk.asked.id if talk.asked else None,
        )


class Answered(Shape):
    """What a message did: words to show, one line a change, and the recipe after it."""

    lines: list[str]
    changed: list[str]
    understood: bool
    recipe: Recipe

    @classmethod
    def of(cls, reply: Reply, talk: Conversation) -> Answered:
        return cls(
            lines=list(reply.lines),
            changed=list(reply.changed),
            understood=reply.understood,
            recipe=Recipe.of(talk),
        )


class Said(Shape):
    """A turn of the log. ``stands`` is whether it still holds, ``reply`` what was answered."""

    version: int
    kind: Literal["said", "asked", "undo", "redo"]
    who: str
    at: datetime
    text: str
    count: int
    stands: bool
    reply: list[str]
    events: list[Event]


class Log(Shape):
    """Turns of a recipe in order."""

    recipe: int
    version: int
    turns: list[Said]


def log_of(recipe: int, turns: list[Turn], after: int) -> Log:
    """The log from version ``after`` + 1 on; what stands is judged by the whole of it."""
    holds = {turn.version for turn in standing(turns).holds}
    return Log(recipe=recipe, version=len(turns), turns=list(_said(turns[after:], holds)))


def _said(turns: Iterable[Turn], holds: set[int]) -> Iterable[Said]:
    for turn in turns:
        yield Said(
            version=turn.version,
            kind=turn.kind,
            who=turn.who,
            at=turn.at,
            text=turn.text,
            count=turn.count,
            stands=turn.version in holds or turn.kind != "said",
            reply=list(turn.reply),
            events=list(turn.events),
        )


class PieceShape(Shape):
    """A bit of speech: characters ``start`` to ``end`` of the text, ``at`` seconds if timed."""

    start: int
    end: int
    text: str
    at: float | None
    until: float | None


class Spoken(Shape):
    """A message as it was read: what kind of text it is, and its speech without the rest."""

    version: int
    who: str
    at: datetime
    kind: str
    pieces: list[PieceShape]


class Dictated(Shape):
    """All that was said and stands. Offsets, here and in the record, point into ``text``."""

    recipe: int
    version: int
    text: str
    warnings: list[str]
    messages: list[Spoken]


def dictated(talk: Conversation) -> Dictated:
    """What was said, message by message."""
    messages, base = [], 0
    for turn in talk.standing:
        messages.append(_spoken(turn, base))
        base += len(turn.text) + 1
    return Dictated(
        recipe=talk.id,
        version=talk.version,
        text=talk.text,
        warnings=list(talk.warnings),
        messages=messages,
    )


def _spoken(turn: Turn, base: int) -> Spoken:
    try:
        read = read_text(turn.text)
        kind, pieces = str(read.kind), read.pieces
    except ReadingError:  # an import's words, or a correction's
        kind, pieces = "plain", (Piece(0, len(turn.text), turn.text, ""),)
    return Spoken(
        version=turn.version,
        who=turn.who,
        at=turn.at,
        kind=kind,
        pieces=[
            PieceShape(
                start=base + p.start, end=base + p.end, text=p.text, at=p.at, until=p.until
            )
            for p in pieces
        ],
    )


class Version(Shape):
    """What made a version."""

    version: int
    kind: Literal["said", "asked", "undo", "redo"]
    who: str
    at: datetime
    told: str


class Versions(Shape):
    """Every version of a recipe, the first note's first."""

    recipe: int
    versions: list[Version]


class Difference(Shape):
    """What is different in the later of two versions, one line a change."""

    recipe: int
    before: int
    after: int
    changes: list[str]


class Message(Shape):
    """Something said about the recipe."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"text": "the honey was 60 g", "who": "galley"}]},
    )

    text: Text
    who: Who | None = None


class Answer(Shape):
    """An answer to an open question: in words, or one of its options by place from 0."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"question": "vague-amount:honey", "answer": "about two tablespoons"}]
        },
    )

    question: str = Field(min_length=1, max_length=300)
    answer: Text | Annotated[int, Field(ge=0, le=20)]
    who: Who | None = None


class Correction(Shape):
    """Something put right by hand."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"fix": {"kind": "ingredient", "key": "honey", "amount": "60 g"}}]
        },
    )

    fix: Fix
    who: Who | None = None


class Back(Shape):
    """How many messages to take back, or to bring back."""

    model_config = ConfigDict(extra="forbid", strict=True)

    count: int = Field(default=1, ge=1, le=1_000)
    who: Who | None = None


class FoodRow(Shape):
    """A row of the table; nutrients are per 100 g, one that is not there is unknown."""

    id: str
    description: str
    source: str
    per_100g: dict[str, float]


class FoodFound(Shape):
    """What a name means: the row, how surely (0 to 1) and why, and what else it may be."""

    name: str
    food: FoodRow | None
    match: float
    why: str
    sure: bool
    others: list[FoodRow]


class Health(Shape):
    """Whether the service answers."""

    status: Literal["ok", "starting"]
    version: str
