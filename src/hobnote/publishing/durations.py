"""ISO 8601 durations, and what the steps say about time."""

from __future__ import annotations

import re
from collections.abc import Iterable

from hobnote.nutrition.safe_heat import heats
from hobnote.publishing.errors import PublishingError
from hobnote.record import Range, Step

_FORM = re.compile(
    r"P(?:(?P<weeks>\d+(?:[.,]\d+)?)W)?(?:(?P<days>\d+(?:[.,]\d+)?)D)?"
    r"(?:T(?:(?P<hours>\d+(?:[.,]\d+)?)H)?(?:(?P<minutes>\d+(?:[.,]\d+)?)M)?"
    r"(?:(?P<seconds>\d+(?:[.,]\d+)?)S)?)?"
)
_MINUTES = {"weeks": 10080.0, "days": 1440.0, "hours": 60.0, "minutes": 1.0, "seconds": 1 / 60}


def iso(minutes: float) -> str:
    """Minutes as an ISO 8601 duration to the second: "PT1H30M", "PT0S"."""
    seconds = round(minutes * 60)
    hours, rest = divmod(seconds, 3600)
    mins, secs = divmod(rest, 60)
    parts = [f"{value}{sign}" for value, sign in ((hours, "H"), (mins, "M"), (secs, "S")) if value]
    return "PT" + ("".join(parts) or "0S")


def from_iso(text: str) -> float:
    """Minutes of an ISO 8601 duration of weeks, days and times; months and years have no length.

    Raises PublishingError for anything else.
    """
    found = _FORM.fullmatch(text.strip().upper())
    parts = {} if found is None else {k: v for k, v in found.groupdict().items() if v}
    if not parts or text.strip().upper().endswith("T"):
        raise PublishingError(f"{text!r} is not an ISO 8601 duration such as PT1H30M")
    return sum(float(value.replace(",", ".")) * _MINUTES[key] for key, value in parts.items())


def together(steps: Iterable[Step]) -> Range | None:
    """Minutes that the timed steps take one after another; None where no step has a time.

    A step that runs alongside another adds only what it takes longer than that one.
    """
    timed = [step for step in steps if step.minutes is not None]
    if not timed:
        return None
    held: dict[int, list[Range]] = {}
    for step in timed:
        assert step.minutes is not None
        held.setdefault(step.alongside or step.number, []).append(step.minutes)
    return Range(
        low=sum(max(r.low for r in group) for group in held.values()),
        high=sum(max(r.high for r in group) for group in held.values()),
    )


def cook_time(steps: list[Step]) -> Range | None:
    """Minutes over heat; None unless every step that heats says its time."""
    hot = [step for step in steps if heats(step.verb)]
    return together(hot) if hot and all(step.minutes for step in hot) else None


def total_time(steps: list[Step]) -> Range | None:
    """Minutes of everything; None unless every step says its time."""
    return together(steps) if steps and all(step.minutes for step in steps) else None
