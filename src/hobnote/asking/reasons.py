"""Where a figure came from: the words that were said of a row, a step or a claim."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from hobnote.asking.context import Context
from hobnote.asking.frames import Frame
from hobnote.asking.lookups import ingredient_of, nutrients_in
from hobnote.asking.outcomes import Outcome, look, unclear
from hobnote.asking.views import amount_words, step_line
from hobnote.marking.marks import (
    AMOUNT,
    HEAT,
    TEMPERATURE,
    TIME,
    HeatValue,
    TemperatureValue,
    TimeValue,
)
from hobnote.nutrition import words
from hobnote.record import Heard, Ingredient, Range, Step


def why(frame: Frame, context: Context) -> Outcome | None:
    """ "why 30 grams?": the words that a figure came from."""
    about = frame.slots.get("about")
    if about is None:
        question = context.asked
        if question is None:
            return unclear("Ask, for example: why 30 grams? what did I say about the butter?")
        row = context.row(question.key)
        lines = [question.text]
        item = ingredient_of(row, context) if row is not None else None
        if item is not None:
            lines += _explained(item)
        return look(*lines)
    named = bool(context.foods(about)) or not _amounts(about, context)
    rows_ = context.rows_named(about) if named else []
    found = [ingredient_of(r, context) for r in rows_]
    if not found:
        found = list(_of_amount(about, context))
    lines = [line for item in found if item is not None for line in _explained(item)]
    lines = lines or list(_claimed(about, context)) or list(_done(about, context))
    return look(*lines) if lines else None


def _claimed(text: str, context: Context) -> Iterator[str]:
    """The stated figures about a nutrient that ``text`` names."""
    named = nutrients_in(text)
    for claim in context.record.claims:
        if any(key.startswith(claim.nutrient) for key in named):
            unit = f"{words.span(Range(low=claim.low, high=claim.high), claim.unit)}"
            yield f"{claim.nutrient}: {unit} a {claim.scope}, as you said."
            yield from _said_lines(claim.heard)


def _done(text: str, context: Context) -> Iterator[str]:
    """The steps with the time, heat or temperature of ``text``."""
    for _, _, mark in context.marks(text, TIME, HEAT, TEMPERATURE):
        for item in context.record.steps:
            if _same_figure(mark.value, item):
                yield step_line(item)
                yield from _said_lines(item.heard)
    for best, unit, noun in _amounts(text, context):
        for item in context.record.steps if unit is None and noun is None else ():
            minutes = (item.minutes.low, item.minutes.high) if item.minutes else ()
            if best in (item.temperature_c, item.core_c, *minutes):
                yield step_line(item)
                yield from _said_lines(item.heard)


def _same_figure(value: object, item: Step) -> bool:
    if isinstance(value, TimeValue):
        return item.minutes is not None and (item.minutes.low, item.minutes.high) == (
            value.low, value.high
        )  # fmt: skip
    if isinstance(value, TemperatureValue):
        return round(value.celsius) in (item.temperature_c, item.core_c)
    return isinstance(value, HeatValue) and value.level is not None and value.level == item.heat


def _amounts(text: str, context: Context) -> list[tuple[float, str | None, str | None]]:
    return [
        (m.value.best, m.value.unit, m.value.noun)
        for _, _, m in context.marks(text, AMOUNT)
        if not m.value.article and m.value.vague is None
    ]


def _of_amount(text: str, context: Context) -> Iterable[Ingredient]:
    """The rows whose amount or weight is the one in ``text``, or who have its vague word."""
    vague = {m.value.vague for _, _, m in context.marks(text, AMOUNT) if m.value.vague}
    for part in context.record.components:
        yield from (row for row in part.ingredients if row.amount.noun in vague)
    for best, unit, noun in _amounts(text, context):
        for part in context.record.components:
            for row in part.ingredients:
                a = row.amount
                said = a.best == best and (a.unit == unit or (unit is None)) and (
                    noun is None or a.noun == noun
                )
                weighed = unit == "g" and row.grams is not None and (
                    abs(row.grams.best - best) < 0.5
                )
                if said or weighed:
                    yield row


def _explained(row: Ingredient) -> list[str]:
    grams = f", {words.grams(row.grams)}" if row.grams is not None else ""
    source = f" ({row.weight_source})" if row.weight_source else ""
    lines = [f"{row.name}: {amount_words(row.amount)}{grams}{source}."]
    return [*lines, *_said_lines(row.heard)]


def _said_lines(heard: Sequence[Heard]) -> list[str]:
    return [f"  You said{_moment(h)}: “{' '.join(h.text.split())}”" for h in _once(heard)]


def _moment(heard: Heard) -> str:
    if heard.at is None:
        return ""
    return f" at {int(heard.at) // 60}:{int(heard.at) % 60:02d}"


def _once(heard: Sequence[Heard]) -> list[Heard]:
    found: dict[str, Heard] = {}
    for h in heard:
        found.setdefault(" ".join(h.text.split()).casefold(), h)
    return list(found.values())
