"""What is done in a clause: which verbs count, and with which vessel, heat, time and cue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, cast

from hobnote.following.clauses import Clause
from hobnote.following.doings import Doing
from hobnote.marking.marks import (
    ACTION,
    FOOD,
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


_POINTING: Final = frozenset(
    {"the", "your", "that", "all", "those", "these", "my", "this", "then", "and", "whole", "in"}
)
NIGHT: Final = 480.0
"""Minutes from which a time is told by a word ("overnight") and gives way to a figure."""
DAY: Final = 1440.0
"""Minutes from which a time without a verb that holds is no step ("for four days")."""


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
    return (_fats().get(name.split()[-1]) or None) if name else None


def is_medium(name: str) -> bool:
    """Whether a food is only what others are fried, boiled or seasoned in."""
    return bool(name) and name.split()[-1] in _fats()


@cache
def _baked_foods() -> frozenset[str]:
    return frozenset(row["word"] for row in data_rows("baked_foods.csv"))


def oven_verb(names: Sequence[str]) -> str:
    """What a dish of these foods undergoes in the oven: baked with flour or eggs, else roasted."""
    baked = any(name.split()[-1] in _baked_foods() for name in names if name)
    return "bake" if baked or not names else "roast"


@cache
def _mixed() -> frozenset[str]:
    return frozenset(row["word"] for row in data_rows("mixed_parts.csv"))


def is_mixed(part: str) -> bool:
    """Whether a part of a dish is stirred together when nothing is said of how it is made."""
    return bool(part) and part.split()[-1] in _mixed()


@cache
def stand_ins() -> dict[str, frozenset[str]]:
    """Words that stand for foods named before, to the classes of those foods (stand_ins.csv)."""
    return {
        word: frozenset(row["classes"].split())
        for row in data_rows("stand_ins.csv")
        for word in row["word"].split("|")
    }


def stand_in(doing: Doing) -> int | None:
    """The token of ``doing`` that stands for foods named before ("the meat"), if any."""
    doc = doing.clause.doc
    for i in range(doing.start, doing.end):
        word = doc[i].lower_
        if word not in stand_ins():
            continue
        if doc[i].tag_[:2] == "NN" or stand_ins()[word]:
            before = doc[i - 1].lower_ if i > doing.start else "the"
            if before in _POINTING or doc[i].is_sent_start or not doc[i - 1].is_alpha:
                return i
    return None


@dataclass(slots=True)
class Details:
    """What was said about one doing, apart from its verb and foods."""

    heat: HeatLevel | None = None
    minutes: Range | None = None
    oven: float | None = None
    core: float | None = None
    vessel: str | None = None
    until: str | None = None
    said_time: str = ""


def heat_of(details: Sequence[Mark]) -> HeatLevel | None:
    levels = [
        m.value.level
        for m in details
        if m.label == HEAT and isinstance(m.value, HeatValue) and m.value.level
    ]
    return cast(HeatLevel, levels[-1]) if levels else None


def minutes_of(details: Sequence[Mark]) -> tuple[Range | None, bool]:
    """How long, and whether it comes on top ("another two"). The last time said holds;
    a longer one close behind the first is the far end of a range ("forty, forty-five maybe")."""
    times = [m for m in details if m.label == TIME and isinstance(m.value, TimeValue)]
    if not times:
        return None, False
    figures = [m for m in times if m.value.low < NIGHT]
    times = figures or times  # "two hours at least, overnight is better"
    value: TimeValue = times[-1].value
    low, high = value.low, value.high
    if len(times) > 1:
        first = times[-2]
        near = times[-1].start - first.end <= 4
        if near and not value.more and first.value.high < low <= 2 * first.value.high:
            low = first.value.low
    return Range(low=low, high=high), value.more


def temperatures_of(details: Sequence[Mark]) -> tuple[float | None, float | None]:
    """The oven's (or liquid's) and the core's degrees Celsius.

    Of several for one oven the ordinary setting goes before the fan's, and a
    figure in degrees before a gas mark.
    """
    core: float | None = None
    ovens: list[TemperatureValue] = []
    for m in details:
        if m.label != TEMPERATURE or not isinstance(m.value, TemperatureValue):
            continue
        if m.value.kind == "core":
            core = round(m.value.celsius)
        else:
            ovens.append(m.value)
    ovens = [v for v in ovens if not v.fan] or ovens
    ovens = [v for v in ovens if v.scale != "gas"] or ovens
    return (round(ovens[-1].celsius) if ovens else None), core


def until_of(details: Sequence[Mark]) -> str | None:
    cues = [m for m in details if m.label == UNTIL]
    return str(cues[0].value) if cues else None


def is_idiom(clause: Clause, mark: Mark) -> bool:
    """A time that says no length: "for a second", "every ten minutes", "at the ten minute mark"."""
    if not isinstance(mark.value, TimeValue):
        return False
    if mark.value.high <= 1 / 60 + 1e-6:
        return True
    doc = clause.doc
    before = [t.lower_ for t in doc[max(0, mark.start - 3) : mark.start] if not t.is_space]
    beyond = before[-2:] in (["more", "than"], ["longer", "than"])
    if beyond and before[:1] not in (["no"], ["not"]):
        return True  # "nothing sits out more than two hours"
    if {"says", "said"} & set(before):
        return True  # "the packet says eleven minutes"
    after = doc[mark.end].lower_ if mark.end < len(doc) else ""
    if mark.value.high >= 480 and (
        before[-1:] in (["an"], ["better"]) or any(f.start == mark.end for f in clause.of(FOOD))
    ):
        return True  # "the overnight oats", "better overnight"
    return before[-1:] in (["every"], ["each"]) or after == "mark" or before[-2:] == ["at", "the"]


def is_keeping(clause: Clause, details: Sequence[Mark]) -> bool:
    """ "keeps three days in the fridge": how long it lasts, not a step."""
    long = any(isinstance(m.value, TimeValue) and m.value.high >= DAY for m in details)
    if not long:
        return False
    kept = any(m.value.kind == "hold" or m.value.verb == "leave" for m in clause.of(ACTION))
    return not kept or any(w in _LASTING for w in clause.lowers())


def vessel_in(doing: Doing) -> str | None:
    """The vessel that the doing names last."""
    found = doing.of(VESSEL)
    return str(found[-1].value) if found else None
