"""Figures in kitchen words: rounded as a cook would say them."""

from __future__ import annotations

import re
from functools import lru_cache

from hobnote.nutrition.tables import tree
from hobnote.record import Bounds, Range

Spread = Bounds | Range


def number(value: float) -> str:
    """One figure without false precision: 0.3, 2.5, 17, 240."""
    if value < 1:
        return f"{value:.1g}" if value >= 0.05 else "0"
    if value < 10:
        return f"{value:.1f}".removesuffix(".0")
    return f"{value:.0f}"


def span(figure: Spread, unit: str, nearest: float = 0.0) -> str:
    """``"5-25 g"``, or one figure where both ends read alike; ``nearest`` rounds large ones."""
    ends = []
    for value in (figure.low, figure.high):
        if nearest and value >= 10 * nearest:
            value = round(value / nearest) * nearest
        ends.append(number(value))
    return f"{ends[0]} {unit}" if ends[0] == ends[1] else f"{ends[0]}-{ends[1]} {unit}"


def grams(figure: Spread) -> str:
    return span(figure, "g")


def kcal(figure: Spread) -> str:
    return span(figure, "kcal", 5)


def worth(energy: Range | None, sodium: Range | None) -> str:
    """What settling a question moves: energy, or sodium where energy is nothing."""
    if energy is not None and energy.high - energy.low >= 1:
        return kcal(energy)
    if sodium is not None and sodium.high - sodium.low >= 5:
        return span(sodium, "mg of sodium", 5)
    if energy is not None and energy.high >= 1:
        return kcal(energy)
    return "hardly any energy"


def either(choices: list[str]) -> str:
    """``"a, b or c"``."""
    if len(choices) < 2:
        return "".join(choices)
    return f"{', '.join(choices[:-1])} or {choices[-1]}"


@lru_cache(maxsize=1024)
def food(description: str) -> str:
    """A table description without the parts that a cook need not hear, nor its brackets."""
    plain = re.sub(r"\s*\([^()]*\)", "", description)
    parts = [part.strip() for part in plain.split(",")]
    unsaid = re.compile("|".join(tree("questions")["unsaid_parts"]), re.IGNORECASE)
    kept = [part for part in parts[1:] if not unsaid.fullmatch(part)]
    return ", ".join([parts[0], *kept])
