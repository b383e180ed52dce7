"""Figures in print: short, and never further from the truth than their last digit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.publishing import figures
from hobnote.record import Amount, Bounds, Range


@given(st.floats(min_value=0, max_value=1e6))
def test_a_number_is_within_half_of_its_last_digit(value):
    printed = float(figures.number(value).replace(",", ""))
    step = 10 if value >= 1000 else 1 if value >= 10 else 0.1 if value >= 1 else 0.01
    assert abs(printed - value) <= step / 2 + 1e-9


@pytest.mark.parametrize(
    ("value", "printed"),
    [(0, "0"), (0.25, "0.25"), (0.5, "0.5"), (7.04, "7"), (38.4, "38"), (1254.0, "1,250")],
)
def test_numbers(value, printed):
    assert figures.number(value) == printed


def test_bounds_say_their_width_only_where_it_shows():
    assert figures.bounds(Bounds(low=599, best=600, high=601)) == "600"
    assert figures.bounds(Bounds(low=10, best=15, high=30), unit="g") == "15 (10–30) g"
    assert figures.bounds(None) == "–"


@pytest.mark.parametrize(
    ("low", "high", "printed"),
    [(4, 5, "4–5 min"), (10, 10, "10 min"), (0.5, 0.75, "30–45 s"), (90, 120, "1½–2 h")],
)
def test_minutes(low, high, printed):
    assert figures.minutes(Range(low=low, high=high)) == printed


@pytest.mark.parametrize(
    ("amount", "printed"),
    [
        (Amount(low=1.5, best=1.5, high=1.5, unit="tbsp"), "1½ tbsp"),
        (
            Amount(low=2, best=3, high=3, unit="piece", noun="clove", size="large"),
            "2–3 large clove",
        ),
        (Amount(low=1 / 3, best=1 / 3, high=1 / 3, unit="cup"), "⅓ cup"),
        (Amount(low=250, best=250, high=250, unit="g"), "250 g"),
        (Amount(basis="vague", noun="pinch"), "pinch"),
        (Amount(), "not said"),
    ],
)
def test_amounts(amount, printed):
    assert figures.amount(amount) == printed
