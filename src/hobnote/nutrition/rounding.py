"""Rounding of declared figures by the EU's guidance and the FDA's rules."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from functools import cache

from hobnote.nutrition.tables import rows


@cache
def _bands(regime: str, nutrient: str) -> tuple[dict[str, str], ...]:
    found = tuple(
        row
        for row in rows("rounding")
        if row["regime"] == regime and nutrient in row["nutrients"].split()
    )
    if not found:
        raise KeyError(f"{regime} has no rounding rule for {nutrient}")
    return found


def rounded_text(regime: str, nutrient: str, value: float) -> str:
    """``value`` as the declaration prints it, without unit: "9.9", "< 0.5", "less than 5".

    ``regime`` is "EU" or "FDA", ``nutrient`` a key or dv_macro / dv_micro.
    Raises KeyError where the regime has no rule for the nutrient.
    """
    exact = Decimal(repr(round(value, 9)))
    text = _once(_bands(regime, nutrient), exact)
    if text.replace(".", "", 1).isdigit():
        # A figure rounded up over an edge (9.96 to 10.0) is printed as its new band prints it.
        again = _once(_bands(regime, nutrient), Decimal(text))
        return again if again.replace(".", "", 1).isdigit() else text
    return text


def _once(bands: tuple[dict[str, str], ...], value: Decimal) -> str:
    if value == 0:
        return "0"
    for row in bands:
        limit = Decimal(row["limit"] or 0)
        fits = {"lt": value < limit, "le": value <= limit, "any": True}[row["when"]]
        if not fits:
            continue
        if row["text"]:
            return row["text"]
        step = Decimal(row["step"])
        return str((value / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step)
    raise KeyError("no band fits")
