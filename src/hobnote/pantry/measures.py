"""Kitchen measures by locale: factors for the hot path, a pint registry for everyone else."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from hobnote.pantry.tables import DATA, lines, split

if TYPE_CHECKING:
    from pint import UnitRegistry

LOCALES = ("us", "uk", "au", "metric")


class Factor(NamedTuple):
    """One unit in ml or g, as (low, best, high): what a cook of the locale may mean by it."""

    low: float
    best: float
    high: float
    kind: str
    source: str


@cache
def factors(locale: str) -> dict[str, Factor]:
    """Every unit of the record that has a fixed size, for one locale.

    Raises ValueError when the locale is not one of us, uk, au, metric.
    """
    if locale not in LOCALES:
        raise ValueError(f"measures must be one of {', '.join(LOCALES)}, not {locale!r}")
    out: dict[str, Factor] = {}
    for line in lines("measures.csv")[1:]:
        where, unit, low, best, high, kind, source = split(line)
        if where in ("all", locale):
            out[unit] = Factor(float(low), float(best), float(high), kind, source)
    return out


@cache
def registry(locale: str) -> UnitRegistry[float]:
    """A pint registry of ``data/measures.txt`` in which ``cup`` is the cup of this locale.

    Slow to build (pint is imported here): the hot path uses :func:`factors`.
    """
    from pint import UnitRegistry

    factors(locale)  # a wrong locale fails with the same message
    units: UnitRegistry[float] = UnitRegistry(str(DATA / "measures.txt"))
    ending = f"_{locale}"
    for line in (DATA / "measures.txt").read_text("utf-8").splitlines():
        name = line.split("=")[0].strip()
        if name.endswith(ending):
            units.define(f"{name.removesuffix(ending)} = {name}")
    return units


class GasMark(NamedTuple):
    """An oven setting: degrees Celsius as printed (low, best, high) and Fahrenheit."""

    celsius_low: float
    celsius: float
    celsius_high: float
    fahrenheit: float


@cache
def gas_marks() -> dict[str, GasMark]:
    """Gas marks by what is on the dial: "1/4", "1/2", "1" to "9"."""
    rows = (split(line) for line in lines("gas_marks.csv")[1:])
    return {mark: GasMark(*(float(cell) for cell in cells[:4])) for mark, *cells in rows}
