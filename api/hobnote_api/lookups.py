"""Foods, reading without keeping, and whether the service is well."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from hobnote import __version__
from hobnote.keeping.shelves import page
from hobnote.pantry.types import Food
from hobnote.reading import Dictation
from hobnote.record import Record
from hobnote_api.common import TheKitchen, TheSettings
from hobnote_api.kitchen import Kitchen
from hobnote_api.notes import Measures, Portions, body, note_of
from hobnote_api.problems import answers
from hobnote_api.shapes import FoodFound, FoodRow, Health

router = APIRouter()



@router.get("/healthz", response_model=Health, tags=["health"], summary="Does it answer?")
async def healthz() -> Health:
    """Whether the server answers."""
    return Health(status="ok", version=__version__)


@router.get(
    "/readyz",
    response_model=Health,
    tags=["health"],
    summary="Can it work?",
    responses={503: {"model": Health, "description": "Not yet, or not now."}},
)
def readyz(kitchen: TheKitchen, response: Response) -> Health:
    """Whether the language is loaded and the recipes can be reached."""
    page(kitchen.store, limit=1)
    if kitchen.ready.is_set():
        return Health(status="ok", version=__version__)
    response.status_code = 503
    return Health(status="starting", version=__version__)


@router.post(
    "/v1/read",
    response_model=Record,
    response_model_by_alias=True,
    tags=["reading"],
    summary="Read a note without keeping it",
    responses=answers(415),
    openapi_extra={"requestBody": body()},
)
async def read(
    request: Request,
    kitchen: TheKitchen,
    settings: TheSettings,
    portions: Annotated[Portions | None, Query()] = None,
    measures: Annotated[Measures | None, Query()] = None,
) -> Record:
    """Read a note: JSON with its text, or the note itself as the body.

    ``portions`` and ``measures`` may stand in the JSON or in the query;
    the JSON has precedence.
    """
    note, dictation = await note_of(request, settings.note)
    return await run_in_threadpool(
        _read, kitchen, dictation, note.portions or portions, note.measures or measures
    )


def _read(
    kitchen: Kitchen, dictation: Dictation, portions: float | None, measures: Measures | None
) -> Record:
    from hobnote.job import read_dictation  # the language pipeline loads with the first note

    return read_dictation(
        dictation, portions=portions, measures=measures, pantries=kitchen.pantry
    )


@router.get(
    "/v1/foods",
    response_model=FoodFound,
    tags=["foods"],
    summary="What a food's name means",
    responses=answers(),
)
def foods(
    kitchen: TheKitchen,
    name: Annotated[
        str,
        Query(
            min_length=1,
            max_length=200,
            pattern=r"^[^\x00-\x1f\x7f]*$",
            examples=["double cream"],
        ),
    ],
    measures: Annotated[Measures, Query(description="Whose names.")] = "uk",
    state: Annotated[
        str | None,
        Query(max_length=40, pattern=r"^[^\x00-\x1f\x7f]*$", examples=["cooked"]),
    ] = None,
) -> FoodFound:
    """The row of the composition table that a name means, own foods first."""
    pantry = kitchen.pantry(measures)
    match = pantry.match(name, state=state)
    others = match.alternatives or tuple(food for food, _ in match.runners_up)
    return FoodFound(
        name=name,
        food=_row(match.food) if match.food else None,
        match=match.score,
        why=match.why,
        sure=match.food is not None and match.score >= pantry.ASK_BELOW and not match.generic,
        others=[_row(food) for food in others],
    )


def _row(food: Food) -> FoodRow:
    return FoodRow(
        id=food.id,
        description=food.description,
        source=food.source,
        per_100g=dict(food.nutrients),
    )
