"""Ingredient rows of a reading laid beside those of the gold."""

from __future__ import annotations

from dataclasses import dataclass

from hobnote.record import Amount, Component, Heard, Ingredient, Record
from hobnote.scoring.assignment import assign
from hobnote.scoring.gold import Gold, GoldAmount, GoldIngredient
from hobnote.scoring.names import best_likeness, likeness, same_part

CLOSE = 0.01
"""Relative difference below which two figures are the same."""

EXACT = frozenset({"weighed", "measured", "counted"})
"""Bases of an amount that the cook stated exactly."""

_TO_BASE = {"g": ("g", 1.0), "kg": ("g", 1000.0), "ml": ("ml", 1.0), "l": ("ml", 1000.0)}


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the record with the component it stands in."""

    component: Component
    item: Ingredient

    @property
    def name(self) -> str:
        return self.item.name

    @property
    def optional(self) -> bool:
        return self.item.optional or self.component.optional

    @property
    def words(self) -> str:
        return said(self.item.heard)


@dataclass(slots=True)
class Alignment:
    """Pairs of gold row and read row, and what stands alone on either side."""

    pairs: list[tuple[GoldIngredient, Row]]
    missed: list[GoldIngredient]
    extra: list[Row]


def said(heard: list[Heard]) -> str:
    """The input words behind something, joined."""
    return " … ".join(" ".join(h.text.split()) for h in heard)


def close(a: float | None, b: float | None) -> bool:
    """Are two figures the same within one per cent?"""
    if a is None or b is None:
        return a is b
    return abs(a - b) <= CLOSE * max(abs(a), abs(b)) + 1e-9


def same_amount(want: GoldAmount, got: Amount) -> bool:
    """Is the amount as read the amount as said?

    A single figure: ``best`` must equal it (the bounds may be wider, as for
    "about 30"). A range: both ends must. kg and g, l and ml count as one unit.
    An energy ("100 calories of") only has to be known as one.
    """
    if want.unit in ("kcal", "kJ"):
        return got.basis == "energy"
    if got.unit is None:
        return False
    unit, factor = _TO_BASE.get(want.unit, (want.unit, 1.0))
    got_unit, got_factor = _TO_BASE.get(got.unit, (got.unit, 1.0))
    if unit != got_unit:
        return False

    def scaled(value: float | None) -> float | None:
        return None if value is None else value * got_factor

    low, high = want.low * factor, want.high * factor
    if want.low == want.high:
        return close(low, scaled(got.best))
    return close(low, scaled(got.low)) and close(high, scaled(got.high))


def any_amount(want: GoldIngredient, got: Amount) -> bool:
    """Does ``got`` equal the amount, or the second measure, of a gold row?"""
    choices = ([want.amount] if want.amount else []) + want.also
    return any(same_amount(choice, got) for choice in choices)


def all_rows(record: Record) -> list[Row]:
    """Every ingredient row of a record, swaps included."""
    return [Row(c, item) for c in record.components for item in c.ingredients]


def align(gold: Gold, record: Record) -> tuple[Alignment, Alignment]:
    """(ingredients, swaps): the best assignment by name; a swap only pairs with a swap.

    As many rows as possible pair; then likeness of the names, the component
    and the amount decide between rows of the same food.
    """
    rows = all_rows(record)
    plain = _align(
        [g for g in gold.ingredients if not g.swap_for],
        [r for r in rows if r.item.swap_for is None],
    )
    swaps = _align(
        [g for g in gold.ingredients if g.swap_for],
        [r for r in rows if r.item.swap_for is not None],
        gold,
    )
    return plain, swaps


def _align(
    wanted: list[GoldIngredient], rows: list[Row], for_swaps: Gold | None = None
) -> Alignment:
    weights = [[_weight(g, r, for_swaps) for r in rows] for g in wanted]
    chosen = assign(weights)
    with_gold, with_row = {i for i, _ in chosen}, {j for _, j in chosen}
    return Alignment(
        pairs=[(wanted[i], rows[j]) for i, j in chosen],
        missed=[g for i, g in enumerate(wanted) if i not in with_gold],
        extra=[r for j, r in enumerate(rows) if j not in with_row],
    )


def _weight(want: GoldIngredient, row: Row, for_swaps: Gold | None) -> float:
    alike = best_likeness(row.name, want.accepted)
    if not alike:
        return 0.0
    bonus = 2.0 * same_part(want.component, row.component.name)
    bonus += any_amount(want, row.item.amount)
    if for_swaps is not None:
        bonus += 4.0 * replaces(want, row, for_swaps)
    return 1000.0 + 10.0 * alike + bonus


def replaces(want: GoldIngredient, row: Row, gold: Gold) -> bool:
    """Does a read swap name the ingredient that the gold swap replaces?"""
    target = gold.named(want.swap_for or "")
    accepted = target.accepted if target else [want.swap_for or ""]
    return best_likeness(row.item.swap_for or "", accepted) > 0


def names_row(name: str, wanted: list[str], gold: Gold) -> bool:
    """Is ``name`` (in a read step) one of ``wanted`` (in a gold step)?

    Either may name a row or a whole part of the dish ("dressing"); a part
    and any row in it are taken for the same.
    """
    for other in wanted:
        rows = [g for g in gold.ingredients if g.name == other or g.component == other]
        accepted = [a for g in rows for a in g.accepted] or [other]
        parts = {g.component for g in rows} - {"main"}
        if (
            best_likeness(name, accepted)
            or likeness(name, other)
            or any(likeness(name, part) for part in parts)
        ):
            return True
    return False
