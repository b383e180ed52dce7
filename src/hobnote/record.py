"""The record: the shared vocabulary of every room of the house.

Only shapes live here, no rules. ``Record`` is the public contract printed by
``hobnote read FILE --format json``; its ``schema`` string rises when a field
changes its meaning. Grams are grams, energies kcal, times minutes,
temperatures degrees Celsius, offsets characters into the text as given.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Unit = Literal["g", "kg", "ml", "l", "tsp", "tbsp", "cup", "oz", "lb", "fl oz", "piece"]
Basis = Literal["weighed", "measured", "counted", "relative", "energy", "vague", "unsaid"]
HeatLevel = Literal["low", "medium-low", "medium", "medium-high", "high"]
ClaimNutrient = Literal["energy", "protein", "fat", "carbohydrate", "fibre"]
Verdict = Literal["agrees", "differs", "cannot be checked"]


class Part(BaseModel):
    """Base of every record shape: unknown fields are an error, copies are cheap."""

    model_config = ConfigDict(extra="forbid")


class Heard(Part):
    """The words that something was read from.

    ``text`` is exactly the input between ``start`` and ``end`` (characters,
    half open); ``at`` is the moment in seconds where the input carried times.
    """

    start: int
    end: int
    at: float | None = None
    text: str


class Bounds(Part):
    """A figure known to lie between ``low`` and ``high``; ``best`` is the likeliest."""

    low: float
    best: float
    high: float


class Range(Part):
    """A spoken range, ends included."""

    low: float
    high: float


class Amount(Part):
    """How much was said, in the unit that was said.

    ``low``, ``best`` and ``high`` are None only when ``basis`` is ``unsaid``.
    ``noun`` keeps the counted or vague word ("clove", "tin", "pinch"),
    ``size`` its adjective ("large", "heaped"). ``content_g`` is what one
    piece was said to hold ("a 400 g tin").
    """

    low: float | None = None
    best: float | None = None
    high: float | None = None
    unit: Unit | None = None
    basis: Basis = "unsaid"
    noun: str | None = None
    size: str | None = None
    said: str | None = None
    content_g: Bounds | None = None


class FoodRef(Part):
    """The composition row that an ingredient was matched to; ``match`` is 0 to 1."""

    id: str
    description: str
    match: float


class Use(Part):
    """One of several uses of a divided ingredient."""

    amount: Amount
    step: int | None = None
    heard: list[Heard] = Field(default_factory=list)


class Ingredient(Part):
    """One row of the ingredient list."""

    name: str
    amount: Amount = Field(default_factory=Amount)
    also: Amount | None = None
    grams: Bounds | None = None
    weight_source: str | None = None
    state: str | None = None
    preparation: list[str] = Field(default_factory=list)
    optional: bool = False
    swap_for: str | None = None
    condition: str | None = None
    food: FoodRef | None = None
    uses: list[Use] = Field(default_factory=list)
    heard: list[Heard] = Field(default_factory=list)
    flags: list[str] = Field(default_factory=list)
    nutrition: dict[str, Bounds] = Field(default_factory=dict)


class Component(Part):
    """A part of the dish (main, dressing, topping); ``choice`` groups alternatives."""

    name: str = "main"
    choice: str | None = None
    optional: bool = False
    ingredients: list[Ingredient] = Field(default_factory=list)


class Step(Part):
    """One thing done. ``text`` is a short instruction in kitchen words."""

    number: int
    text: str
    verb: str
    component: str = "main"
    ingredients: list[str] = Field(default_factory=list)
    vessel: str | None = None
    heat: HeatLevel | None = None
    temperature_c: float | None = None
    core_c: float | None = None
    minutes: Range | None = None
    until: str | None = None
    alongside: int | None = None
    heard: list[Heard] = Field(default_factory=list)


class Claim(Part):
    """A figure that the cook stated about the dish, beside what we compute."""

    nutrient: ClaimNutrient
    low: float
    high: float
    unit: Literal["kcal", "kJ", "g"]
    scope: str = "portion"
    computed: Bounds | None = None
    verdict: Verdict = "cannot be checked"
    reason: str | None = None
    heard: list[Heard] = Field(default_factory=list)


class StatedClaim(Part):
    """A worded claim ("high protein") judged by a published rule."""

    claim: str
    rule: str
    met: bool | None
    reason: str
    heard: list[Heard] = Field(default_factory=list)


class Flag(Part):
    """Something left open: what to ask and what settling it would change.

    ``kind`` is one of: vague amount, missing amount, unmatched food, unsure
    food, generic food, mis-heard word, measures disagree, unlikely amount,
    frying oil, missing portions, missing temperature, low temperature, claim differs.
    """

    id: str
    kind: str
    ingredient: str | None = None
    question: str
    effect_kcal: Range | None = None
    effect_sodium_mg: Range | None = None
    suggestion: str | None = None
    heard_word: str | None = None
    options: list[str] = Field(default_factory=list)
    heard: list[Heard] = Field(default_factory=list)


class Allergen(Part):
    """An allergen in the dish. ``regimes`` names the lists ("EU", "US") that hold it."""

    name: str
    regimes: list[str]
    certainty: Literal["contains", "may contain"] = "contains"
    ingredients: list[str] = Field(default_factory=list)
    words: list[str] = Field(default_factory=list)


class Caution(Part):
    """A short safety note, its source, and why it applies here."""

    topic: str
    text: str
    source: str
    because: list[str] = Field(default_factory=list)


class Nutrition(Part):
    """Computed figures. Keys end in their unit (``energy_kcal``, ``protein_g``)."""

    total: dict[str, Bounds] = Field(default_factory=dict)
    per_portion: dict[str, Bounds] | None = None
    per_100g: dict[str, Bounds] | None = None
    likely: dict[str, Range] = Field(default_factory=dict)
    components: dict[str, dict[str, Bounds]] = Field(default_factory=dict)
    optional: dict[str, dict[str, Bounds]] = Field(default_factory=dict)
    missing: list[str] = Field(default_factory=list)
    weight_g: Bounds | None = None
    scores: dict[str, object] = Field(default_factory=dict)
    summary: str | None = None


class Record(Part):
    """A structured recipe, as dictated so far."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    schema_: str = Field(default="hobnote/record@1", alias="schema")
    title: str | None = None
    measures: str | None = None
    portions: Bounds | None = None
    components: list[Component] = Field(default_factory=list)
    steps: list[Step] = Field(default_factory=list)
    claims: list[Claim] = Field(default_factory=list)
    stated: list[StatedClaim] = Field(default_factory=list)
    flags: list[Flag] = Field(default_factory=list)
    asides: list[Heard] = Field(default_factory=list)
    nutrition: Nutrition = Field(default_factory=Nutrition)
    allergens: list[Allergen] = Field(default_factory=list)
    cautions: list[Caution] = Field(default_factory=list)
    warnings: list[str] = Field(default_factory=list)
