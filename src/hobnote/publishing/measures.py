"""Amounts that a kitchen can measure: grams off a scale, US cups and spoons out of a drawer.

The steps and the spoons are ``data/scales.csv`` and ``data/spoons.csv``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache

from hobnote.nutrition.frying import is_uptake
from hobnote.pantry import open_pantry
from hobnote.pantry.household import volumes
from hobnote.pantry.measures import factors
from hobnote.publishing import figures
from hobnote.publishing.tables import rows
from hobnote.record import Amount, Bounds, Ingredient

VOLUMES = ("ml", "l", "tsp", "tbsp", "cup", "fl oz")
Density = Callable[[Ingredient], float | None]
_NEARLY = 0.97
_ENDINGS = (
    ("ss", "sses"),
    ("leaf", "leaves"),
    ("loaf", "loaves"),
    ("half", "halves"),
    ("s", "s"),
    ("ch", "ches"),
    ("sh", "shes"),
    ("x", "xes"),
    ("ry", "ries"),
    ("ly", "lies"),
)
_TIGHT = 0.03  # as in figures: within three parts in a hundred it is one figure


@dataclass(frozen=True, slots=True)
class Measure:
    """A cup, spoon or weight of the drawer. ``size`` is ml or g by ``kind``."""

    unit: str
    size: float
    kind: str
    least: float
    parts: tuple[Fraction, ...]


@cache
def drawer() -> tuple[Measure, ...]:
    """Every measure, large ones first."""
    return tuple(
        Measure(
            row["unit"],
            float(row["size"]),
            row["kind"],
            float(row["from"]),
            (Fraction(0), *(Fraction(part) for part in row["parts"].split()), Fraction(1)),
        )
        for row in rows("spoons")
    )


def on_scale(grams: float) -> float:
    """``grams`` to the nearest step that a scale for such a weight shows."""
    for row in rows("scales"):
        if not row["up_to"] or grams < float(row["up_to"]):
            step = Decimal(row["step"])
            count = (Decimal(repr(grams)) / step).quantize(Decimal(1), rounding=ROUND_HALF_UP)
            return float(count * step)
    raise ValueError("data/scales.csv has no last row")


def grams_text(grams: Bounds | None, amount: Amount | None = None) -> str | None:
    """ "30 g", or "15 g (10–30)" where the weight is open; None where it is not known.

    A single weight that the cook read off a scale stays as it was said.
    """
    if grams is None:
        return None
    weighed = amount is not None and amount.basis == "weighed" and amount.unit in ("g", "kg")
    tight = grams.high - grams.low <= _TIGHT * max(abs(grams.best), 1e-9)
    if weighed and tight:
        return f"{figures.exact(round(grams.best, 1))} g"
    best, low, high = (
        figures.exact(on_scale(value)) for value in (grams.best, grams.low, grams.high)
    )
    if 0 < grams.best < 0.05:
        return "under 0.1 g"
    return f"{best} g" if tight or low == high else f"{best} g ({low}–{high})"


def put_in(row: Ingredient, density: Density, measures: str = "us") -> Bounds | None:
    """Grams that the cook measures out, where less is eaten: oil to fry in, bones and peel.

    None where what is measured out is eaten, or where it cannot be known.
    """
    said, eaten = row.amount, row.grams
    if eaten is None or said.low is None or said.best is None or said.high is None:
        return None
    by: float | None = None
    if said.basis == "weighed" and said.unit in ("g", "kg", "oz", "lb"):
        by = factors(measures)[said.unit].best
    elif is_uptake(row) and said.unit in VOLUMES and (thick := density(row)) is not None:
        by = factors(measures)[said.unit].best * thick
    if by is None or eaten.best >= _NEARLY * said.best * by:
        return None
    return Bounds(low=said.low * by, best=said.best * by, high=said.high * by)


def us_text(size: float, kind: str) -> str:
    """``size`` ml (or g) in the measures of an American kitchen: "1½ tbsp", "2⅓ cups", "14 oz"."""
    fitting = [measure for measure in drawer() if measure.kind == kind]
    for measure in fitting:
        count = size / measure.size
        if count >= measure.least:
            return _counted(count, measure)
    small = fitting[-1]
    return f"under {figures.fraction(float(small.parts[1]))} {small.unit}"


def _counted(count: float, measure: Measure) -> str:
    whole = int(count)
    part = min(measure.parts, key=lambda p: abs(float(p) - (count - whole)))
    value = whole + part or measure.parts[1]
    unit = "cups" if measure.unit == "cup" and value > 1 else measure.unit
    return f"{figures.fraction(float(value))} {unit}"


def kitchen_text(row: Ingredient, density: Density, measures: str = "us") -> str | None:
    """The row in US cups, spoons, ounces or pieces, with its range where that is wide.

    ``measures`` is whose spoons the cook meant. None where no figure can be given.
    """
    said = row.amount
    if said.best is not None and said.unit in (None, "piece"):
        return _pieces(said)
    if said.best is None and said.basis == "vague":
        return said.said or said.noun
    if said.unit in VOLUMES and said.low is not None and said.best is not None and said.high:
        spoon = factors(measures)[said.unit].best
        return _range(said.low * spoon, said.best * spoon, said.high * spoon, "ml")
    if row.grams is None or row.grams.best <= 0:
        return None
    thick, weight = density(row), row.grams
    if thick:
        return _range(weight.low / thick, weight.best / thick, weight.high / thick, "ml")
    return _range(weight.low, weight.best, weight.high, "g")


def _pieces(said: Amount) -> str:
    """ "2 pieces", "2 large", "3 large cloves", "1 knob"."""
    noun = said.noun or (None if said.size else "piece")
    if noun is not None and (said.high or 0) > 1:
        noun = plural(noun)
    return figures.amount(said.model_copy(update={"said": None, "noun": noun}))


def plural(noun: str) -> str:
    """The plural of a counted noun by the ordinary endings."""
    for ending, many in _ENDINGS:
        if noun.endswith(ending):
            return noun.removesuffix(ending) + many
    return f"{noun}s"


def _range(low: float, best: float, high: float, kind: str) -> str:
    first, middle, last = (us_text(size, kind) for size in (low, best, high))
    if high - low <= _TIGHT * best or first == last:
        return middle
    return f"{middle} ({first}–{last})"


def table_density(row: Ingredient) -> float | None:
    """Grams per ml by the food's own plain cup or spoon weight in the table.

    Weights of a prepared food ("cup, chopped") are left out: the cup would
    depend on the knife.
    """
    if row.food is None:
        return None
    try:
        food = open_pantry("us").food(row.food.id)
    except KeyError:
        return None
    options = [option for option in volumes(food) if not option.detail]
    return max(options, key=lambda option: option.grams).density if options else None
