"""The likely band against a Monte Carlo run of the same triangles."""

import random

import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.likely import likely, moments
from hobnote.record import Bounds


def drawn(figures: list[Bounds], runs: int = 20_000) -> tuple[float, float]:
    rng = random.Random(7)
    sums = sorted(sum(rng.triangular(f.low, f.high, f.best) for f in figures) for _ in range(runs))
    return sums[int(0.05 * runs)], sums[int(0.95 * runs)]


@pytest.mark.parametrize(
    "figures",
    [
        [(0, 50, 100)],
        [(0, 0, 100)],
        [(45, 135, 225), (0, 9, 20)],
        [(45, 60, 225), (100, 110, 180), (300, 300, 300), (5, 40, 45)],
        [(10, 20, 60)] * 12,
    ],
)
def test_the_band_holds_what_chance_draws(figures: list[tuple[float, float, float]]) -> None:
    parts = [Bounds(low=a, best=b, high=c) for a, b, c in figures]
    band, (low, high) = likely(parts), drawn(parts)
    width = sum(p.high - p.low for p in parts)
    assert band.low == pytest.approx(low, abs=0.03 * width)
    assert band.high == pytest.approx(high, abs=0.03 * width)


def test_moments_of_a_triangle_by_hand() -> None:
    mean, variance, third = moments(Bounds(low=0, best=0, high=6))
    assert (mean, variance) == (2, 2)
    assert third == pytest.approx(1.6)  # skewness 0.5657 x 2^1.5


def test_the_band_of_exact_figures_is_the_figure() -> None:
    band = likely([Bounds(low=5, best=5, high=5)])
    assert (band.low, band.high) == (5, 5)


def test_the_band_of_a_dish_lies_within_its_bounds(pantry, row, dish) -> None:
    rows = [row("oil", vague="glug"), row("oil", vague="splash"), row("flour", 100)]
    n = weigh(dish(*rows), pantry).nutrition
    hard, band = n.total["energy_kcal"], n.likely["energy_kcal"]
    assert hard.low < band.low < hard.best < band.high < hard.high
