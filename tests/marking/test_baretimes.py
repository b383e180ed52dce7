"""Times whose unit was left out, and numbers that are no times."""

from __future__ import annotations

import pytest

from hobnote.marking.marks import TIME, marks
from hobnote.marking.pipeline import mark


def times(text: str) -> list[tuple[float, float]]:
    """Minutes of every time."""
    return [(m.value.low, m.value.high) for doc, _ in mark(text) for m in marks(doc, TIME)]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("Let it rest ten.", (10, 10)),
        ("Simmer for fifteen.", (15, 15)),
        ("Rest fifteen, covered.", (15, 15)),
    ],
)
def test_a_bare_number_after_a_verb_that_takes_time(
    text: str, minutes: tuple[float, float]
) -> None:
    assert times(text)[-1] == minutes


@pytest.mark.parametrize(
    "text", ["Fry two onions.", "Bake twelve of them.", "Cook at 180 degrees."]
)
def test_a_number_that_counts_something_else(text: str) -> None:
    assert times(text) == []


def test_a_longer_time_said_with_a_doubt() -> None:
    assert times("Bake it forty minutes, forty-five maybe.") == [(40, 40), (45, 45)]
    assert times("Bake it forty minutes, 45 g of butter.") == [(40, 40)]


def test_another_number_soon_after_a_time() -> None:
    assert times("Roast it fifteen minutes, and another twenty-five.") == [(15, 15), (25, 25)]
    assert times("Add another two.") == []


def test_a_number_off_the_heat() -> None:
    assert (10, 10) in times("Thirty minutes and ten off the heat.")
