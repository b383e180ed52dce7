"""Errors over HTTP: problem documents (RFC 9457), one clear sentence in each."""

from __future__ import annotations

import http
import logging
import traceback
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.encoders import jsonable_encoder
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict
from starlette.exceptions import HTTPException

from hobnote.asking.corrections import CannotCorrect
from hobnote.keeping import KeepingError, NoSuchRecipe
from hobnote.reading import ReadingError

MEDIA_TYPE = "application/problem+json"
log = logging.getLogger("hobnote.service")

TITLES = {
    409: "Conflict",
    412: "The recipe has changed",
    413: "Too large",
    421: "Misdirected request",
    429: "Too many requests",
    503: "Not now",
}


class Problem(BaseModel):
    """A problem document of RFC 9457; some have further members of our own."""

    model_config = ConfigDict(
        extra="allow",
        json_schema_extra={
            "examples": [
                {
                    "type": "about:blank",
                    "title": "Not Found",
                    "status": 404,
                    "detail": "there is no recipe 12.",
                }
            ]
        },
    )

    type: str
    title: str
    status: int
    detail: str


class Refused(HTTPException):
    """An answer with a problem document that has members of our own."""

    def __init__(self, status: int, detail: str, **more: object) -> None:
        super().__init__(status, detail)
        self.more = more


def answers(*codes: int) -> dict[int | str, dict[str, Any]]:
    """What a route may answer besides success, for the OpenAPI document."""
    schema = {"schema": {"$ref": "#/components/schemas/Problem"}}
    always = (400, 401, 403, 413, 421, 422, 429, 500, 503)
    return {
        code: {"description": _title(code), "content": {MEDIA_TYPE: schema}}
        for code in sorted({*always, *codes})
    }


def problem(status: int, detail: str, **more: object) -> JSONResponse:
    """A problem document; ``more`` are members of our own (``line``, ``name``)."""
    body = problem_body(status, detail)
    body.update((key, jsonable_encoder(value)) for key, value in more.items() if value is not None)
    return JSONResponse(body, status_code=status, media_type=MEDIA_TYPE)


def problem_body(status: int, detail: str) -> dict[str, Any]:
    """The members that every problem document has."""
    return {
        "type": "about:blank",
        "title": _title(status),
        "status": status,
        "detail": detail,
    }


def _title(status: int) -> str:
    return TITLES.get(status) or http.HTTPStatus(status).phrase


def told(request: Request, status: int, detail: str, **more: object) -> Response:
    """A problem for this caller: a page for who looks at pages, else a problem document."""
    path, wants = request.url.path, request.headers.get("accept", "")
    if path.startswith("/v1") or "text/html" not in wants:
        return problem(status, detail, **more)
    from hobnote_api.page.pages import html

    return html("trouble.html.j2", status, title=_title(status), detail=detail)


def add_problems(app: FastAPI) -> None:
    """Answer every error of ``app`` with a problem document."""

    @app.exception_handler(ReadingError)
    async def _unreadable(request: Request, error: ReadingError) -> JSONResponse:
        return problem(422, str(error), name=error.name, line=error.line)

    @app.exception_handler(CannotCorrect)
    async def _uncorrected(request: Request, error: CannotCorrect) -> JSONResponse:
        return problem(422, str(error))

    @app.exception_handler(NoSuchRecipe)
    async def _missing(request: Request, error: NoSuchRecipe) -> Response:
        return told(request, 404, f"there is no recipe {error.recipe}.")

    @app.exception_handler(KeepingError)
    async def _unkept(request: Request, error: KeepingError) -> Response:
        return unkept(request, error)

    @app.exception_handler(RequestValidationError)
    async def _invalid(request: Request, error: RequestValidationError) -> Response:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        text = f"{where}: {first['msg']}." if where else f"{first['msg']}."
        return told(request, 422, text)

    @app.exception_handler(HTTPException)
    async def _http(request: Request, error: HTTPException) -> Response:
        more = error.more if isinstance(error, Refused) else {}
        answer = told(request, error.status_code, str(error.detail), **more)
        answer.headers.update(error.headers or {})
        return answer

    @app.exception_handler(Exception)
    async def _fault(request: Request, error: Exception) -> JSONResponse:
        return fault(error)


def unkept(request: Request, error: KeepingError) -> Response:
    """503 for what the store cannot do. Its full sentence names files: that is for the log."""
    log.error("the recipes cannot be kept or found: %s", error)
    answer = told(request, 503, error.outside)
    if error.passing:
        answer.headers["Retry-After"] = "5"
    return answer


def fault(error: Exception) -> JSONResponse:
    """500 for what nobody foresaw. Its words may hold the note: only its place goes to the log."""
    frames = traceback.extract_tb(error.__traceback__)[-4:]
    where = " > ".join(f"{Path(f.filename).name}:{f.lineno} {f.name}" for f in frames)
    log.error("%s at %s", type(error).__name__, where)
    return problem(500, "something went wrong inside; the server's log says where.")
