"""Recipes in every format over HTTP: the library's bytes, no rules of its own."""

from __future__ import annotations

from typing import Annotated, Any, Literal
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from hobnote.publishing.errors import OpenQuestions, PublishingError
from hobnote.publishing.formats import MEDIA_TYPES, export
from hobnote.publishing.options import Options, Units
from hobnote.publishing.record_json import from_json
from hobnote.publishing.sheet import slug
from hobnote.record import Component, Ingredient, Record
from hobnote_api.common import IfNoneMatch, Number, TheKitchen, fresh, tag_of
from hobnote_api.problems import Refused, answers

router = APIRouter(tags=["exports"])

Format = Literal["json", "json-ld", "markdown", "html", "pdf", "csv", "text"]
SUFFIX = {"json-ld": "jsonld", "markdown": "md", "text": "txt"}
# A page made from what somebody said may run nothing, wherever it is opened.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox"

SettledOnly = Annotated[bool, Query(description="Refuse a recipe with open questions (409).")]
Video = Annotated[
    str | None,
    Query(max_length=2000, description="The address of the video that was spoken over."),
]
_EXAMPLE = Record(title="oats", components=[Component(ingredients=[Ingredient(name="oats")])])
_BODY: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {
            "application/json": {
                "schema": {"$ref": "#/components/schemas/Record"},
                "example": _EXAMPLE.model_dump(mode="json", by_alias=True, exclude_defaults=True)
                | {"schema": "hobnote/record@1"},
            }
        },
    }
}
# How each file begins.
_BEGINNINGS: dict[str, Any] = {
    "json": {"schema": "hobnote/record@1", "title": "oats"},
    "json-ld": {"@context": "https://schema.org", "@type": "Recipe", "name": "oats"},
    "markdown": "# Oats\n",
    "html": "<!doctype html>\n<html lang=\"en\">",
    "pdf": "%PDF-1.7",
    "csv": "part,ingredient\n",
    "text": "OATS\n",
}
_FILE: dict[int | str, dict[str, Any]] = {
    200: {
        "description": "The file.",
        "content": {
            kind: {
                "schema": {"type": "object" if kind.endswith("json") else "string"},
                "example": _BEGINNINGS[name],
            }
            for name, kind in MEDIA_TYPES.items()
        },
    }
}
_UNCHANGED: dict[int | str, dict[str, Any]] = {304: {"description": "Nothing has changed."}}


@router.post(
    "/v1/export",
    response_class=Response,
    summary="A record that is sent, in another format",
    responses=answers(409, 501) | _FILE,
    openapi_extra=_BODY,
)
async def export_record(
    request: Request,
    format: Annotated[Format, Query(alias="as")] = "json-ld",
    units: Annotated[Units, Query(description="Grams, US cups, or both.")] = "both",
    settled_only: SettledOnly = False,
    video: Video = None,
) -> Response:
    """Write a record as linked data, Markdown, a page, print, a sheet or plain text."""
    try:
        record = from_json(await request.body())
    except PublishingError as problem:
        raise HTTPException(422, f"{problem}.") from None
    options = Options(units=units, settled_only=settled_only, video=video)
    return await run_in_threadpool(_written, record, format, options)


@router.get(
    "/v1/recipes/{id}/exports/{format}",
    summary="A recipe as a file",
    response_class=Response,
    responses=answers(404, 409, 501) | _FILE | _UNCHANGED,
)
def export_recipe(
    number: Number,
    format: Format,
    kitchen: TheKitchen,
    units: Annotated[Units, Query(description="Grams, US cups, or both.")] = "both",
    settled_only: SettledOnly = False,
    video: Video = None,
    if_none_match: IfNoneMatch = None,
) -> Response:
    """A kept recipe as it stands, in any format."""
    with kitchen.recipe(number) as talk:
        record = talk.record
    options = Options(units=units, settled_only=settled_only, video=video)
    answer = _written(record, format, options)
    answer.headers["Cache-Control"] = "private, no-cache"
    if format == "pdf":  # holds the time of its making, so no two are alike
        return answer
    answer.headers["ETag"] = tag_of(bytes(answer.body))
    if fresh(if_none_match, answer.headers["ETag"]):
        kept = {name: answer.headers[name] for name in ("ETag", "Cache-Control")}
        return Response(status_code=304, headers=kept)
    return answer


def _written(record: Record, format: Format, options: Options) -> Response:
    try:
        data = export(record, format, options)
    except OpenQuestions as problem:
        asked = [flag.question for flag in problem.flags]
        raise Refused(409, f"{problem}", questions=asked) from None
    except PublishingError as problem:
        raise HTTPException(501 if format == "pdf" else 422, f"{problem}.") from None
    except ArithmeticError:
        raise HTTPException(422, "this record holds figures beyond any kitchen.") from None
    name = f"{slug(record.title or '')}.{SUFFIX.get(format, format)}"
    headers = {
        "Content-Disposition": f"inline; filename*=UTF-8''{quote(name)}",
        "Content-Security-Policy": POLICY,
    }
    return Response(data, media_type=MEDIA_TYPES[format], headers=headers)
