"""Everyday sayings through reading: amounts, swaps, and which foods are rows at all.

The sentences are data, so that whoever meets a new way of saying it adds a line.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import hobnote
from hobnote.record import Ingredient

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
