"""``/v1/recipes``: begun from notes, listed, looked at, at any of their versions."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Header, HTTPException, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from hobnote.asking.conversation import Conversation
from hobnote.asking.versions import at, differences
from hobnote.keeping.shelves import page
from hobnote_api.common import (
    Caller,
    IfNoneMatch,
    Number,
    TheKitchen,
    TheOperations,
    TheSettings,
    VersionNumber,
    fresh,
    tag,
    tag_of,
)
from hobnote_api.notes import begun, body, note_of
from hobnote_api.operations import ACCEPTED, accepted, begin_note
from hobnote_api.problems import answers
from hobnote_api.shapes import (
    Dictated,
    Difference,
    Entry,
    Listing,
    Log,
    Recipe,
    Version,
    Versions,
    dictated,
    log_of,
)

router = APIRouter(prefix="/v1/recipes", tags=["recipes"])
_UNCHANGED: dict[int | str, dict[str, Any]] = {304: {"description": "Nothing has changed."}}
_MOST = 200


@router.post(
    "",
    status_code=201,
    response_model=Recipe,
    summary="Begin a recipe from a note",
    responses=answers(409, 415)
    | ACCEPTED
    | {200: {"model": Recipe, "description": "Begun before."}},
    openapi_extra={"requestBody": body()},
)
async def begin(
    request: Request,
    kitchen: TheKitchen,
    operations: TheOperations,
    settings: TheSettings,
    caller: Caller,
    idempotency_key: Annotated[
        str | None,
        Header(
            min_length=1,
            max_length=200,
            description="The same key and note give the same recipe, however often they are sent.",
        ),
    ] = None,
    prefer: Annotated[
        str | None,
        Header(
            max_length=200,
            description="`respond-async` answers at once with an operation to follow (202): "
            "for long notes.",
        ),
    ] = None,
) -> Response:
    """Read a note, keep it, and answer with the recipe and what is open.

    A request that is sent again with the same ``Idempotency-Key`` gives the
    recipe that it made the first time (200); another note under that key is 409.
    """
    note, dictation = await note_of(request, settings.note)
    if any(part.strip().lower() == "respond-async" for part in (prefer or "").split(",")):
        answer = accepted(
            begin_note(
                operations, kitchen, note, dictation, note.who or caller, caller, idempotency_key
            )
        )
        answer.headers["Preference-Applied"] = "respond-async"
        return answer
    number, new = await run_in_threadpool(
        begun, kitchen, note, dictation, note.who or caller, caller, idempotency_key
    )

    def shown() -> Response:
        with kitchen.recipe(number) as talk:
            return _recipe(talk)

    answer = await run_in_threadpool(shown)
    answer.status_code = 201 if new else 200
    answer.headers["Location"] = f"/v1/recipes/{number}"
    return answer


def _recipe(talk: Conversation) -> Response:
    return Response(
        Recipe.of(talk).model_dump_json(by_alias=True),
        media_type="application/json",
        headers={
            "ETag": tag(talk.version, talk.pantry.edition),
            "Cache-Control": "private, no-cache",
        },
    )


@router.get("", response_model=Listing, summary="List recipes", responses=answers() | _UNCHANGED)
def listing(
    kitchen: TheKitchen,
    words: Annotated[
        str | None,
        Query(
            max_length=200,
            pattern=r"^[^\x00-\x1f\x7f]*$",
            description="Only recipes whose title or words hold all of these.",
            examples=["porridge honey"],
        ),
    ] = None,
    after: Annotated[
        int | None, Query(ge=1, le=2_147_483_647, description="``next`` of the page before.")
    ] = None,
    limit: Annotated[int, Query(ge=1, le=_MOST)] = 50,
    if_none_match: IfNoneMatch = None,
) -> Response:
    """Recipes by number, the newest first, a page at a time."""
    found = page(kitchen.store, words=(words or "").split(), before=after, limit=limit)
    entries = [Entry.of(kept) for kept in found.recipes]
    text = Listing(
        recipes=entries, next=entries[-1].id if found.more and entries else None
    ).model_dump_json()
    headers = {"ETag": tag_of(text.encode()), "Cache-Control": "private, no-cache"}
    if fresh(if_none_match, headers["ETag"]):
        return Response(status_code=304, headers=headers)
    return Response(text, media_type="application/json", headers=headers)


@router.get(
    "/{id}",
    response_model=Recipe,
    summary="A recipe as it stands",
    responses=answers(404) | _UNCHANGED,
)
def recipe(number: Number, kitchen: TheKitchen, if_none_match: IfNoneMatch = None) -> Response:
    """The record, the words that it came from, and the open questions."""
    with kitchen.recipe(number) as talk:
        current = tag(talk.version, talk.pantry.edition)
        if fresh(if_none_match, current):
            return Response(
                status_code=304, headers={"ETag": current, "Cache-Control": "private, no-cache"}
            )
        return _recipe(talk)


@router.get(
    "/{id}/turns", response_model=Log, summary="Everything said", responses=answers(404)
)
def turns(
    number: Number,
    kitchen: TheKitchen,
    after: Annotated[int, Query(ge=0, le=1_000_000, description="Only later versions.")] = 0,
) -> Log:
    """The log: who said what when, the events that it came to, and whether it still stands."""
    with kitchen.recipe(number) as talk:
        return log_of(number, talk.turns, after)


@router.get(
    "/{id}/dictation", response_model=Dictated, summary="What was said", responses=answers(404)
)
def dictation(number: Number, kitchen: TheKitchen) -> Dictated:
    """The words that the figures point at, with their moments where the note had times."""
    with kitchen.recipe(number) as talk:
        return dictated(talk)


@router.get(
    "/{id}/versions", response_model=Versions, summary="The versions", responses=answers(404)
)
def versions(number: Number, kitchen: TheKitchen) -> Versions:
    """What made each version, the first note's first."""
    with kitchen.recipe(number) as talk:
        return Versions(
            recipe=number,
            versions=[
                Version(version=t.version, kind=t.kind, who=t.who, at=t.at, told=t.told())
                for t in talk.turns
            ],
        )


@router.get(
    "/{id}/versions/{version}",
    response_model=Recipe,
    summary="A recipe as it stood",
    responses=answers(404),
)
def version(number: Number, version: VersionNumber, kitchen: TheKitchen) -> Response:
    """The recipe at one of its versions."""
    with kitchen.recipe(number) as talk:
        try:
            return _recipe(at(talk, version))
        except KeyError:
            raise _no_version(number, version) from None


@router.get(
    "/{id}/differences",
    response_model=Difference,
    summary="What changed between two versions",
    responses=answers(404),
)
def difference(
    number: Number,
    kitchen: TheKitchen,
    before: Annotated[int, Query(ge=1, le=1_000_000, examples=[1])],
    after: Annotated[
        int | None, Query(ge=1, le=1_000_000, description="The last version if left out.")
    ] = None,
) -> Difference:
    """One line a change between the versions ``before`` and ``after``."""
    with kitchen.recipe(number) as talk:
        last = talk.version if after is None else after
        try:
            found = differences(at(talk, before), at(talk, last))
        except KeyError as missing:
            raise _no_version(number, missing.args[0]) from None
        return Difference(recipe=number, before=before, after=last, changes=found)


def _no_version(number: int, version: int) -> HTTPException:
    return HTTPException(404, f"recipe {number} has no version {version}.")


