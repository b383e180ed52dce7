"""Safe core temperatures: which figure fits a food."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache

from hobnote.nutrition.tables import rows, tree


@dataclass(frozen=True, slots=True)
class SafeCore:
    """The core temperature that makes a food safe; ``rest_min`` of rest belong to it."""

    topic: str
    classes: frozenset[str]
    celsius: float
    fahrenheit: int
    rest_min: int
    text: str
    source: str


@cache
def safe_cores() -> tuple[SafeCore, ...]:
    """Every figure of ``data/safe_temperatures.csv``, strictest first."""
    return tuple(
        SafeCore(
            row["topic"],
            frozenset(row["classes"].split()),
            float(row["core_c"]),
            int(row["core_f"]),
            int(row["rest_min"]),
            row["text"],
            row["source"],
        )
        for row in rows("safe_temperatures")
    )


def safe_core(classes: AbstractSet[str]) -> SafeCore | None:
    """The first figure all of whose classes the food has."""
    return next((s for s in safe_cores() if s.classes <= classes), None)


def fahrenheit(celsius: float) -> float:
    """°F = °C x 9/5 + 32."""
    return celsius * 9 / 5 + 32


def heats(verb: str) -> bool:
    """Whether a step's verb heats the food."""
    return verb in tree("cooking_verbs")["heat"]


def needs_oven(verb: str) -> bool:
    """Whether a step's verb needs an oven temperature."""
    return verb in tree("cooking_verbs")["oven"]
