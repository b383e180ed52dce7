"""``GET /v1/plan-feed``: recipes for a meal planner, mounted by ``include_router``."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Annotated, Literal

from fastapi import APIRouter, Header, HTTPException, Query, Response
from fastapi.concurrency import run_in_threadpool

from hobnote.planning.errors import PlanningError
from hobnote.planning.feed import Feed, Filters, etag, feed, matches
from hobnote.planning.shelf import Shelf, StoreShelf

NDJSON = "application/x-ndjson"
Figure = Annotated[float | None, Query(ge=0, le=1_000_000)]
Words = Annotated[list[str] | None, Query(max_length=50)]


@cache
def kept_shelf() -> Shelf:
    """The recipes of this machine's store, opened when they are first asked for."""
    from hobnote.keeping.store import Store

    return StoreShelf(Store.open())


def feed_router(shelf: Callable[[], Shelf]) -> APIRouter:
    """The feed over whatever ``shelf()`` gives when it is asked for."""
    router = APIRouter()

    @router.get(
        "/v1/plan-feed",
        response_model=Feed,
        response_model_by_alias=True,
        responses={200: {
                "content": {
                    NDJSON: {
                        "schema": {"type": "string"},
                        "example": '{"id": 1, "version": 2, "title": "porridge"}\n',
                    }
                }
            }, 304: {"description": "Nothing has changed."}},
    )
    async def plan_feed(
        energy_min: Figure = None,
        energy_max: Figure = None,
        protein_min: Figure = None,
        protein_max: Figure = None,
        minutes_max: Figure = None,
        allergen_free: Words = None,
        contains: Words = None,
        tag: Words = None,
        certain: bool = False,
        settled: bool = False,
        portions: Annotated[float | None, Query(gt=0, le=100_000)] = None,
        since: Annotated[str | None, Query(max_length=40)] = None,
        format: Annotated[Literal["json", "ndjson"] | None, Query()] = None,
        accept: Annotated[str | None, Header()] = None,
        if_none_match: Annotated[str | None, Header()] = None,
    ) -> Response:
        """Recipes with bounds a portion, foods in grams, allergens and minutes.

        Filters use the likeliest figure, or its whole range with ``certain``.
        ``since`` is the cursor of an earlier answer; only what changed after it
        comes, a recipe that no longer passes as ``{"id", "version", "gone": true}``.
        """
        filters = Filters(
            energy_min=energy_min,
            energy_max=energy_max,
            protein_min=protein_min,
            protein_max=protein_max,
            minutes_max=minutes_max,
            allergen_free=tuple(allergen_free or ()),
            contains=tuple(contains or ()),
            tags=tuple(tag or ()),
            certain=certain,
            settled=settled,
        )
        try:
            found = await run_in_threadpool(
                lambda: feed(shelf().recipes(), filters, portions=portions, since=since)
            )
        except PlanningError as problem:
            raise HTTPException(422, f"{problem}.") from None
        lines = format == "ndjson" or (format is None and NDJSON in (accept or ""))
        body = found.ndjson() if lines else found.json_text()
        headers = {
            "ETag": etag(body),
            "Cache-Control": "private, no-cache",
            "Vary": "Accept",
            "Hobnote-Cursor": found.cursor,
        }
        if matches(headers["ETag"], if_none_match):
            return Response(status_code=304, headers=headers)
        kind = NDJSON if lines else "application/json"
        return Response(body, media_type=kind, headers=headers)

    return router
