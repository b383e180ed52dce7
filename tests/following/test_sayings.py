"""Everyday sayings through reading: amounts, swaps, and which foods are rows at all.

The sentences are data, so that whoever meets a new way of saying it adds a line.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import hobnote
from hobnote.record import Ingredient, Step

DATA = Path(__file__).parent / "data"
TITLE = "This is the crew supper, serves four.\n\n"


def lines(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(row for row in file if not row.startswith("#")))


def ingredients(said: str) -> list[Ingredient]:
    record = hobnote.read(TITLE + said)
    return [i for c in record.components for i in c.ingredients]


def is_named(wanted: str, name: str) -> bool:
    """Whether one name is the other, or holds it, in the singular or the plural."""
    a, b = wanted.rstrip("s"), name.rstrip("s")
    return a in b or b in a


@pytest.mark.parametrize("line", lines("amounts.csv"), ids=lambda line: line["said"][:40])
def test_amounts(line: dict[str, str]) -> None:
    rows = [i for i in ingredients(line["said"]) if not i.swap_for]
    wanted = dict(part.split("=") for part in line["amounts"].split("|"))
    assert len(rows) == len(wanted)
    for name, text in wanted.items():
        number, _, unit = text.partition(" ")
        row = next((i for i in rows if is_named(name, i.name)), None)
        assert row is not None, name
        if not number:
            assert row.amount.basis in ("unsaid", "vague")
            continue
        assert row.amount.best == pytest.approx(float(number))
        assert not unit or row.amount.unit == unit


@pytest.mark.parametrize("line", lines("portions.csv"), ids=lambda line: line["said"][:40])
def test_portions(line: dict[str, str]) -> None:
    portions = hobnote.read(line["said"]).portions
    assert (portions.best if portions else None) == (float(line["portions"] or 0) or None)


@pytest.mark.parametrize("line", lines("swaps.csv"), ids=lambda line: line["said"][:40])
def test_swaps(line: dict[str, str]) -> None:
    offers = [(i.name, i.swap_for) for i in ingredients(line["said"]) if i.swap_for]
    assert any(
        is_named(line["offered"], new) and is_named(line["replaced"], old) for new, old in offers
    ), offers


@pytest.mark.parametrize("line", lines("rows.csv"), ids=lambda line: line["said"][:40])
def test_rows(line: dict[str, str]) -> None:
    rows = ingredients(line["said"])
    plain = [i.name for i in rows if not i.swap_for and not i.optional]
    for name in filter(None, line["rows"].split("|")):
        assert any(is_named(name, n) for n in plain), (name, plain)
    for name in filter(None, line["not_rows"].split("|")):
        assert not any(is_named(name, i.name) for i in rows), name
    for name in filter(None, line["optional"].split("|")):
        assert any(is_named(name, i.name) and i.optional for i in rows), name


def told(part: str) -> tuple[set[str], list[str], list[float]]:
    """Verbs, foods and minutes of one cell part ("fry/cook:onion+leek:8-10")."""
    verb, foods, minutes = (part + "::").split(":")[:3]
    bounds = [float(n) for n in minutes.split("-") if n]
    return set(verb.split("/")), [f for f in foods.split("+") if f], bounds


def is_told(step: Step, part: str) -> bool:
    """Whether ``step`` is what the cell says: the verb, these foods among its own, the minutes."""
    verb, foods, bounds = told(part)
    has_all = all(any(is_named(f, n) for n in step.ingredients) for f in foods)
    if step.verb not in verb or not has_all:
        return False
    if not bounds:
        return True
    minutes = step.minutes
    return minutes is not None and (minutes.low, minutes.high) == (bounds[0], bounds[-1])


@pytest.mark.parametrize("line", lines("steps.csv"), ids=lambda line: line["said"][:40])
def test_steps(line: dict[str, str]) -> None:
    steps = hobnote.read(TITLE + line["said"]).steps
    shown = [(s.verb, s.ingredients, s.minutes and (s.minutes.low, s.minutes.high)) for s in steps]
    left = list(steps)
    for part in filter(None, line["steps"].split("|")):
        at = next((i for i, s in enumerate(left) if is_told(s, part)), None)
        assert at is not None, (part, shown)
        left = left[at + 1 :]
    for verb in filter(None, line["not"].split("|")):
        assert all(s.verb != verb for s in steps), (verb, shown)


DISH = (
    "Lentil soup. Two hundred grams of lentils, an onion, a litre of stock. "
    "Simmer it for twenty minutes. "
)


@pytest.mark.parametrize("line", lines("eaters.csv"), ids=lambda line: line["said"][:40])
def test_eaters(line: dict[str, str]) -> None:
    portions = hobnote.read(DISH + line["said"]).portions
    if not line["eaters"]:
        assert portions is None
        return
    low, _, high = line["eaters"].partition("-")
    assert portions is not None
    assert (portions.low, portions.high) == (float(low), float(high or low))


@pytest.mark.parametrize("line", lines("parts.csv"), ids=lambda line: line["said"][:40])
def test_parts(line: dict[str, str]) -> None:
    record = hobnote.read(TITLE + line["said"])
    stands = [(c.name, i.name) for c in record.components for i in c.ingredients]
    for pair in line["rows"].split("|"):
        part, food = pair.split("=")
        assert any(is_named(part, p) and is_named(food, name) for p, name in stands), stands
