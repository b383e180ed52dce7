"""What changed between two records, in plain lines. Pure."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence

from hobnote.asking.views import amount_words, step_line
from hobnote.nutrition import words
from hobnote.record import Bounds, Ingredient, Record, Step

Rows = Mapping[str, Ingredient]
Steps = Mapping[str, Step]


def changes(
    before: Record, after: Record, rows: tuple[Rows, Rows], steps: tuple[Steps, Steps]
) -> list[str]:
    """One line a change; rows and steps come by their keys, before and after."""
    return [
        *_dish(before, after),
        *_rows(*rows),
        *_parts(before, after, *rows),
        *_steps(*steps),
        *_energy(before, after),
    ]


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


def _parts(before: Record, after: Record, old: Rows, new: Rows) -> Iterator[str]:
    """Rows that belong elsewhere now, or stand elsewhere in their part."""
    was = {id(row): part.name for part in before.components for row in part.ingredients}
    now = {id(row): part.name for part in after.components for row in part.ingredients}
    stayed: dict[str, list[str]] = {}
    for key, row in new.items():
        if key not in old:
            continue
        part = now[id(row)]
        if was[id(old[key])] != part:
            yield f"{row.name}: now in the {part if part != 'main' else 'main part'}"
        else:
            stayed.setdefault(part, []).append(key)
    for keys in stayed.values():
        yield from _moves(list(old), keys, {key: new[key].name for key in keys})


def _moves(old: list[str], new: list[str], names: Mapping[str, str]) -> Iterator[str]:
    """The fewest moves that make one order the other; only keys in both are looked at."""
    places = {key: n for n, key in enumerate(old)}
    stay = _longest_rise([places[key] for key in new])
    for n, key in enumerate(new):
        if places[key] not in stay:
            after = f"before {names[new[n + 1]]}" if n + 1 < len(new) else "last"
            yield f"{names[key]}: now {after}"


def _longest_rise(order: Sequence[int]) -> set[int]:
    """The numbers of a longest rising subsequence (patience sorting)."""
    ends: list[int] = []  # the least last number of a rise of each length
    before: dict[int, int | None] = {}
    for number in order:
        length = bisect_left(ends, number)
        before[number] = ends[length - 1] if length else None
        ends[length : length + 1] = [number]
    found: set[int] = set()
    last = ends[-1] if ends else None
    while last is not None:
        found.add(last)
        last = before[last]
    return found


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
    both = [key for key in after if key in before]
    names = {key: f"“{after[key].text or after[key].verb}”" for key in both}
    yield from _moves(list(before), both, names)


def _detail(step: Step) -> tuple[object, ...]:
    minutes = None if step.minutes is None else (step.minutes.low, step.minutes.high)
    heat = step.heat, step.temperature_c, step.core_c
    return step.verb, step.text, step.component, heat, minutes, step.until, step.vessel


def _energy(before: Record, after: Record) -> Iterator[str]:
    old = before.nutrition.per_portion or before.nutrition.total
    new = after.nutrition.per_portion or after.nutrition.total
    a, b = old.get("energy_kcal"), new.get("energy_kcal")
    if b is not None and (a is None or words.kcal(a) != words.kcal(b)):
        per = "a portion" if after.nutrition.per_portion else "in all"
        yield f"energy: {words.kcal(b)} {per}"
