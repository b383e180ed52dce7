"""The likely band: where a sum of open figures most probably lies.

Method: each row's figure is taken as a triangle over (low, best, high),
independent of the others. Means, variances and third central moments of
independent figures add; the ends of the central 90 % follow from the
Cornish-Fisher expansion with the skewness, cut to the hard bounds. The tests
hold this against a Monte Carlo run.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import sqrt
from statistics import NormalDist

from hobnote.nutrition.tables import nutrients, rule
from hobnote.record import Bounds, Ingredient, Range


def moments(figure: Bounds) -> tuple[float, float, float]:
    """Mean, variance and third central moment of the triangle over ``figure``."""
    a, c, b = figure.low, figure.best, figure.high
    mean = (a + b + c) / 3
    variance = (a * a + b * b + c * c - a * b - a * c - b * c) / 18
    third = (a + b - 2 * c) * (2 * a - b - c) * (a - 2 * b + c) / 270
    return mean, max(0.0, variance), third


def likely(figures: Iterable[Bounds]) -> Range:
    """The central band (90 % by default) of the sum of independent ``figures``."""
    mean = variance = third = low = high = 0.0
    for figure in figures:
        low, high = low + figure.low, high + figure.high
        if figure.low == figure.high:
            mean += figure.low
            continue
        m, v, t = moments(figure)
        mean, variance, third = mean + m, variance + v, third + t
    spread = sqrt(variance)
    if spread < 1e-9:
        return Range(low=round(low, 4), high=round(high, 4))
    z = NormalDist().inv_cdf((1 + rule("likely_share")) / 2)
    shift = (z * z - 1) / 6 * third / spread**3
    return Range(
        low=round(min(max(low, mean + (shift - z) * spread), high), 4),
        high=round(max(min(high, mean + (shift + z) * spread), low), 4),
    )


def likely_totals(rows: Sequence[Ingredient], gaps: Iterable[str] = ()) -> dict[str, Range]:
    """The likely band of the dish, by nutrient; keys in ``gaps`` are left out."""
    left_out = set(gaps)
    bands: dict[str, Range] = {}
    for key in nutrients():
        figures = [row.nutrition[key] for row in rows if key in row.nutrition]
        if figures and key not in left_out:
            bands[key] = likely(figures)
    return bands
