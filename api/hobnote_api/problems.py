"""Errors over HTTP: problem documents (RFC 9457), one clear sentence in each."""

from __future__ import annotations

import http

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from hobnote.keeping.errors import KeepingError, NoSuchRecipe
from hobnote.reading import ReadingError

MEDIA_TYPE = "application/problem+json"


def problem(status: int, detail: str, **more: object) -> JSONResponse:
    """A problem document; ``more`` are members of our own (``line``, ``name``)."""
    body: dict[str, object] = {
        "type": "about:blank",
        "title": http.HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
    }
    body.update((key, value) for key, value in more.items() if value is not None)
    return JSONResponse(body, status_code=status, media_type=MEDIA_TYPE)


def add_problems(app: FastAPI) -> None:
    """Answer every error of ``app`` with a problem document."""

    @app.exception_handler(ReadingError)
    async def _unreadable(request: Request, error: ReadingError) -> JSONResponse:
        return problem(422, str(error), name=error.name, line=error.line)

    @app.exception_handler(KeepingError)
    async def _unkept(request: Request, error: KeepingError) -> JSONResponse:
        return problem(404 if isinstance(error, NoSuchRecipe) else 503, str(error))

    @app.exception_handler(RequestValidationError)
    async def _invalid(request: Request, error: RequestValidationError) -> JSONResponse:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        return problem(422, f"{where}: {first['msg']}.")

    @app.exception_handler(HTTPException)
    async def _http(request: Request, error: HTTPException) -> JSONResponse:
        answer = problem(error.status_code, str(error.detail))
        answer.headers.update(error.headers or {})
        return answer

    @app.exception_handler(Exception)
    async def _fault(request: Request, error: Exception) -> JSONResponse:
        # The words of an unexpected error may hold the note: they stay in the log.
        return problem(500, "something went wrong inside; the server's log says where.")
