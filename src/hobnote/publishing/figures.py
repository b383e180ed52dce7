"""Figures in kitchen print: no more digits than anybody can weigh or eat."""

from __future__ import annotations

from hobnote.record import Amount, Bounds, Range

_FRACTIONS = {0.125: "⅛", 0.25: "¼", 1 / 3: "⅓", 0.5: "½", 2 / 3: "⅔", 0.75: "¾"}
_SPOONED = {"tsp", "tbsp", "cup", "piece", "oz", "lb", None}
_TIGHT = 0.03  # bounds within three parts in a hundred print as one figure


def number(value: float) -> str:
    """A figure with two or three digits that mean something: 0.4, 7.5, 38, 1,250."""
    size = abs(value)
    if size >= 1000:
        return f"{round(value, -1):,.0f}"
    if size >= 10:
        return f"{value:.0f}"
    step = 1 if size >= 1 else 2
    return f"{value:.{step}f}".rstrip("0").rstrip(".") or "0"


def exact(value: float) -> str:
    """A figure as it was said, without the zeros that nobody says."""
    return f"{value:,.3f}".rstrip("0").rstrip(".")


def fraction(value: float) -> str:
    """A small count with a kitchen fraction (1½), or as it was said."""
    whole = int(value)
    for part, sign in _FRACTIONS.items():
        if abs(value - whole - part) < 0.005:
            return f"{whole or ''}{sign}"
    return exact(value)


def span(low: float, high: float) -> str:
    """ "4–5", or "4" where both ends print alike."""
    first, last = number(low), number(high)
    return first if first == last else f"{first}–{last}"


def bounds(value: Bounds | None, *, unit: str = "") -> str:
    """ "340 (310–390)", or the best figure alone where the bounds are tight."""
    if value is None:
        return "–"
    tail = f" {unit}" if unit else ""
    width = value.high - value.low
    if width <= _TIGHT * max(abs(value.best), 1e-9) or number(value.low) == number(value.high):
        return f"{number(value.best)}{tail}"
    return f"{number(value.best)} ({number(value.low)}–{number(value.high)}){tail}"


def minutes(value: Range) -> str:
    """ "4–5 min", "1½–2 h", "30 s"."""
    if value.high < 1:
        return f"{span(value.low * 60, value.high * 60)} s"
    if value.low >= 90:
        low, high = fraction(round(value.low / 15) / 4), fraction(round(value.high / 15) / 4)
        return f"{low} h" if low == high else f"{low}–{high} h"
    return f"{span(value.low, value.high)} min"


def amount(value: Amount) -> str:
    """The amount as said where the words were kept, else in figures."""
    if value.said:
        return value.said
    if value.best is None or value.low is None or value.high is None:
        return value.noun or "not said"
    shown = fraction if value.unit in _SPOONED else exact
    figure = shown(value.best)
    if value.low != value.high:
        figure = f"{shown(value.low)}–{shown(value.high)}"
    words = (value.size, None if value.unit == "piece" else value.unit, value.noun)
    return " ".join([figure, *(word for word in words if word)])
