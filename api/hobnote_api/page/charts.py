"""Figures, ranges and swaps as the page shows them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hobnote.nutrition.tables import nutrients
from hobnote.nutrition.whatif import Change
from hobnote.publishing import figures
from hobnote.publishing.sheet import SHOWN
from hobnote.record import Bounds, Claim, Record

_PARTS = ("energy_kcal", "protein_g")
_SWAPPED = (("energy_kcal", "energy"), ("protein_g", "protein"), ("salt_g", "salt"))
_BARS = 100


@dataclass(frozen=True, slots=True)
class Bar:
    """A range on a scale of 0 to 100: where it begins, how long it is, its likeliest point."""

    start: float
    length: float
    best: float

    @classmethod
    def of(cls, value: Bounds, most: float) -> Bar:
        """``value`` on a scale that ends at ``most``."""
        scale = _BARS / most if most > 0 else 0.0
        low, high = value.low * scale, value.high * scale
        return cls(round(low, 2), round(max(high - low, 0.8), 2), round(value.best * scale, 2))


@dataclass(frozen=True, slots=True)
class Figure:
    """One nutrient: its bar, and its figures in words."""

    key: str
    name: str
    unit: str
    bar: Bar
    first: str
    total: str
    per_100g: str


@dataclass(frozen=True, slots=True)
class PartFigure:
    """What one part of the dish brings."""

    name: str
    figures: tuple[tuple[str, str, Bar], ...]


@dataclass(frozen=True, slots=True)
class Swap:
    """What a swap, a choice or an extra would change.

    ``say`` makes a swap, as a message; ``extra`` is the key of the row that may be put in.
    """

    title: str
    condition: str
    changes: tuple[str, ...]
    allergens: str
    say: str | None
    extra: str | None = None


def facts(record: Record) -> Iterator[Figure]:
    """Every nutrient that is shown: a portion where portions are known, else the whole dish."""
    found, known = record.nutrition, nutrients()
    first = found.per_portion or found.total
    for key in SHOWN:
        value = first.get(key)
        if value is None:
            continue
        name, unit = (known[key].name, known[key].unit) if key in known else key.rsplit("_", 1)
        yield Figure(
            key=key,
            name=name,
            unit=unit,
            bar=Bar.of(value, value.high * 1.1),
            first=figures.bounds(value),
            total=figures.bounds(found.total.get(key)),
            per_100g=figures.bounds((found.per_100g or {}).get(key)),
        )


def by_part(record: Record) -> Iterator[PartFigure]:
    """What the parts of the dish bring, where there are several; one scale for all."""
    parts = record.nutrition.components
    if len(parts) < 2:
        return
    known = nutrients()
    most = {
        key: max((p[key].high for p in parts.values() if key in p), default=0) for key in _PARTS
    }
    for name, values in parts.items():
        shown = tuple(
            (
                known[key].name,
                figures.bounds(values[key], unit=known[key].unit),
                Bar.of(values[key], most[key]),
            )
            for key in _PARTS
            if key in values
        )
        yield PartFigure(name, shown)


def claim_line(claim: Claim) -> str:
    """A figure that the cook stated, beside ours."""
    what = "" if claim.nutrient == "energy" else f" {claim.nutrient}"
    per = {"portion": "a portion", "dish": "for the whole dish"}.get(
        claim.scope, f"for the {claim.scope}"
    )
    said = f"{figures.span(claim.low, claim.high)} {claim.unit}{what}"
    verdict = {"agrees": "it agrees", "differs": "it differs"}.get(claim.verdict, claim.verdict)
    ours = "" if claim.computed is None else f" We make it {figures.bounds(claim.computed)}:"
    why = f" ({claim.reason})" if claim.reason else ""
    return f"You said {said} {per}.{ours} {verdict}{why}."


def swap_of(change: Change, key: str | None = None) -> Swap:
    """A swap, choice or extra in words; ``key`` is the row's."""
    per = change.per_portion or change.difference
    where = " a portion" if change.per_portion else ""
    if change.kind == "swap":
        title = f"{change.name} instead of {change.instead_of}"
        say: str | None = f"swap the {change.instead_of} for {change.name}"
    elif change.kind == "choice":
        title, say = f"the {change.name} instead of the {change.instead_of}", None
    else:
        title, say = f"with {change.name}", None
    lines = [
        f"{name} {_signed(per[key])} {key.rsplit('_', 1)[1]}{where}"
        for key, name in _SWAPPED
        if key in per
    ]
    if change.unknown:
        lines.append(f"not known: no figures for {', '.join(change.unknown)}")
    extra = key if change.kind == "extra" else None
    return Swap(title, change.condition or "", tuple(lines), _allergens(change), say, extra)


def _signed(value: Bounds) -> str:
    def one(figure: float) -> str:
        text = figures.number(figure)
        return text if figure < 0 or text == "0" else f"+{text}"

    low, best, high = one(value.low), one(value.best), one(value.high)
    return best if low == high else f"{best} ({low} to {high})"


def _allergens(change: Change) -> str:
    parts = [
        *([f"brings in {', '.join(change.allergens_gained)}"] if change.allergens_gained else []),
        *([f"takes away {', '.join(change.allergens_lost)}"] if change.allergens_lost else []),
    ]
    return "; ".join(parts)
