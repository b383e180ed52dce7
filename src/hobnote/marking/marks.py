"""What the marking components write on a Doc, and how they write it.

Every component appends ``Mark`` objects with :func:`put`; none changes a token
or removes another component's mark. ``put`` also adds the span to
``doc.spans[label]`` so that spaCy's own scorers and viewers see it.
Token indices are half open, as in spaCy.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from spacy.tokens import Doc, Span

AMOUNT: Final = "AMOUNT"
RELATIVE: Final = "RELATIVE"
FOOD: Final = "FOOD"
TIME: Final = "TIME"
HEAT: Final = "HEAT"
TEMPERATURE: Final = "TEMPERATURE"
VESSEL: Final = "VESSEL"
ACTION: Final = "ACTION"
UNTIL: Final = "UNTIL"
CLAIM: Final = "CLAIM"
PORTIONS: Final = "PORTIONS"
ASIDE: Final = "ASIDE"
MISHEARD: Final = "MISHEARD"
CUE: Final = "CUE"
PART: Final = "PART"

GLOSSARY: Final[dict[str, str]] = {
    AMOUNT: "a quantity with or without a unit, exact or vague",
    RELATIVE: "a quantity said against another one (twice as much as, half that)",
    FOOD: "a food, known to the pantry or guessed from its noun phrase",
    TIME: "a length of cooking time",
    HEAT: "a heat level or a change of heat",
    TEMPERATURE: "an oven, liquid or core temperature",
    VESSEL: "a pan, bowl, tin, tray or machine",
    ACTION: "a cooking verb",
    UNTIL: "a cue that ends a step (until golden)",
    CLAIM: "a stated nutrition figure",
    PORTIONS: "how many the dish serves",
    ASIDE: "words that are not the recipe",
    MISHEARD: "a word that the recogniser probably got wrong",
    CUE: "words that steer what is said (a correction, a swap, a negation); value: the cue's kind",
    PART: "the name of a part of the dish (dressing, topping)",
}


@dataclass(frozen=True, slots=True)
class AmountValue:
    """A quantity as said.

    ``unit`` is a record unit (g, kg, ml, l, tsp, tbsp, cup, oz, lb, fl oz,
    piece), or ``kcal``/``kJ`` for energy-defined amounts, or ``percent``, or
    None for a bare number. ``noun`` is the counted or container word in the
    singular ("clove", "tin") with unit ``piece``. ``vague`` is a key of the
    vague-measure table; the numbers then say how many of it ("two pinches").
    ``content`` is what one piece holds ("a 400 g tin").
    """

    low: float
    best: float
    high: float
    unit: str | None = None
    noun: str | None = None
    vague: str | None = None
    size: str | None = None
    approximate: bool = False
    each: bool = False
    more: bool = False
    article: bool = False
    content: AmountValue | None = None


@dataclass(frozen=True, slots=True)
class RelativeValue:
    """``factor`` times the amount of ``reference`` (None: whatever was last measured).

    ``reference`` is the text of the thing compared to when it follows in the
    same phrase; ``by`` is weight, volume or None. ``of_rest`` marks "the
    rest", "the other half".
    """

    factor: float
    reference: str | None = None
    by: str | None = None
    of_rest: bool = False


@dataclass(frozen=True, slots=True)
class TimeValue:
    """Minutes, as a range. ``more``: "another two minutes", on top of what ran already."""

    low: float
    high: float
    more: bool = False
    approximate: bool = False


@dataclass(frozen=True, slots=True)
class HeatValue:
    """A heat ``level`` (low … high) or a ``change`` ("off", "up", "down") without a level."""

    level: str | None = None
    change: str | None = None


@dataclass(frozen=True, slots=True)
class TemperatureValue:
    """Degrees Celsius. ``kind`` is oven, core, liquid or unknown; ``scale`` as said (C, F, gas).

    ``fan`` is True when a fan or convection setting was said.
    """

    celsius: float
    high: float | None = None
    scale: str = "C"
    kind: str = "unknown"
    fan: bool = False


@dataclass(frozen=True, slots=True)
class FoodValue:
    """A food as said: ``name`` plain, singular, lower case, without preparation words.

    ``known`` is False for a noun-phrase guess that the pantry does not hold.
    ``definite`` marks "the yoghurt", "that tahini". ``kind_of`` is the first
    token of the food whose kind this is ("beans: 1 tin *black*").
    """

    name: str
    known: bool = True
    definite: bool = False
    state: str | None = None
    preparation: tuple[str, ...] = ()
    score: float = 1.0
    plural: bool = False
    kind_of: int | None = None


@dataclass(frozen=True, slots=True)
class ClaimValue:
    """A stated nutrition figure; ``nutrient`` and ``unit`` as in the record's claims."""

    nutrient: str
    low: float
    high: float
    unit: str
    scope: str | None = None


@dataclass(frozen=True, slots=True)
class MishearingValue:
    """What was probably said: ``heard`` as it stands, ``suggestion`` as a recipe has it.

    ``kind`` is food, verb, unit or quality. ``score`` is 0 to 1: how sure the proposal
    is. ``source`` is "list" for a known pair, "sound" for one found by ear.
    """

    heard: str
    suggestion: str
    score: float
    kind: str = "food"
    source: str = "list"


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark: ``label`` over tokens ``start`` to ``end`` with a typed ``value``."""

    label: str
    start: int
    end: int
    value: Any = None


def put(doc: Doc, label: str, start: int, end: int, value: Any = None) -> Mark:
    """Append a mark over ``doc[start:end]`` and return it."""
    mark = Mark(label, start, end, value)
    doc.user_data.setdefault("marks", []).append(mark)
    spans = doc.spans
    if label in spans:
        spans[label].append(Span(doc, start, end, label))
    else:
        spans[label] = [Span(doc, start, end, label)]
    return mark


def marks(doc: Doc, *labels: str) -> list[Mark]:
    """The marks of ``doc`` (only those with one of ``labels`` if any are given), by position."""
    found: list[Mark] = doc.user_data.get("marks", [])
    placed: list[Mark] = doc.user_data.get("marks_placed", [])
    if len(placed) != len(found):  # marks are only ever added
        placed = sorted(found, key=_place)
        doc.user_data["marks_placed"] = placed
    if not labels:
        return list(placed)
    return [m for m in placed if m.label in labels]


def _place(mark: Mark) -> tuple[int, int]:
    return mark.start, -mark.end


def covered(doc: Doc, *labels: str) -> set[int]:
    """Token indices that a mark with one of ``labels`` already covers."""
    return {i for m in marks(doc, *labels) for i in range(m.start, m.end)}


def spans(doc: Doc, *labels: str) -> Iterator[Span]:
    """The spaCy spans of the marks, for scorers and viewers."""
    for m in marks(doc, *labels):
        yield Span(doc, m.start, m.end, m.label)
