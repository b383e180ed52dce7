"""A record as the events that would have told it, so that what was read from elsewhere can be
kept, talked about, corrected and undone like a dictation."""

from __future__ import annotations

from collections.abc import Iterator

from hobnote.following import events as ev
from hobnote.record import Component, Ingredient, Record, Step


def events_of_record(record: Record) -> list[ev.Event]:
    """Events whose tally is the record's list, method, portions and title.

    What is computed (foods, grams, nutrition, questions, allergens) is worked out anew.
    """
    return list(_events(record))


def _events(record: Record) -> Iterator[ev.Event]:
    if record.title:
        yield ev.Titled(title=record.title)
    if record.portions is not None:
        yield ev.Portioned(**record.portions.model_dump())
    keys: dict[str, list[str]] = {}
    for part in record.components:
        if part.name != "main" or part.choice or part.optional:
            yield ev.Opened(name=part.name, choice=part.choice, optional=part.optional)
        for row in part.ingredients:
            key = f"r{sum(map(len, keys.values())) + 1}"
            keys.setdefault(row.name, []).append(key)
            yield from _row(key, part, row)
    numbers = {step.number: f"s{place}" for place, step in enumerate(record.steps, start=1)}
    for step in record.steps:
        yield _step(step, numbers, keys)
    for claim in record.claims:
        yield ev.Claimed(claim=claim, heard=tuple(claim.heard))
    for stated in record.stated:
        yield ev.Stated(claim=stated.claim, heard=tuple(stated.heard))


def _row(key: str, part: Component, row: Ingredient) -> Iterator[ev.Event]:
    yield ev.Named(
        key=key,
        name=row.name,
        component=part.name,
        state=row.state,
        preparation=tuple(row.preparation),
        optional=row.optional,
        swap_for=row.swap_for,
        condition=row.condition,
        heard=tuple(row.heard),
    )
    if row.amount.basis != "unsaid":
        yield ev.Measured(key=key, amount=row.amount)
    if row.also is not None:
        yield ev.Measured(key=key, amount=row.also, how="also")


def _step(step: Step, numbers: dict[int, str], keys: dict[str, list[str]]) -> ev.Event:
    along = numbers.get(step.alongside) if step.alongside is not None else None
    return ev.Stepped(
        key=numbers[step.number],
        verb=step.verb,
        text=step.text,
        component=step.component,
        ingredients=tuple(key for name in step.ingredients for key in keys.get(name, ())),
        vessel=step.vessel,
        heat=step.heat,
        temperature_c=step.temperature_c,
        core_c=step.core_c,
        minutes=step.minutes,
        until=step.until,
        alongside=along,
        heard=tuple(step.heard),
    )
