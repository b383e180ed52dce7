"""Long work over HTTP: begun with 202, then followed as server-sent events, or looked at."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from contextlib import aclosing
from datetime import datetime
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Header, HTTPException, Path, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import StreamingResponse

from hobnote.planning.entry import entry
from hobnote.planning.wishes import Wishes, band
from hobnote.reading import Dictation, ReadingError, read_text
from hobnote_api.common import (
    Caller,
    IfNoneMatch,
    TheKitchen,
    TheOperations,
    TheSettings,
    fresh,
    tag_of,
)
from hobnote_api.kitchen import Kitchen
from hobnote_api.notes import Note, Who, begun
from hobnote_api.problems import Problem, answers, problem_body
from hobnote_api.shapes import Shape
from hobnote_api.work import ENDED, Operation, Operations, Outcome, Status, full, told

router = APIRouter(tags=["long work"])
STREAM = "text/event-stream"
_NOTES = 200

Key = Annotated[
    str | None,
    Header(
        min_length=1,
        max_length=200,
        description="The same key and note give the same recipe, however often they are sent.",
    ),
]
Id = Annotated[
    str, Path(pattern="^[0-9a-f]{32}$", description="What the operation was called at its begin.")
]


class OutcomeShape(Shape):
    """What became of one note of a batch, by its place from 0."""

    place: int
    recipe: int | None = None
    problem: str | None = None


class OperationShape(Shape):
    """Long work at one moment. ``change`` counts its changes; ``done`` of ``total`` ``unit``."""

    id: str
    kind: Literal["note", "batch", "plan"]
    begun: datetime
    change: int
    state: Literal["waiting", "working", "done", "failed", "stopped"]
    stage: str
    done: int
    total: int
    unit: Literal["characters", "notes", "stages"]
    recipes: list[int]
    outcomes: list[OutcomeShape]
    plan: dict[str, Any] | None
    problem: Problem | None

    @classmethod
    def of(cls, now: Status) -> OperationShape:
        return cls(
            id=now.id,
            kind=now.kind,
            begun=now.begun,
            change=now.change,
            state=now.state,
            stage=now.stage,
            done=now.done,
            total=now.total,
            unit=now.unit,
            recipes=list(now.recipes),
            outcomes=[
                OutcomeShape(place=o.place, recipe=o.recipe, problem=o.problem)
                for o in now.outcomes
            ],
            plan=now.plan,
            problem=None
            if now.problem is None
            else Problem(**problem_body(now.code or 500, now.problem)),
        )


class Batch(BaseModel):
    """Several notes; one that cannot be read stops no other."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"notes": [{"text": "90 g oats, stirred"}, {"text": "two eggs, fried"}]}]
        },
    )

    notes: list[Note] = Field(min_length=1, max_length=_NOTES)


_Word = Annotated[str, Field(min_length=1, max_length=60)]


class PlanWish(BaseModel):
    """What a plan is to be like; bands as in ``hobnote plan``: "2200±100", "140+", "<6"."""

    model_config = ConfigDict(
        extra="forbid",
        strict=True,  # "7" and true are no numbers of days
        json_schema_extra={
            "examples": [{"days": 2, "meals": ["supper"], "bands": {"protein": "20+"}}]
        },
    )

    days: int = Field(default=7, ge=1, le=31)
    meals: list[_Word] = Field(default=["lunch", "supper"], min_length=1, max_length=6)
    bands: dict[_Word, _Word] = Field(default={}, max_length=8)
    repeats: int = Field(default=2, ge=1, le=31)
    people: int = Field(default=1, ge=1, le=1_000)
    avoid: list[_Word] = Field(default=[], max_length=20)
    use: dict[_Word, Annotated[float, Field(gt=0, le=1_000_000)]] = Field(
        default={}, max_length=20
    )
    suits: dict[_Word, list[int]] = Field(default={}, max_length=6)
    seconds: float = Field(default=20, gt=0, le=60, description="How long to search at most.")
    who: Who | None = None

    def wishes(self) -> Wishes:
        """As the planner takes them. Raises PlanningError."""
        return Wishes(
            days=self.days,
            meals=tuple(self.meals),
            bands=tuple(band(name, text) for name, text in self.bands.items()),
            repeats=self.repeats,
            people=self.people,
            avoid=tuple(self.avoid),
            pantry=dict(self.use),
            suits={meal: frozenset(ids) for meal, ids in self.suits.items()},
        )


ACCEPTED: dict[int | str, dict[str, Any]] = {
    202: {
        "model": OperationShape,
        "description": "Begun; ``Location`` says where to look, ``Location``/events to follow.",
    }
}


def accepted(operation: Operation) -> Response:
    """202 with where to look."""
    answer = _shown(operation.status)
    answer.status_code = 202
    answer.headers["Location"] = f"/v1/operations/{operation.status.id}"
    return answer


def _shown(now: Status) -> Response:
    body = OperationShape.of(now).model_dump_json()
    headers = {"ETag": tag_of(body.encode()), "Cache-Control": "private, no-cache"}
    if now.state not in ENDED:
        headers["Retry-After"] = "1"
    return Response(body, media_type="application/json", headers=headers)


def begin_note(
    operations: Operations,
    kitchen: Kitchen,
    note: Note,
    dictation: Dictation,
    who: str,
    caller: str,
    key: str | None = None,
) -> Operation:
    """Read a note into a recipe beside the requests."""

    def work(operation: Operation) -> None:
        operation.change(stage="reading")
        number, _ = begun(
            kitchen, note, dictation, who, caller, key, progress=operation.progress
        )
        operation.change(stage="weighing", recipes=(number,))
        with kitchen.recipe(number) as talk:
            _ = talk.record

    whole = len(dictation.spoken)
    return operations.begin("note", work, text=note.text, total=whole, unit="characters")


@router.post(
    "/v1/batches",
    status_code=202,
    response_model=OperationShape,
    summary="Begin recipes from several notes",
    responses=answers() | ACCEPTED,
)
def batch(
    sent: Batch,
    kitchen: TheKitchen,
    operations: TheOperations,
    settings: TheSettings,
    caller: Caller,
    idempotency_key: Key = None,
) -> Response:
    """Read and keep each note; follow the operation for which became what.

    A batch that is sent again with the same ``Idempotency-Key`` makes no recipe twice.
    """
    for place, note in enumerate(sent.notes):
        if len(note.text) > settings.note:
            raise HTTPException(413, f"note {place} is too long; give at most {settings.note:,}.")

    def one(operation: Operation, place: int, note: Note) -> Outcome:
        key = None if idempotency_key is None else f"{idempotency_key} {place}"
        try:
            dictation = read_text(note.text, f"note {place}")
            number, _ = begun(
                kitchen,
                note,
                dictation,
                note.who or caller,
                caller,
                key,
                progress=lambda done, total: operation.go_on(),
            )
        except (ReadingError, HTTPException) as problem:
            return Outcome(place, problem=told(problem)[1])
        return Outcome(place, recipe=number)

    def work(operation: Operation) -> None:
        outcomes: list[Outcome] = []
        for place, note in enumerate(sent.notes):
            operation.go_on()
            outcomes.append(one(operation, place, note))
            operation.change(
                stage="reading",
                done=place + 1,
                outcomes=tuple(outcomes),
                recipes=tuple(o.recipe for o in outcomes if o.recipe is not None),
            )

    return accepted(operations.begin("batch", work, total=len(sent.notes), unit="notes"))


@router.post(
    "/v1/plans",
    status_code=202,
    response_model=OperationShape,
    summary="Plan some days from the kept recipes",
    responses=answers() | ACCEPTED,
)
def plan(wish: PlanWish, kitchen: TheKitchen, operations: TheOperations) -> Response:
    """Choose recipes and portions as ``hobnote plan`` does; the operation holds the plan."""

    def work(operation: Operation) -> None:
        from hobnote.planning.report import plan_data
        from hobnote.planning.shopping import shopping
        from hobnote.planning.solver import Effort, plan_week

        wishes = wish.wishes()
        operation.change(stage="looking at the recipes")
        entries = [entry(one) for one in kitchen.shelf.recipes()]
        operation.go_on()
        operation.change(stage="planning", done=1)
        found = plan_week(entries, wishes, Effort(seconds=wish.seconds))
        operation.go_on()
        operation.change(stage="writing the list", done=2)
        items = shopping(entries, found.batches, wishes.pantry)
        operation.change(plan=json.loads(json.dumps(plan_data(found, items))), done=3)

    return accepted(operations.begin("plan", work, total=3, unit="stages"))


@router.get(
    "/v1/operations/{id}",
    response_model=OperationShape,
    summary="How far long work is",
    responses=answers(404) | {304: {"description": "Nothing has changed."}},
)
def operation(
    id: Id, operations: TheOperations, if_none_match: IfNoneMatch = None
) -> Response:
    """State, progress and, at its end, what it came to; known for a while after that."""
    answer = _shown(operations.find(id).status)
    if fresh(if_none_match, answer.headers["ETag"]):
        kept = {name: answer.headers[name] for name in ("ETag", "Cache-Control")}
        return Response(status_code=304, headers=kept)
    return answer


@router.get(
    "/v1/operations/{id}/events",
    response_class=Response,
    summary="Follow long work",
    responses=answers(404)
    | {
        200: {
            "description": "Server-sent events: `id` is the number of the change, `event` the "
            "state, `data` the operation as one line of JSON. A comment comes where nothing "
            "happens for a while. The stream ends with the operation.",
            "content": {
                STREAM: {
                    "schema": {"type": "string"},
                    "example": 'id: 7\nevent: working\ndata: {"id": "5f0c…", "done": 48000}\n\n',
                }
            },
        },
        204: {"description": "It has ended, and its last change was seen: do not come back."},
    },
)
async def events(
    id: Id,
    operations: TheOperations,
    last_event_id: Annotated[
        str | None,
        Header(
            max_length=40,
            description="The `id` of the last event that was seen; what came after is sent.",
        ),
    ] = None,
) -> Response:
    """Every change as it happens; one who comes back hears the latest that was missed."""
    found = operations.find(id)
    text = (last_event_id or "").strip()
    seen = int(text) if text.isascii() and text.isdigit() else 0
    if found.status.state in ENDED and seen >= found.status.change:
        return Response(status_code=204)
    if operations.crowded:
        raise full("too many follow already; look at the operation itself instead.")

    async def stream() -> AsyncIterator[str]:
        yield "retry: 2000\n\n"
        async with aclosing(operations.follow(found, seen)) as changes:
            async for change in changes:
                yield _event(change)

    headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
    return StreamingResponse(stream(), media_type=STREAM, headers=headers)


def _event(now: Status | None) -> str:
    if now is None:
        return ": nothing new\n\n"
    data = OperationShape.of(now).model_dump_json()
    return f"id: {now.change}\nevent: {now.state}\ndata: {data}\n\n"


@router.delete(
    "/v1/operations/{id}",
    response_model=OperationShape,
    summary="Stop long work",
    responses=answers(404),
)
async def stop(id: Id, operations: TheOperations) -> Response:
    """Stop it where it can; recipes that a batch has made stay. One that has ended stays so."""
    found = operations.find(id)
    await run_in_threadpool(found.stop)
    return _shown(found.status)
