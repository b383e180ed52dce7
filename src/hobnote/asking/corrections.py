"""Corrections by hand: a row, a step or the dish put right in place, as events. Pure.

Only what differs from the recipe as it stands becomes an event, so a form may
send all its fields back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, model_validator

from hobnote.asking.context import Context
from hobnote.asking.figures import asked_amount
from hobnote.asking.questions import Question
from hobnote.asking.settling import FOODS
from hobnote.asking.views import amount_words
from hobnote.following import events as ev
from hobnote.record import Amount, HeatLevel, Ingredient, Range, Record, Step

_PLAIN = r"^[^\x00-\x1f\x7f]*\w[^\x00-\x1f\x7f]*$"


def _words(longest: int) -> StringConstraints:
    return StringConstraints(
        strip_whitespace=True, min_length=1, max_length=longest, pattern=_PLAIN
    )


class _Fix(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class RowFix(_Fix):
    """An ingredient put right; None leaves a field as it is. ``amount`` is said in words.

    ``cleared`` takes away what was said: the amount is then open again.
    """

    kind: Literal["ingredient"] = "ingredient"
    key: str = Field(max_length=100)
    amount: Annotated[str, _words(200)] | None = None
    name: Annotated[str, _words(80)] | None = None
    component: Annotated[str, _words(60)] | None = None
    optional: bool | None = None
    cleared: tuple[Literal["amount"], ...] = Field(default=(), max_length=1)
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
    """A step put right; None leaves a field as it is, what is ``cleared`` is taken away."""

    kind: Literal["step"] = "step"
    key: str = Field(max_length=100)
    text: Annotated[str, _words(500)] | None = None
    component: Annotated[str, _words(60)] | None = None
    heat: HeatLevel | None = None
    temperature_c: float | None = Field(default=None, ge=-30, le=500)
    minutes: Minutes | None = None
    until: Annotated[str, _words(200)] | None = None
    cleared: tuple[Literal["heat", "temperature_c", "minutes", "until"], ...] = Field(
        default=(), max_length=4
    )
    gone: bool = False


class MoveFix(_Fix):
    """Another place for an ingredient or a step: before the one with the key ``before``.

    Without it, the last of its part of the dish (an ingredient) or of the method
    (a step). An ingredient joins the part of the one that it goes before.
    """

    kind: Literal["move"] = "move"
    what: Literal["ingredient", "step"]
    key: str = Field(max_length=100)
    before: str | None = Field(default=None, max_length=100)


class DishFix(_Fix):
    """The dish's name, or how many it serves."""

    kind: Literal["dish"] = "dish"
    title: Annotated[str, _words(120)] | None = None
    portions: float | None = Field(default=None, ge=0.01, le=100_000)


Fix = Annotated[RowFix | StepFix | MoveFix | DishFix, Field(discriminator="kind")]


_WITHOUT = {
    "heat": "no heat",
    "temperature_c": "no temperature",
    "minutes": "no time",
    "until": "no sign of its end",
}


class CannotCorrect(ValueError):
    """The correction was not understood, as one clear sentence."""


@dataclass(frozen=True, slots=True)
class Place:
    """What a correction is about: the ingredients and steps by key, and the dish."""

    record: Record
    rows: Mapping[str, Ingredient]
    steps: Mapping[str, Step]

    def check(self, fix: Fix) -> None:
        """Raises KeyError with the first key of ``fix`` that is not there."""
        if isinstance(fix, DishFix):
            return
        step = isinstance(fix, StepFix) or (isinstance(fix, MoveFix) and fix.what == "step")
        known: Mapping[str, object] = self.steps if step else self.rows
        before = fix.before if isinstance(fix, MoveFix) else None
        for key in (fix.key, before):
            if key is not None and key not in known:
                raise KeyError(key)

    def told(self, fix: Fix) -> str:
        """The correction in words, for the log; these are the words that the figures point at."""
        if isinstance(fix, DishFix):
            return _dish_words(fix, self.record)
        if isinstance(fix, MoveFix):
            where = "last" if fix.before is None else f"before {self._name(fix.what, fix.before)}"
            return f"{self._name(fix.what, fix.key)}: {where}"
        words = (
            _row_words(fix, self.rows[fix.key])
            if isinstance(fix, RowFix)
            else _step_words(fix, self.steps[fix.key])
        )
        return f"{self._name(fix.kind, fix.key)}: {', '.join(words) or 'stays as it is'}"

    def _name(self, what: str, key: str) -> str:
        return f"step {self.steps[key].number}" if what == "step" else self.rows[key].name

    def events(self, fix: Fix, context: Context) -> list[ev.Event]:
        """The events that ``fix`` comes to; none where nothing differs.

        Raises :class:`CannotCorrect` for an amount that is none.
        """
        if isinstance(fix, DishFix):
            return list(_dish(fix, context))
        if isinstance(fix, MoveFix):
            return list(_move(fix, self, context))
        if isinstance(fix, RowFix):
            return list(_row(fix, self.rows[fix.key], context))
        return list(_step(fix, self.steps[fix.key], context))


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


def _move(fix: MoveFix, place: Place, context: Context) -> Iterator[ev.Event]:
    heard = context.heard()
    if fix.key == fix.before:
        return
    if fix.what == "step":
        if _next(list(place.steps), fix.key) != fix.before:
            yield ev.Moved(what="step", key=fix.key, before=fix.before, heard=heard)
        return
    rows = context.known.rows
    here = rows[fix.key].component
    there = here if fix.before is None else rows[fix.before].component
    if there != here:
        yield ev.Described(key=fix.key, component=there, heard=heard)
    same = [key for key, row in rows.items() if row.component == here]
    if there != here or _next(same, fix.key) != fix.before:
        yield ev.Moved(what="row", key=fix.key, before=fix.before, heard=heard)


def _next(keys: Sequence[str], key: str) -> str | None:
    after = keys.index(key) + 1
    return keys[after] if after < len(keys) else None


def _dish_words(fix: DishFix, record: Record) -> str:
    parts = [
        *([f"title {fix.title}"] if fix.title not in (None, record.title) else []),
        *([f"serves {fix.portions:g}"] if fix.portions is not None else []),
    ]
    return ", ".join(parts) or "the dish stays as it is"


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
    if _emptied(fix, row):
        yield ev.Measured(key=fix.key, amount=Amount(), heard=heard)
    elif fix.amount is not None and fix.amount != amount_words(row.amount):
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


def _emptied(fix: RowFix, row: Ingredient) -> bool:
    return "amount" in fix.cleared and row.amount.basis != "unsaid"


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
        for name in ("text", "component", "heat", "temperature_c", "minutes", "until")
        if (value := getattr(fix, name)) is not None and not _alike(value, getattr(step, name))
    }
    if isinstance(given.get("minutes"), Range):
        given["minutes"] = Range(low=given["minutes"].low, high=given["minutes"].high)
    cleared = _cleared(fix, step)
    if given or cleared:
        yield ev.StepChanged(key=fix.key, heard=context.heard(), cleared=cleared, **given)


def _cleared(fix: StepFix, step: Step) -> tuple[ev.StepDetail, ...]:
    """What the step has and is to lose."""
    return tuple(name for name in fix.cleared if getattr(step, name) is not None)


def _alike(new: object, old: object) -> bool:
    if isinstance(new, Range) and isinstance(old, Range):
        return (new.low, new.high) == (old.low, old.high)
    return new == old


def _row_words(fix: RowFix, row: Ingredient) -> Iterator[str]:
    if fix.gone:
        yield "taken out"
        return
    if _emptied(fix, row):
        yield "no amount"
    elif fix.amount is not None and fix.amount != amount_words(row.amount):
        yield fix.amount
    if _new_name(fix, row) is not None:
        yield f"it is {fix.name}"
    if fix.component is not None:
        yield f"for the {fix.component}"
    if fix.optional is not None and fix.optional != row.optional:
        yield "optional" if fix.optional else "not optional"


def _step_words(fix: StepFix, step: Step) -> Iterator[str]:
    if fix.gone:
        yield "taken out"
        return
    if fix.text not in (None, step.text):
        yield str(fix.text)
    if fix.component not in (None, step.component):
        yield f"for the {fix.component}"
    if fix.heat not in (None, step.heat):
        yield f"{fix.heat} heat"
    if fix.temperature_c is not None and fix.temperature_c != step.temperature_c:
        yield f"{fix.temperature_c:g} °C"
    if fix.minutes is not None and not _alike(fix.minutes, step.minutes):
        low, high = fix.minutes.low, fix.minutes.high
        yield f"{low:g} min" if low == high else f"{low:g}-{high:g} min"
    if fix.until is not None and fix.until != step.until:
        yield f"until {fix.until.removeprefix('until ')}"
    for name in _cleared(fix, step):
        yield _WITHOUT[name]
