"""What changed between two records, in plain lines. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hobnote.asking.views import amount_words, step_line
from hobnote.nutrition import words
from hobnote.record import Bounds, Ingredient, Record, Step

Rows = Mapping[str, Ingredient]
Steps = Mapping[str, Step]


def changes(
    before: Record, after: Record, rows: tuple[Rows, Rows], steps: tuple[Steps, Steps]
) -> list[str]:
    """One line a change; rows and steps come by their keys, before and after."""
    return [*_dish(before, after), *_rows(*rows), *_steps(*steps), *_energy(before, after)]


def _dish(before: Record, after: Record) -> Iterator[str]:
    if before.title != after.title:
        yield f"title: {after.title or 'none'}"
    if before.portions != after.portions:
        now = "not known" if after.portions is None else words.span(after.portions, "").strip()
        yield f"portions: {now}"
    gone = [c for c in before.claims if not any(_same_claim(c, d) for d in after.claims)]
    new = [c for c in after.claims if not any(_same_claim(c, d) for d in before.claims)]
    yield from (f"claim taken back: {_claim(c)}" for c in gone)
    yield from (f"claim: {_claim(c)}" for c in new)


def _same_claim(a: object, b: object) -> bool:
    names = ("nutrient", "low", "high", "unit", "scope")
    return all(getattr(a, n) == getattr(b, n) for n in names)


def _claim(claim: object) -> str:
    low, high = getattr(claim, "low", 0.0), getattr(claim, "high", 0.0)
    figure = words.span(Bounds(low=low, best=low, high=high), str(getattr(claim, "unit", "")))
    return f"{figure} {getattr(claim, 'nutrient', '')}"


def _rows(before: Rows, after: Rows) -> Iterator[str]:
    for key, row in after.items():
        old = before.get(key)
        if old is None:
            instead = f" instead of {row.swap_for}" if row.swap_for else ""
            yield f"new: {row.name}{instead}, {amount_words(row.amount)}{_grams(row)}"
            continue
        if old.name != row.name:
            yield f"{old.name} is now {row.name}"
        if _amount(old) != _amount(row):
            yield f"{row.name}: {amount_words(row.amount)}{_grams(row)}"
        if old.optional != row.optional:
            yield f"{row.name}: {'optional' if row.optional else 'not optional'}"
    yield from (f"taken out: {row.name}" for key, row in before.items() if key not in after)


def _amount(row: Ingredient) -> tuple[object, ...]:
    a, also = row.amount, row.also
    second = None if also is None else (also.low, also.best, also.high, also.unit)
    return a.low, a.best, a.high, a.unit, a.basis, a.noun, second


def _grams(row: Ingredient) -> str:
    return f" ({words.grams(row.grams)})" if row.grams is not None else ""


def _steps(before: Steps, after: Steps) -> Iterator[str]:
    for key, step in after.items():
        old = before.get(key)
        if old is None or _detail(old) != _detail(step):
            yield f"step {step_line(step)}"
    yield from (f"step taken out: {s.text or s.verb}" for k, s in before.items() if k not in after)


def _detail(step: Step) -> tuple[object, ...]:
    minutes = None if step.minutes is None else (step.minutes.low, step.minutes.high)
    return step.verb, step.heat, step.temperature_c, step.core_c, minutes, step.until, step.vessel


def _energy(before: Record, after: Record) -> Iterator[str]:
    old = before.nutrition.per_portion or before.nutrition.total
    new = after.nutrition.per_portion or after.nutrition.total
    a, b = old.get("energy_kcal"), new.get("energy_kcal")
    if b is not None and (a is None or words.kcal(a) != words.kcal(b)):
        per = "a portion" if after.nutrition.per_portion else "in all"
        yield f"energy: {words.kcal(b)} {per}"
