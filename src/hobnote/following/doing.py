"""What is done in a clause: which verbs count, and with which vessel, heat, time and cue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, cast

from hobnote.following.clauses import Clause
from hobnote.following.doings import Doing
from hobnote.marking.marks import (
    HEAT,
    TEMPERATURE,
    TIME,
    UNTIL,
    VESSEL,
    HeatValue,
    Mark,
    TemperatureValue,
    TimeValue,
)
from hobnote.marking.tables import rows as data_rows
from hobnote.record import HeatLevel, Range

_LASTING: Final = frozenset(
    {"keep", "keeps", "kept", "last", "lasts", "good", "fine", "better", "best", "within", "eat"}
)


@cache
def _vessel_verbs() -> dict[str, str]:
    return {row["name"]: row["verb"] for row in data_rows("vessels.csv") if row["verb"]}


def vessel_verb(vessel: str | None) -> str | None:
    """What is done in a vessel when no verb says it (oven: bake; fridge: chill)."""
    return _vessel_verbs().get(vessel or "")


@cache
def _fats() -> dict[str, str]:
    return {row["word"]: row["verb"] for row in data_rows("fats.csv")}


def fat_verb(name: str) -> str | None:
    """What is done with a fat in a hot pan (oil: heat; butter: melt); None for other foods."""
    return _fats().get(name.split()[-1]) if name else None


@dataclass(slots=True)
class Details:
    """What was said about one doing, apart from its verb and foods."""

    heat: HeatLevel | None = None
    minutes: Range | None = None
    oven: float | None = None
    core: float | None = None
    vessel: str | None = None
    until: str | None = None


def heat_of(details: Sequence[Mark]) -> HeatLevel | None:
    levels = [
        m.value.level
        for m in details
        if m.label == HEAT and isinstance(m.value, HeatValue) and m.value.level
    ]
    return cast(HeatLevel, levels[-1]) if levels else None


def minutes_of(details: Sequence[Mark]) -> tuple[Range | None, bool]:
    times = [m for m in details if m.label == TIME and isinstance(m.value, TimeValue)]
    if not times:
        return None, False
    value: TimeValue = times[-1].value
    return Range(low=value.low, high=value.high), value.more


def temperatures_of(details: Sequence[Mark]) -> tuple[float | None, float | None]:
    oven: float | None = None
    core: float | None = None
    for m in details:
        if m.label != TEMPERATURE or not isinstance(m.value, TemperatureValue):
            continue
        if m.value.kind == "core":
            core = round(m.value.celsius)
        else:
            oven = round(m.value.celsius)
    return oven, core


def until_of(details: Sequence[Mark]) -> str | None:
    cues = [m for m in details if m.label == UNTIL]
    return str(cues[0].value) if cues else None


def is_idiom(mark: Mark) -> bool:
    """ "for a second": a moment, not a cooking time."""
    return isinstance(mark.value, TimeValue) and mark.value.high <= 1 / 60 + 1e-6


def is_keeping(clause: Clause, details: Sequence[Mark]) -> bool:
    """ "keeps three days in the fridge": how long it lasts, not a step."""
    long = any(isinstance(m.value, TimeValue) and m.value.high >= 1440 for m in details)
    return long and any(w in _LASTING for w in clause.lowers())


def vessel_in(doing: Doing) -> str | None:
    """The vessel that the doing names last."""
    found = doing.of(VESSEL)
    return str(found[-1].value) if found else None
