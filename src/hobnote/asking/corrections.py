"""Corrections by hand: a row, a step or the dish put right in place, as events. Pure.

Only what differs from the recipe as it stands becomes an event, so a form may
send all its fields back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, model_validator

from hobnote.asking.context import Context
from hobnote.asking.figures import asked_amount
from hobnote.asking.questions import Question
from hobnote.asking.settling import FOODS
from hobnote.asking.views import amount_words
from hobnote.following import events as ev
from hobnote.record import HeatLevel, Ingredient, Range, Record, Step

_PLAIN = r"^[^\x00-\x1f\x7f]*\w[^\x00-\x1f\x7f]*$"


def _words(longest: int) -> StringConstraints:
    return StringConstraints(
        strip_whitespace=True, min_length=1, max_length=longest, pattern=_PLAIN
    )


class _Fix(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class RowFix(_Fix):
    """An ingredient put right; None leaves a field as it is. ``amount`` is said in words."""

    kind: Literal["ingredient"] = "ingredient"
    key: str = Field(max_length=100)
    amount: Annotated[str, _words(200)] | None = None
    name: Annotated[str, _words(80)] | None = None
    component: Annotated[str, _words(60)] | None = None
    optional: bool | None = None
    gone: bool = False


class Minutes(Range):
    """How long, in minutes."""

    low: float = Field(ge=0, le=100_000)
    high: float = Field(ge=0, le=100_000)

    @model_validator(mode="after")
    def _in_order(self) -> Minutes:
        if self.low > self.high:
            raise ValueError("the shorter time comes first")
        return self


class StepFix(_Fix):
    """A step put right; None leaves a field as it is."""

    kind: Literal["step"] = "step"
    key: str = Field(max_length=100)
    text: Annotated[str, _words(500)] | None = None
    heat: HeatLevel | None = None
    temperature_c: float | None = Field(default=None, ge=-30, le=500)
    minutes: Minutes | None = None
    until: Annotated[str, _words(200)] | None = None
    gone: bool = False


class DishFix(_Fix):
    """The dish's name, or how many it serves."""

    kind: Literal["dish"] = "dish"
    title: Annotated[str, _words(120)] | None = None
    portions: float | None = Field(default=None, ge=0.01, le=100_000)


Fix = Annotated[RowFix | StepFix | DishFix, Field(discriminator="kind")]


class CannotCorrect(ValueError):
    """The correction was not understood, as one clear sentence."""


def told(fix: Fix, record: Record, row: Ingredient | None, step: Step | None) -> str:
    """The correction in words, for the log; these are the words that the figures point at."""
    if isinstance(fix, DishFix):
        parts = [
            *([f"title {fix.title}"] if fix.title not in (None, record.title) else []),
            *([f"serves {fix.portions:g}"] if fix.portions is not None else []),
        ]
        return ", ".join(parts) or "the dish stays as it is"
    if isinstance(fix, RowFix):
        words = [] if row is None else _row_words(fix, row)
        return f"{fix.key if row is None else row.name}: {', '.join(words) or 'stays as it is'}"
    number = "" if step is None else f" {step.number}"
    return f"step{number}: {', '.join(_step_words(fix, step)) or 'stays as it is'}"


def asked(fix: Fix) -> Question | None:
    """The question that a new amount would be the answer to."""
    if not isinstance(fix, RowFix) or fix.amount is None:
        return None
    return Question(
        id="correction",
        flag="",
        kind="missing amount",
        key=fix.key,
        ingredient=None,
        text="",
        options=(),
        matters=False,
    )


def fixed(fix: Fix, context: Context, row: Ingredient | None, step: Step | None) -> list[ev.Event]:
    """The events that ``fix`` comes to; none where nothing differs.

    Raises :class:`CannotCorrect` for an amount that is none.
    """
    if isinstance(fix, DishFix):
        return list(_dish(fix, context))
    if isinstance(fix, RowFix):
        return [] if row is None else list(_row(fix, row, context))
    return [] if step is None else list(_step(fix, step, context))


def _dish(fix: DishFix, context: Context) -> Iterator[ev.Event]:
    heard, record = context.heard(), context.record
    if fix.title not in (None, record.title):
        yield ev.Titled(title=str(fix.title), heard=heard)
    n = fix.portions
    if n is not None and (record.portions is None or record.portions.best != n):
        yield ev.Portioned(low=n, best=n, high=n, heard=heard)


def _row(fix: RowFix, row: Ingredient, context: Context) -> Iterator[ev.Event]:
    heard = context.heard()
    if fix.gone:
        yield ev.Dropped(key=fix.key, heard=heard)
        return
    if fix.amount is not None and fix.amount != amount_words(row.amount):
        yield from _amount(fix.amount, context)
    name = _new_name(fix, row)
    if name is not None:
        food = context.new_food(name)
        yield ev.Described(
            key=fix.key,
            name=food.name if food else name,
            state=food.state if food else None,
            preparation=food.preparation if food else (),
            heard=heard,
        )
        yield from (
            ev.Settled(flag=q.kind, key=fix.key)
            for q in context.questions
            if q.key == fix.key and q.kind in FOODS and q.kind == "mis-heard word"
        )
    here = context.row(fix.key)
    part = fix.component if here is None or fix.component != here.component else None
    optional = fix.optional if fix.optional != row.optional else None
    if part is not None or optional is not None:
        yield ev.Described(key=fix.key, component=part, optional=optional, heard=heard)


def _new_name(fix: RowFix, row: Ingredient) -> str | None:
    name = " ".join((fix.name or "").casefold().split())
    return name if name and name != row.name else None


def _amount(text: str, context: Context) -> tuple[ev.Event, ...]:
    outcome = asked_amount(context, text)
    if outcome is None:
        raise CannotCorrect(
            f"“{text}” is no amount that I understand; "
            "say it like 30 g, half a cup, 2 tbsp or a pinch."
        )
    if outcome.does != "change":
        raise CannotCorrect(" ".join(outcome.lines))
    return outcome.events


def _step(fix: StepFix, step: Step, context: Context) -> Iterator[ev.Event]:
    if fix.gone:
        yield ev.StepDropped(key=fix.key, heard=context.heard())
        return
    given = {
        name: value
        for name in ("text", "heat", "temperature_c", "minutes", "until")
        if (value := getattr(fix, name)) is not None and not _alike(value, getattr(step, name))
    }
    if isinstance(given.get("minutes"), Range):
        given["minutes"] = Range(low=given["minutes"].low, high=given["minutes"].high)
    if given:
        yield ev.StepChanged(key=fix.key, heard=context.heard(), **given)


def _alike(new: object, old: object) -> bool:
    if isinstance(new, Range) and isinstance(old, Range):
        return (new.low, new.high) == (old.low, old.high)
    return new == old


def _row_words(fix: RowFix, row: Ingredient) -> Iterator[str]:
    if fix.gone:
        yield "taken out"
        return
    if fix.amount is not None and fix.amount != amount_words(row.amount):
        yield fix.amount
    if _new_name(fix, row) is not None:
        yield f"it is {fix.name}"
    if fix.component is not None:
        yield f"for the {fix.component}"
    if fix.optional is not None and fix.optional != row.optional:
        yield "optional" if fix.optional else "not optional"


def _step_words(fix: StepFix, step: Step | None) -> Iterator[str]:
    if fix.gone:
        yield "taken out"
        return
    if fix.text is not None and (step is None or fix.text != step.text):
        yield fix.text
    if fix.heat is not None and (step is None or fix.heat != step.heat):
        yield f"{fix.heat} heat"
    if fix.temperature_c is not None and (step is None or fix.temperature_c != step.temperature_c):
        yield f"{fix.temperature_c:g} °C"
    if fix.minutes is not None and (step is None or not _alike(fix.minutes, step.minutes)):
        low, high = fix.minutes.low, fix.minutes.high
        yield f"{low:g} min" if low == high else f"{low:g}-{high:g} min"
    if fix.until is not None and (step is None or fix.until != step.until):
        yield f"until {fix.until.removeprefix('until ')}"
