"""A step's words after its time, heat or temperature was put right, so that both say the same."""

from __future__ import annotations

from collections.abc import Mapping

from hobnote.asking.context import Context
from hobnote.marking.marks import (
    HEAT,
    TEMPERATURE,
    TIME,
    HeatValue,
    Mark,
    TemperatureValue,
    TimeValue,
)
from hobnote.record import Range, Step


def reworded(context: Context, step: Step, given: Mapping[str, object]) -> str | None:
    """The step's text with what is ``given`` in the place of what it said; None as it was.

    ``given``: minutes (a Range), heat (a level), temperature_c and core_c (°C).
    """
    text, shift = step.text, 0
    for doc, base, mark in context.marks(step.text, TIME, HEAT, TEMPERATURE):
        new = _words(mark, step, given)
        if new is None:
            continue
        span = doc[mark.start : mark.end]
        start, end = base + span.start_char + shift, base + span.end_char + shift
        if text[start:end].endswith(" heat") and mark.label == HEAT:
            new += " heat"
        text = text[:start] + new + text[end:]
        shift = len(text) - len(step.text)
    return text if text != step.text else None


def _words(mark: Mark, step: Step, given: Mapping[str, object]) -> str | None:
    """The words for a mark that tells what the step's own figure was."""
    value, minutes = mark.value, given.get("minutes")
    if isinstance(value, TimeValue):
        old = step.minutes
        same = old is not None and (value.low, value.high) == (old.low, old.high)
        return _time(minutes) if same and isinstance(minutes, Range) else None
    if isinstance(value, HeatValue):
        return str(given["heat"]) if given.get("heat") and value.level == step.heat else None
    if isinstance(value, TemperatureValue):
        name = "core_c" if value.kind == "core" else "temperature_c"
        same = round(value.celsius) == getattr(step, name)
        return f"{given[name]} °C" if same and given.get(name) is not None else None
    return None


def _time(minutes: Range) -> str:
    low, high = minutes.low, minutes.high
    if low >= 120 and low % 30 == 0 and high % 30 == 0:
        unit, low, high = "hours", low / 60, high / 60
    else:
        unit = "minute" if low == high == 1 else "minutes"
    return f"{low:g} {unit}" if low == high else f"{low:g}-{high:g} {unit}"
