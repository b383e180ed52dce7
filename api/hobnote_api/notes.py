"""A note in a request: JSON that holds its text, or the note itself as the body."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import HTTPException, Request
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from hobnote.asking.corrections import DishFix
from hobnote.job import Progress
from hobnote.reading import Dictation, read_bytes, read_text
from hobnote_api.kitchen import Kitchen, once

Measures = Literal["us", "uk", "au", "metric"]
Portions = Annotated[float, Field(ge=0.01, le=100_000)]
Who = Annotated[str, Field(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f]+$")]

EXAMPLE = (
    "Regatta porridge for eight. 400 grams oats, a litre and a half of milk, a pinch of salt, "
    "two glugs of honey. Simmer on low for six minutes."
)


class Note(BaseModel):
    """A note sent as JSON. ``portions`` wins over what the note says."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"text": EXAMPLE, "measures": "uk"}]}
    )

    text: str = Field(description="What was said: plain words, chat lines or captions.")
    portions: Portions | None = None
    measures: Measures | None = None
    who: Who | None = None


async def note_of(request: Request, longest: int) -> tuple[Note, Dictation]:
    """The note in ``request``. Raises HTTPException, RequestValidationError and ReadingError."""
    data = await request.body()
    kind = request.headers.get("content-type", "text/plain").split(";")[0].strip().lower()
    if kind == "application/json":
        note = _parsed(data)
        _check(note.text, longest)
        return note, read_text(note.text, "the note")
    if not kind.startswith("text/") and kind not in (
        "application/octet-stream",
        "application/x-subrip",
    ):
        raise HTTPException(415, f"send text/plain or application/json, not {_word(kind)}.")
    dictation = read_bytes(data, "the note")
    _check(dictation.text, longest)
    return Note(text=dictation.text), dictation


def _word(kind: str) -> str:
    return "".join(c for c in kind[:60] if c.isprintable())


def _check(text: str, longest: int) -> None:
    if len(text) > longest:
        raise HTTPException(
            413, f"this note has {len(text):,} characters; give at most {longest:,}."
        )


def _parsed(data: bytes) -> Note:
    try:
        return Note.model_validate_json(data, strict=True)
    except ValidationError as error:
        raise RequestValidationError(error.errors(include_url=False)) from None


def begun(
    kitchen: Kitchen,
    note: Note,
    dictation: Dictation,
    who: str,
    caller: str,
    key: str | None = None,
    *,
    progress: Progress | None = None,
) -> tuple[int, bool]:
    """The number of the recipe that a note makes, and whether it is new."""
    try:
        number, new = kitchen.begin(
            dictation,
            who,
            measures=note.measures,
            once=once(key, caller, note.model_dump_json()),
            progress=progress,
        )
    except ValueError as problem:
        raise HTTPException(409, f"{problem}; use a new Idempotency-Key.") from None
    if new and note.portions is not None:
        with kitchen.recipe(number) as talk:
            talk.correct(DishFix(portions=note.portions), who)
    return number, new


def body() -> dict[str, Any]:
    """The request body, for the OpenAPI document."""
    text = {"schema": {"type": "string"}, "example": EXAMPLE}
    return {
        "required": True,
        "content": {
            "application/json": {"schema": Note.model_json_schema()},
            "text/plain": text,
            "text/vtt": {
                "schema": {"type": "string"},
                "example": "WEBVTT\n\n00:01.000 --> 00:04.000\nstir in 20 g of butter\n",
            },
        },
    }
