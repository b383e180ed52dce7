"""From amounts as marked to amounts as recorded."""

from __future__ import annotations

from typing import Final

from hobnote.following.amounts import basis_of
from hobnote.marking.marks import AmountValue
from hobnote.marking.tables import count_nouns
from hobnote.record import Amount, Bounds, Unit

KCAL_PER_KJ: Final = 1 / 4.184
"""Thermochemical calorie (unit definition; FAO Food and Nutrition Paper 77)."""

MOST_COUNTED: Final = 12
"""A bare number up to this counts whole things; a larger one was read off the scale."""

_RECORD_UNITS: Final = frozenset(
    {"g", "kg", "ml", "l", "tsp", "tbsp", "cup", "oz", "lb", "fl oz", "piece"}
)
LEAST_CONTENT: Final = 50
"""A number from this on before a container says what it holds, not how many there are."""

# "A few sprigs" is counted, but nobody said how many.
_FEW: Final = frozenset({"few", "several", "some"})
GRAMS: Final = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}


def amount_of(value: AmountValue, said: str, *, weighing: bool, of: bool = False) -> Amount | None:
    """The record's amount for a marked one, or None when it says nothing about a quantity.

    A bare number counts pieces when it is small; it is grams when it is too
    large to count, or once a weighing pattern was set and ``of`` follows it
    ("tare it, then 8 of salt").
    """
    if value.vague is not None:
        return Amount(
            low=value.low, best=value.best, high=value.high, basis="vague",
            noun=value.vague, size=value.size, said=said,
        )  # fmt: skip
    if value.unit in ("kcal", "kJ"):
        factor = 1.0 if value.unit == "kcal" else KCAL_PER_KJ
        return Amount(
            low=value.low * factor, best=value.best * factor, high=value.high * factor,
            basis="energy", said=said,
        )  # fmt: skip
    if value.unit == "percent":
        return None
    unit: Unit
    if value.unit in _RECORD_UNITS:
        unit = value.unit  # type: ignore[assignment]
    elif value.unit is None:
        counted = value.best <= MOST_COUNTED and not (weighing and of and value.best >= 3)
        unit = "piece" if counted else "g"
    else:
        return None
    if unit == "piece" and value.best >= LEAST_CONTENT and holds(value.noun):
        # "a five-hundred pack", "213 tin": what one of them holds
        content = Bounds(low=value.low, best=value.best, high=value.high)
        return Amount(
            low=1, best=1, high=1, unit="piece", basis="counted", noun=value.noun, said=said,
            content_g=content,
        )  # fmt: skip
    vague = unit == "piece" and not _FEW.isdisjoint(said.lower().split())
    return Amount(
        low=value.low, best=value.best, high=value.high, unit=unit,
        basis="vague" if vague else basis_of(unit),
        noun=value.noun, size=value.size, said=said, content_g=_content(value.content),
    )  # fmt: skip


def unit_of(value: AmountValue) -> Amount:
    """One of the unit that was named alone ("tablespoons")."""
    unit: Unit = value.unit  # type: ignore[assignment]
    return Amount(low=1, best=1, high=1, unit=unit, basis=basis_of(unit))


def holds(noun: str | None) -> bool:
    """Whether a counted word is a container (a tin, a tub)."""
    known = count_nouns().get(noun or "")
    return known is not None and known.role == "container"


def _content(content: AmountValue | None) -> Bounds | None:
    if content is None or content.unit not in GRAMS:
        return None
    factor = GRAMS[content.unit]
    return Bounds(low=content.low * factor, best=content.best * factor, high=content.high * factor)
