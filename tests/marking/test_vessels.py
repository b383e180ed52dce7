"""Vessels and machines, and containers that only hold an amount."""

from __future__ import annotations

import pytest

from hobnote.marking.marks import VESSEL, marks
from hobnote.marking.pipeline import mark


def vessels(text: str) -> list[str]:
    """The plain names of the vessels."""
    return [str(m.value) for doc, _ in mark(text) for m in marks(doc, VESSEL)]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Into a roasting tin.", "roasting tin"),
        ("Put it in the fridge.", "fridge"),
        ("A big skillet, medium heat.", "frying pan"),
        ("Blitz it in the food processor.", "food processor"),
        ("On the barbie for ten minutes.", "barbecue"),
    ],
)
def test_vessels_have_plain_names(text: str, name: str) -> None:
    assert vessels(text) == [name]


def test_a_pot_of_yoghurt_is_an_amount_but_a_pan_of_water_a_vessel() -> None:
    assert "jar" not in vessels("a jam jar of honey")
    assert vessels("a pan of boiling water") == ["pan"]
