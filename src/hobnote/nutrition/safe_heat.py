"""Safe core temperatures: which figure fits a food."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache

from hobnote.nutrition.phrases import find
from hobnote.nutrition.tables import rows, tree
from hobnote.record import Step

# Nothing cooks below this; a "temperature" under it is a resting or serving one.
HOT_C = 50.0


@dataclass(frozen=True, slots=True)
class SafeCore:
    """The core temperature that makes a food safe; ``rest_min`` of rest belong to it.

    Without a figure (shellfish) the look of the food decides, as ``text`` says.
    """

    topic: str
    classes: frozenset[str]
    words: tuple[str, ...]
    celsius: float | None
    fahrenheit: int | None
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
            tuple(word for word in row["words"].split("|") if word),
            float(row["core_c"]) if row["core_c"] else None,
            int(row["core_f"]) if row["core_f"] else None,
            int(row["rest_min"]),
            row["text"],
            row["source"],
        )
        for row in rows("safe_temperatures")
    )


def safe_core(classes: AbstractSet[str], name: str = "") -> SafeCore | None:
    """The first figure that fits the food's classes or a word of its name.

    None for what needs none: no meat or fish, or cooked, cured or tinned already.
    """
    if classes & set(tree("cooking_verbs")["ready_classes"]):
        return None
    return next((s for s in safe_cores() if _fits(s, classes, name)), None)


def _fits(safe: SafeCore, classes: AbstractSet[str], name: str) -> bool:
    if safe.classes:
        return safe.classes <= classes
    return bool(find(safe.words, name))


def fahrenheit(celsius: float) -> float:
    """°F = °C x 9/5 + 32."""
    return celsius * 9 / 5 + 32


def heats(verb: str) -> bool:
    """Whether a verb heats the food."""
    return verb in tree("cooking_verbs")["heat"]


def hot(step: Step) -> bool:
    """Whether a step heats the food: by its verb, a heat level, a temperature or its vessel."""
    if step.vessel in tree("cooking_verbs")["vessels_hot"]:
        return True
    warm = any(t is not None and t >= HOT_C for t in (step.temperature_c, step.core_c))
    return heats(step.verb) or step.heat is not None or warm


def needs_oven(verb: str) -> bool:
    """Whether a step's verb needs an oven temperature."""
    return verb in tree("cooking_verbs")["oven"]
