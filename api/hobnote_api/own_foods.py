"""The cook's own foods over HTTP: from a label's figures, preferred over the table."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Path, Response
from pydantic import BaseModel, ConfigDict, Field

from hobnote.keeping.foods import NoSuchFood, OwnFoods
from hobnote.pantry.own import Label, LabelError, OwnFood, from_label
from hobnote_api.common import TheKitchen
from hobnote_api.problems import answers
from hobnote_api.shapes import Shape

router = APIRouter(prefix="/v1/own-foods", tags=["foods"])

Name = Annotated[
    str,
    Path(
        min_length=1,
        max_length=80,
        pattern=r"^[^\x00-\x1f\x7f/]*[A-Za-z0-9][^\x00-\x1f\x7f/]*$",
        examples=["crew bar"],
    ),
]
Figure = Annotated[float | None, Field(ge=0, le=100_000)]


def foods_of(kitchen: TheKitchen) -> OwnFoods:
    """The foods of the kitchen's store."""
    return OwnFoods(kitchen.store.engine)


TheFoods = Annotated[OwnFoods, Depends(foods_of)]


class OwnFoodShape(Shape):
    """A food of the cook's own, per 100 g; what is not there is unknown."""

    name: str
    per_100g: dict[str, float]
    serving_g: float | None
    density_g_ml: float | None
    note: str

    @classmethod
    def of(cls, food: OwnFood) -> OwnFoodShape:
        return cls(
            name=food.name,
            per_100g=dict(food.figures),
            serving_g=food.serving_g,
            density_g_ml=food.density_g_ml,
            note=food.note,
        )


class OwnFoodsShape(Shape):
    """Every food of the cook's own, by name."""

    foods: list[OwnFoodShape]


class LabelShape(BaseModel):
    """What a label says for ``per`` grams, or millilitres with ``per_ml`` and a density.

    ``available_g`` is carbohydrate without fibre, as European labels print it.
    """

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        json_schema_extra={
            "examples": [
                {
                    "per": 100,
                    "energy_kcal": 380,
                    "protein_g": 9,
                    "fat_g": 9.5,
                    "available_g": 62,
                    "fibre_g": 6,
                    "salt_g": 0.4,
                    "serving_g": 30,
                }
            ]
        },
    )

    per: float = Field(default=100, gt=0, le=100_000)
    per_ml: bool = False
    density_g_ml: Annotated[float | None, Field(gt=0, le=25)] = None
    serving_g: Annotated[float | None, Field(gt=0, le=100_000)] = None
    energy_kcal: Figure = None
    energy_kj: Figure = None
    protein_g: Figure = None
    fat_g: Figure = None
    saturates_g: Figure = None
    available_g: Figure = None
    carbohydrate_g: Figure = None
    sugars_g: Figure = None
    fibre_g: Figure = None
    polyols_g: Figure = None
    alcohol_g: Figure = None
    salt_g: Figure = None
    sodium_mg: Figure = None
    note: str = Field(default="", max_length=200, pattern=r"^[^\x00-\x1f\x7f]*$")


@router.get("", response_model=OwnFoodsShape, summary="Own foods", responses=answers())
def listed(foods: TheFoods) -> OwnFoodsShape:
    """Every food of the cook's own, by name."""
    return OwnFoodsShape(foods=[OwnFoodShape.of(food) for food in foods])


@router.put(
    "/{name}",
    response_model=OwnFoodShape,
    summary="Keep a food of your own",
    responses=answers() | {201: {"model": OwnFoodShape, "description": "It is new."}},
)
def keep(name: Name, label: LabelShape, foods: TheFoods, response: Response) -> OwnFoodShape:
    """Keep it, over one of the same name; 422 for a label that cannot be right.

    Every recipe that names it is weighed with it from now on.
    """
    figures = label.model_dump(exclude={"note"})
    try:
        food = from_label(name, Label(**figures), label.note)
    except LabelError as problem:
        raise HTTPException(422, f"{problem}.") from None
    if foods.save(food):
        response.status_code = 201
    return OwnFoodShape.of(food)


@router.delete(
    "/{name}", status_code=204, summary="Forget a food of your own", responses=answers(404)
)
def forget(name: Name, foods: TheFoods) -> None:
    """Forget it; recipes go back to the table."""
    try:
        foods.remove(name)
    except NoSuchFood:
        raise HTTPException(404, "you have no food of that name.") from None
