"""Arithmetic on figures known as (low, best, high).

Sums of independent bounds add end by end. Division by a correlated figure
(per 100 g of a dish whose weight is itself open) needs more care: ``ratio``
finds the true extremes instead of dividing one end by the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf
from typing import Protocol

from hobnote.record import Bounds


class Spread(Protocol):
    """Anything with a low, a best and a high figure."""

    @property
    def low(self) -> float: ...
    @property
    def best(self) -> float: ...
    @property
    def high(self) -> float: ...


ZERO = Bounds(low=0.0, best=0.0, high=0.0)


def exact(value: float) -> Bounds:
    """A figure with nothing open."""
    return Bounds(low=value, best=value, high=value)


def bounds(low: float, best: float, high: float) -> Bounds:
    """Bounds in order: ``low`` and ``high`` may come swapped; ``best`` is kept within them."""
    if low > high:
        low, high = high, low
    return Bounds(low=low, best=min(max(best, low), high), high=high)


def add(parts: Iterable[Bounds]) -> Bounds:
    """The sum of independent figures."""
    low = best = high = 0.0
    for part in parts:
        low += part.low
        best += part.best
        high += part.high
    return bounds(low, best, high)


def scale(figure: Bounds, by: float) -> Bounds:
    """``figure`` times an exact number, which may be negative."""
    return bounds(figure.low * by, figure.best * by, figure.high * by)


def multiply(a: Bounds, b: Bounds) -> Bounds:
    """The product of two independent figures."""
    ends = [x * y for x in (a.low, a.high) for y in (b.low, b.high)]
    return bounds(min(ends), a.best * b.best, max(ends))


def divide(figure: Bounds, by: Bounds) -> Bounds:
    """The quotient of independent figures.

    Raises ValueError when the divisor may be zero or less.
    """
    if by.low <= 0:
        raise ValueError("cannot divide by a figure that may be zero")
    ends = [x / y for x in (figure.low, figure.high) for y in (by.low, by.high)]
    return bounds(min(ends), figure.best / by.best, max(ends))


def hull(figures: Sequence[Bounds], best: float | None = None) -> Bounds:
    """The narrowest bounds that hold all of ``figures``; ``best`` defaults to the first's."""
    if not figures:
        raise ValueError("no figures to span")
    return bounds(
        min(f.low for f in figures),
        figures[0].best if best is None else best,
        max(f.high for f in figures),
    )


def width(figure: Bounds) -> float:
    """How much is open, high less low."""
    return figure.high - figure.low


def rounded(figure: Bounds, digits: int = 4) -> Bounds:
    """``figure`` with float noise cut off."""
    return Bounds(
        low=round(figure.low, digits),
        best=round(figure.best, digits),
        high=round(figure.high, digits),
    )


def ratio(parts: Sequence[tuple[Spread, Spread]]) -> Bounds | None:
    """Extremes of sum(weight x density) / sum(weight) over ``(weight, density)`` parts.

    The quotient is largest when the parts denser than the result are heavy and
    the others light, so it is enough to try every cut of the parts sorted by
    density. None when nothing weighs anything.
    """
    live = [(w, d) for w, d in parts if w.high > 0]
    if not live:
        return None
    weight = sum(w.best for w, _ in live)
    top = _extreme([(w, d.high) for w, d in live])
    bottom = -_extreme([(w, -d.low) for w, d in live])
    best = sum(w.best * d.best for w, d in live) / weight if weight else (top + bottom) / 2
    return bounds(bottom, best, top)


def _extreme(parts: list[tuple[Spread, float]]) -> float:
    """The largest mean density when each weight may lie anywhere in its bounds."""
    weight = amount = 0.0
    open_parts: list[tuple[float, float]] = []
    for w, density in parts:
        low, high = w.low, w.high
        weight += low
        amount += low * density
        if high > low:  # an exact weight leaves nothing to try
            open_parts.append((density, high - low))
    found = amount / weight if weight > 0 else -inf
    for density, more in sorted(open_parts, reverse=True):
        weight += more
        amount += more * density
        if weight > 0:
            found = max(found, amount / weight)
    return found
