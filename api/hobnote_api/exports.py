"""Recipes in every format over HTTP, mounted by ``include_router``; no rules of its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Path, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from hobnote.planning.shelf import Shelf
from hobnote.publishing.errors import OpenQuestions, PublishingError
from hobnote.publishing.formats import MEDIA_TYPES, export
from hobnote.publishing.options import Options, Units
from hobnote.publishing.record_json import from_json
from hobnote.publishing.sheet import slug
from hobnote.record import Record
from hobnote_api.bodies import within

Format = Literal["json", "json-ld", "markdown", "html", "pdf", "csv", "text"]
SUFFIX = {"json-ld": "jsonld", "markdown": "md", "text": "txt"}
BODY: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {"application/json": {"schema": {"type": "object"}}},
    }
}
# A page made from what somebody said may run nothing, wherever it is opened.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox"


def export_router(shelf: Callable[[], Shelf], limit: int = 2_000_000) -> APIRouter:
    """``POST /v1/export`` for a record that is sent, ``GET /v1/recipes/ID/export`` for a kept."""
    router = APIRouter()

    @router.post("/v1/export", response_class=Response, openapi_extra=BODY)
    async def export_record(
        request: Request,
        format: Annotated[Format, Query(alias="as")] = "json-ld",
        units: Annotated[Units, Query()] = "both",
        settled_only: bool = False,
        video: Annotated[str | None, Query(max_length=2000)] = None,
    ) -> Response:
        """A record that is sent (at most ``limit`` bytes), in another format."""
        data = await within(request, limit)
        try:
            record = from_json(data)
        except PublishingError as problem:
            raise HTTPException(422, f"{problem}.") from None
        options = Options(units=units, settled_only=settled_only, video=video)
        return await run_in_threadpool(_written, record, format, options)

    @router.get("/v1/recipes/{recipe}/export", response_class=Response)
    async def export_recipe(
        recipe: Annotated[int, Path(ge=1)],
        format: Annotated[Format, Query(alias="as")] = "json-ld",
        units: Annotated[Units, Query()] = "both",
        settled_only: bool = False,
        video: Annotated[str | None, Query(max_length=2000)] = None,
    ) -> Response:
        """A kept recipe as it stands."""
        options = Options(units=units, settled_only=settled_only, video=video)

        def found() -> Response:
            for one in shelf().recipes():
                if one.id == recipe:
                    return _written(one.record, format, options)
            raise HTTPException(404, f"there is no recipe {recipe}.")

        return await run_in_threadpool(found)

    return router


def _written(record: Record, format: Format, options: Options) -> Response:
    try:
        data = export(record, format, options)
    except OpenQuestions as problem:
        raise HTTPException(409, f"{problem}") from None
    except PublishingError as problem:
        raise HTTPException(501 if format == "pdf" else 422, f"{problem}.") from None
    name = f"{slug(record.title or '')}.{SUFFIX.get(format, format)}"
    headers = {
        "Content-Disposition": f"inline; filename*=UTF-8''{quote(name)}",
        "X-Content-Type-Options": "nosniff",
        "Content-Security-Policy": POLICY,
    }
    return Response(data, media_type=MEDIA_TYPES[format], headers=headers)
