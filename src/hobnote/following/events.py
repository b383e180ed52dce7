"""Events: what a dictation, an answer, a click or a correction says happened.

A note is a list of these; the record is their fold (``hobnote.following.tally``).
``key`` names an ingredient row or a step for the life of the recipe, so that a
later event can change it. Every event carries the words it came from.
"""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from hobnote.record import Amount, Claim, Heard, HeatLevel, Range


class _Event(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    heard: tuple[Heard, ...] = ()


class Named(_Event):
    """An ingredient row appears (or, for a known key, is described again)."""

    kind: Literal["named"] = "named"
    key: str
    name: str
    component: str = "main"
    state: str | None = None
    preparation: tuple[str, ...] = ()
    optional: bool = False
    swap_for: str | None = None
    condition: str | None = None


class Measured(_Event):
    """An amount for a row: ``set`` it, ``add`` to it, or say it ``also`` in another measure."""

    kind: Literal["measured"] = "measured"
    key: str
    amount: Amount
    how: Literal["set", "add", "also"] = "set"


class Related(_Event):
    """A row's amount is ``factor`` times another row's, whatever that comes to be."""

    kind: Literal["related"] = "related"
    key: str
    to: str
    factor: float
    said: str = ""


class Described(_Event):
    """More about a row; None leaves a field as it is."""

    kind: Literal["described"] = "described"
    key: str
    name: str | None = None
    state: str | None = None
    preparation: tuple[str, ...] = ()
    optional: bool | None = None
    component: str | None = None
    condition: str | None = None


class Mentioned(_Event):
    """A row was spoken of again; nothing about it changed."""

    kind: Literal["mentioned"] = "mentioned"
    key: str


class Dropped(_Event):
    """A row is taken out."""

    kind: Literal["dropped"] = "dropped"
    key: str


class Opened(_Event):
    """A part of the dish begins (dressing, topping); ``choice`` groups alternatives."""

    kind: Literal["opened"] = "opened"
    name: str
    choice: str | None = None
    optional: bool = False


class Stepped(_Event):
    """Something is done."""

    kind: Literal["stepped"] = "stepped"
    key: str
    verb: str
    text: str = ""
    component: str = "main"
    ingredients: tuple[str, ...] = ()
    vessel: str | None = None
    heat: HeatLevel | None = None
    temperature_c: float | None = None
    core_c: float | None = None
    minutes: Range | None = None
    until: str | None = None
    alongside: str | None = None


StepDetail = Literal["vessel", "heat", "temperature_c", "core_c", "minutes", "until"]
"""What a step may have or lack."""
STEP_DETAILS: tuple[StepDetail, ...] = get_args(StepDetail)


class StepChanged(_Event):
    """A step is refined; None leaves a field as it is. ``ingredients`` are added.

    What is ``cleared`` is taken away first.
    """

    kind: Literal["step changed"] = "step changed"
    key: str
    verb: str | None = None
    text: str | None = None
    component: str | None = None
    ingredients: tuple[str, ...] = ()
    vessel: str | None = None
    heat: HeatLevel | None = None
    temperature_c: float | None = None
    core_c: float | None = None
    minutes: Range | None = None
    until: str | None = None
    cleared: tuple[StepDetail, ...] = ()


class StepDropped(_Event):
    """A step is taken out."""

    kind: Literal["step dropped"] = "step dropped"
    key: str


class Moved(_Event):
    """A row or a step gets another place: before the one called ``before``, else the last.

    Rows are in order within their part of the dish, steps within the whole method.
    """

    kind: Literal["moved"] = "moved"
    what: Literal["row", "step"]
    key: str
    before: str | None = None


class Claimed(_Event):
    """A nutrition figure was stated about the dish."""

    kind: Literal["claimed"] = "claimed"
    claim: Claim


class Unclaimed(_Event):
    """A stated figure is taken back: no claim about this nutrient and scope stands."""

    kind: Literal["unclaimed"] = "unclaimed"
    nutrient: str
    scope: str


class Stated(_Event):
    """A worded claim ("high protein") was made about the dish."""

    kind: Literal["stated"] = "stated"
    claim: str


class Portioned(_Event):
    """How many the dish serves."""

    kind: Literal["portioned"] = "portioned"
    low: float
    best: float
    high: float


class Titled(_Event):
    """The dish has a name."""

    kind: Literal["titled"] = "titled"
    title: str


class SetAside(_Event):
    """Words that are not the recipe."""

    kind: Literal["set aside"] = "set aside"


class Misheard(_Event):
    """A word was probably mis-heard; the row ``key`` uses ``suggestion``."""

    kind: Literal["misheard"] = "misheard"
    word: str
    suggestion: str
    key: str | None = None


class Settled(_Event):
    """A question was answered, skipped or confirmed: the flag of this kind is not raised again."""

    kind: Literal["settled"] = "settled"
    flag: str
    key: str | None = None


Event = Annotated[
    Named
    | Measured
    | Related
    | Described
    | Mentioned
    | Dropped
    | Opened
    | Stepped
    | StepChanged
    | StepDropped
    | Moved
    | Claimed
    | Unclaimed
    | Stated
    | Portioned
    | Titled
    | SetAside
    | Misheard
    | Settled,
    Field(discriminator="kind"),
]

EVENTS: TypeAdapter[list[Event]] = TypeAdapter(list[Event])
