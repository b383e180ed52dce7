"""A record that says exactly what a gold record says, to be spoilt by the tests."""

from collections.abc import Callable

import pytest

from hobnote.record import (
    Amount,
    Basis,
    Bounds,
    Claim,
    Component,
    Flag,
    Heard,
    Ingredient,
    Nutrition,
    Range,
    Record,
    Step,
)
from hobnote.scoring.gold import GoldIngredient, GoldStep, Note


def _amount(row: GoldIngredient) -> Amount:
    if row.amount and row.amount.unit in ("kcal", "kJ"):
        return Amount(low=50, best=55, high=60, unit="g", basis="energy")
    if row.amount:
        basis: Basis = {"g": "weighed", "kg": "weighed", "piece": "counted"}.get(
            row.amount.unit, "measured"
        )  # type: ignore[assignment]
        low, high = row.amount.low, row.amount.high
        return Amount(low=low, best=(low + high) / 2, high=high, unit=row.amount.unit, basis=basis)
    if row.relative:
        return Amount(low=1, best=1, high=1, unit="g", basis="relative")
    if row.vague:
        return Amount(low=1, best=2, high=3, unit="g", basis="vague")
    return Amount()


def _step(number: int, step: GoldStep) -> Step:
    minutes = Range(low=step.minutes[0], high=step.minutes[1]) if step.minutes else None
    return Step(
        number=number,
        text=step.verbs[0],
        verb=step.verbs[0],
        ingredients=step.ingredients,
        minutes=minutes,
        heat=step.heat,
        temperature_c=step.temperature_c,
        core_c=step.core_c,
    )


def _record(note: Note) -> Record:
    gold = note.gold
    parts: dict[str, Component] = {}
    flags: list[Flag] = []
    for row in gold.ingredients:
        part = parts.setdefault(row.component, Component(name=row.component))
        item = Ingredient(
            name=row.name, amount=_amount(row), optional=row.optional, swap_for=row.swap_for
        )
        if row.grams:
            low, high = row.grams
            item.grams = Bounds(low=low, best=(low + high) / 2, high=high)
        kind = "vague amount" if row.vague else "missing amount" if row.missing else None
        if kind:
            flags.append(Flag(id=f"f{len(flags)}", kind=kind, ingredient=row.name, question="?"))
            item.flags.append(flags[-1].id)
        part.ingredients.append(item)
    for miss in gold.mishearings:
        flags.append(
            Flag(
                id=f"f{len(flags)}",
                kind="mis-heard word",
                question="?",
                heard_word=miss.heard,
                suggestion=miss.meant,
            )
        )
    claims = [
        Claim(nutrient=c.nutrient, low=c.low, high=c.high, unit=c.unit, scope=c.scope)
        for c in gold.claims
    ]
    asides = [
        Heard(start=note.spoken.find(a), end=note.spoken.find(a) + len(a), text=a)
        for a in gold.asides
    ]
    nutrition = Nutrition()
    if gold.energy_kcal:
        low, high = gold.energy_kcal
        best = (low + high) / 2
        nutrition.total["energy_kcal"] = Bounds(low=low, best=best, high=high)
    portions = gold.portions
    return Record(
        portions=Bounds(low=portions, best=portions, high=portions) if portions else None,
        components=list(parts.values()),
        steps=[_step(i, s) for i, s in enumerate(gold.steps, 1)],
        claims=claims,
        flags=flags,
        asides=asides,
        nutrition=nutrition,
    )


@pytest.fixture(scope="session")
def perfect() -> Callable[[Note], Record]:
    """Make the record that agrees with a note's gold in everything."""
    return _record
