"""The HTTP application: notes in, records out. It holds no rules of its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from fastapi import FastAPI, HTTPException, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from hobnote import __version__
from hobnote.planning.shelf import Shelf
from hobnote.reading import Dictation, read_bytes, read_text
from hobnote.record import Record
from hobnote_api.bodies import within
from hobnote_api.exports import export_router
from hobnote_api.feed import feed_router, kept_shelf
from hobnote_api.problems import MEDIA_TYPE, add_problems

Measures = Literal["us", "uk", "au", "metric"]
Portions = Annotated[float, Field(gt=0, le=100_000)]

LIMIT = 2_000_000
"""Most bytes of a request; longer ones get 413."""


class Note(BaseModel):
    """A note sent as JSON."""

    model_config = ConfigDict(extra="forbid")

    text: str
    portions: Portions | None = None
    measures: Measures | None = None


def create_app(limit: int = LIMIT, shelf: Callable[[], Shelf] = kept_shelf) -> FastAPI:
    """The application; ``limit`` is the most bytes of a note, ``shelf`` gives the recipes."""
    app = FastAPI(
        title="Hobnote",
        version=__version__,
        summary="Dictated cooking notes in, a weighed and scored recipe out.",
        docs_url=None,  # the usual pages load scripts from elsewhere
        redoc_url=None,
    )
    add_problems(app)
    app.include_router(feed_router(shelf))
    app.include_router(export_router(shelf, limit))

    @app.get("/healthz")
    async def healthz() -> dict[str, str]:
        """Whether the server answers."""
        return {"status": "ok", "version": __version__}

    @app.post(
        "/v1/read",
        response_model=Record,
        response_model_by_alias=True,
        responses={code: {"content": {MEDIA_TYPE: {}}} for code in (413, 415, 422, 500)},
        openapi_extra={"requestBody": _body()},
    )
    async def read(
        request: Request,
        portions: Annotated[Portions | None, Query()] = None,
        measures: Annotated[Measures | None, Query()] = None,
    ) -> Record:
        """Read a note: JSON with its text, or the note itself as the body.

        ``portions`` and ``measures`` may stand in the JSON or in the query;
        the JSON has precedence.
        """
        data = await within(request, limit)
        kind = request.headers.get("content-type", "text/plain").split(";")[0].strip().lower()
        if kind == "application/json":
            note = _note(data)
            dictation = await run_in_threadpool(read_text, note.text, "the note")
            portions, measures = note.portions or portions, note.measures or measures
        elif kind.startswith("text/") or kind in (
            "application/octet-stream",
            "application/x-subrip",
        ):
            dictation = await run_in_threadpool(read_bytes, data, "the note")
        else:
            raise HTTPException(415, f"send text/plain or application/json, not {kind}.")
        return await run_in_threadpool(_read, dictation, portions, measures)

    return app


def _read(dictation: Dictation, portions: float | None, measures: Measures | None) -> Record:
    from hobnote.job import read_dictation  # the language pipeline loads with the first note

    return read_dictation(dictation, portions=portions, measures=measures)


def _note(data: bytes) -> Note:
    try:
        return Note.model_validate_json(data)
    except ValidationError as error:
        raise RequestValidationError(error.errors(include_url=False)) from None


def _body() -> dict[str, Any]:
    text = {"schema": {"type": "string"}}
    return {
        "required": True,
        "content": {
            "text/plain": text,
            "text/vtt": text,
            "application/json": {"schema": Note.model_json_schema()},
        },
    }
