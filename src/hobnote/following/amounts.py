"""Arithmetic on spoken amounts: adding, scaling, and telling one measure from another. Pure."""

from __future__ import annotations

from typing import Final

from hobnote.record import Amount, Basis, Unit

# How many of the smaller unit make the larger, within one kind of measure.
# Exact by definition (SI; 3 tsp = 1 tbsp and 16 oz = 1 lb: NIST Handbook 44 App. C).
_SAME_KIND: Final[dict[str, tuple[str, float]]] = {
    "kg": ("g", 1000.0),
    "l": ("ml", 1000.0),
    "tbsp": ("tsp", 3.0),
    "lb": ("oz", 16.0),
}
_MASS: Final = frozenset({"g", "kg", "oz", "lb"})
_VOLUME: Final = frozenset({"ml", "l", "tsp", "tbsp", "cup", "fl oz"})


def dimension(amount: Amount) -> str:
    """mass, volume, count, energy, vague or unsaid."""
    if amount.basis in ("vague", "unsaid", "energy"):
        return amount.basis
    if amount.unit in _MASS:
        return "mass"
    if amount.unit in _VOLUME:
        return "volume"
    return "count"


def basis_of(unit: str | None) -> Basis:
    """weighed for mass units, measured for volumes, counted for pieces."""
    if unit in _MASS:
        return "weighed"
    return "measured" if unit in _VOLUME else "counted"


def rank(amount: Amount) -> int:
    """Which of two measures of one thing counts: energy, then weight, spoon, count."""
    return {"energy": 4, "mass": 3, "volume": 2, "count": 1}.get(dimension(amount), 0)


def is_exact(amount: Amount) -> bool:
    """Whether a number was said, in a unit."""
    return amount.best is not None and amount.basis not in ("vague", "unsaid")


def same(a: Amount, b: Amount) -> bool:
    """Whether both say the same figure."""
    return (a.low, a.high, a.unit, a.basis, a.noun) == (b.low, b.high, b.unit, b.basis, b.noun)


def less(a: Amount, b: Amount) -> bool:
    """Whether ``a`` is less than ``b``, both in one kind of unit (g and kg, tsp and tbsp)."""
    if a.best is None or b.best is None or a.noun != b.noun:
        return False
    unit_a, per_a = _SAME_KIND.get(a.unit or "", (a.unit, 1.0))
    unit_b, per_b = _SAME_KIND.get(b.unit or "", (b.unit, 1.0))
    return unit_a == unit_b and unit_a is not None and a.best * per_a < b.best * per_b


def times(amount: Amount, factor: float) -> Amount:
    """``factor`` of an amount that was said of one piece or one portion."""
    if amount.low is None or amount.best is None or amount.high is None:
        return amount
    return amount.model_copy(
        update={
            "low": amount.low * factor,
            "best": amount.best * factor,
            "high": amount.high * factor,
        }
    )


def scaled(amount: Amount, factor: float, said: str | None = None) -> Amount:
    """``factor`` times ``amount``, marked as relative; an unsaid amount stays unsaid."""
    if amount.low is None or amount.best is None or amount.high is None:
        return Amount(basis="unsaid", said=said)
    return times(amount, factor).model_copy(update={"basis": "relative", "said": said})


def added(a: Amount, b: Amount) -> Amount | None:
    """``a`` plus ``b``, or None when their units do not add up without a weight."""
    if a.low is None or a.best is None or a.high is None:
        return b
    if b.low is None or b.best is None or b.high is None:
        return a
    if a.basis == "vague" or b.basis == "vague":
        if a.basis == b.basis and a.noun == b.noun and a.size == b.size:
            return _sum(a, b, 1.0, 1.0, a.unit)
        return None
    if a.unit == b.unit and a.noun == b.noun:
        return _sum(a, b, 1.0, 1.0, a.unit)
    small_a, per_a = _SAME_KIND.get(a.unit or "", (a.unit, 1.0))
    small_b, per_b = _SAME_KIND.get(b.unit or "", (b.unit, 1.0))
    if small_a is not None and small_a == small_b and small_a != "piece":
        return _sum(a, b, per_a, per_b, small_a)
    return None


def _sum(a: Amount, b: Amount, per_a: float, per_b: float, unit: str | None) -> Amount:
    def plus(x: float | None, y: float | None) -> float:
        return (x or 0.0) * per_a + (y or 0.0) * per_b

    said = " + ".join(s for s in (a.said, b.said) if s) or None
    kept: Unit | None = unit  # type: ignore[assignment]
    return a.model_copy(
        update={
            "low": plus(a.low, b.low),
            "best": plus(a.best, b.best),
            "high": plus(a.high, b.high),
            "unit": kept,
            "said": said,
        }
    )
