"""What each swap, choice and extra would change, and the dish with one of them made."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from hobnote.nutrition.allergens import allergens
from hobnote.nutrition.bounds import bounds, divide, rounded
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.reopen import reopened, reweighed
from hobnote.nutrition.tables import tree
from hobnote.nutrition.totals import chosen, counted_rows, row_counts, total
from hobnote.record import Bounds, Component, Ingredient, Record

SHOWN = ("energy_kcal", "protein_g", "fat_g", "carbohydrate_g", "fibre_g", "salt_g")
REGIMES = ("EU", "US")


@dataclass(frozen=True, slots=True)
class Change:
    """One change against the dish as dictated.

    ``component`` and ``row`` are places in the record (``row`` is None for a
    choice between parts). ``difference`` is for the dish, ``per_portion`` for a
    portion where portions are known; negative is less. ``unknown`` names
    ingredients without figures, in which case there is no difference.
    """

    kind: Literal["swap", "choice", "extra"]
    name: str
    component: int
    row: int | None
    instead_of: str | None
    condition: str | None = None
    difference: dict[str, Bounds] = field(default_factory=dict)
    per_portion: dict[str, Bounds] | None = None
    allergens_gained: list[str] = field(default_factory=list)
    allergens_lost: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)


def what_if(record: Record, pantry: Larder) -> list[Change]:
    """Every swap, choice not taken and optional extra of a weighed record."""
    held = _Held(record, pantry)
    return [*_swaps(record, held), *_choices(record, held), *_extras(record, held)]


class _Held:
    """Which allergens a dish and its changed copies contain; every food is looked up once."""

    def __init__(self, record: Record, pantry: Larder) -> None:
        self._pantry = pantry
        self._known: dict[tuple[str, str | None, tuple[str, ...]], frozenset[str]] = {}
        entries = tree("allergens")["allergen"]
        self._order = [
            e["name"] for regime in REGIMES for e in entries if regime in e["regimes"]
        ]
        self._before = self._of(record)

    def change(self, made: Record) -> tuple[list[str], list[str]]:
        """What the changed dish has gained and lost, in the order of the lists."""
        after, before = self._of(made), self._before
        return self._sorted(after - before), self._sorted(before - after)

    def _of(self, record: Record) -> set[str]:
        return set().union(*(self._row(row) for row in counted_rows(record)))

    def _row(self, row: Ingredient) -> frozenset[str]:
        key = row.name, row.state, tuple(row.preparation)
        if key not in self._known:
            found = allergens([reopened(row, (), self._pantry)], self._pantry)
            self._known[key] = frozenset(a.name for a in found if a.certainty == "contains")
        return self._known[key]

    def _sorted(self, found: set[str]) -> list[str]:
        return [name for name in dict.fromkeys(self._order) if name in found]


def _swaps(record: Record, held: _Held) -> Iterator[Change]:
    for place, component in enumerate(record.components):
        for at, row in enumerate(component.ingredients):
            if row.swap_for is None:
                continue
            found = _target(record, place, row.swap_for)
            old = None if found is None else record.components[found[0]].ingredients[found[1]]
            yield _change(
                record,
                held,
                Change("swap", row.name, place, at, row.swap_for, row.condition),
                new=[row],
                old=[old] if old is not None else [],
            )


def _choices(record: Record, held: _Held) -> Iterator[Change]:
    taken = {
        c.choice: c
        for c, counts in zip(record.components, chosen(record.components), strict=True)
        if counts and c.choice is not None
    }
    for place, component in enumerate(record.components):
        first = taken.get(component.choice) if component.choice is not None else None
        if first is None or component is first or component.optional:
            continue
        yield _change(
            record,
            held,
            Change("choice", component.name, place, None, first.name),
            new=[r for r in component.ingredients if row_counts(r)],
            old=[r for r in first.ingredients if row_counts(r)],
        )


def _extras(record: Record, held: _Held) -> Iterator[Change]:
    """Optional parts, and optional rows of the parts that count."""
    counted = chosen(record.components)
    for place, component in enumerate(record.components):
        if component.optional:
            new = [r for r in component.ingredients if row_counts(r)]
            change = Change("extra", component.name, place, None, None)
            yield _change(record, held, change, new, [])
            continue
        for at, row in enumerate(component.ingredients):
            if counted[place] and row.optional and row.swap_for is None:
                change = Change("extra", row.name, place, at, None, row.condition)
                yield _change(record, held, change, [row], [])


def _target(record: Record, place: int, name: str) -> tuple[int, int] | None:
    """Where the replaced row stands: in its own part first, then in any."""
    order = [place, *(n for n in range(len(record.components)) if n != place)]
    for part in order:
        for at, row in enumerate(record.components[part].ingredients):
            if row.name == name and row.swap_for is None:
                return part, at
    return None


def _change(
    record: Record,
    held: _Held,
    change: Change,
    new: Sequence[Ingredient],
    old: Sequence[Ingredient],
) -> Change:
    unknown = [row.name for row in (*new, *old) if not row.nutrition]
    if change.instead_of is not None and not old:
        unknown.append(change.instead_of)
    difference: dict[str, Bounds] = {}
    if not unknown:
        after, before = total(new), total(old)
        tied = len(new) == len(old) == 1 and _same_weight(new[0], old[0])
        for key in SHOWN:
            if key in after and (key in before or not old):
                difference[key] = rounded(_less(after[key], before.get(key), tied))
    portions = record.portions
    shared = None
    if portions is not None and portions.low > 0 and difference:
        shared = {key: rounded(divide(f, portions)) for key, f in difference.items()}
    gained, lost = held.change(_made(record, change))
    return Change(
        change.kind,
        change.name,
        change.component,
        change.row,
        change.instead_of,
        change.condition,
        difference,
        shared,
        gained,
        lost,
        unknown,
    )


def _same_weight(new: Ingredient, old: Ingredient) -> bool:
    """A swap without an amount of its own weighs what the other weighs, whatever that is."""
    return "unsaid" in (new.amount.basis, old.amount.basis) and new.grams == old.grams


def _less(after: Bounds, before: Bounds | None, tied: bool) -> Bounds:
    if before is None:
        return after
    best = after.best - before.best
    if tied:
        ends = after.low - before.low, after.high - before.high
        return bounds(min(*ends, best), best, max(*ends, best))
    return bounds(after.low - before.high, best, after.high - before.low)


def make(record: Record, change: Change, pantry: Larder) -> Record:
    """The dish with ``change`` made, everything recomputed.

    Making a swap or a choice a second time brings the dish back. The replaced
    row stays in the record as the swap's own swap.
    """
    return reweighed(_made(record, change), pantry)


def _made(record: Record, change: Change) -> Record:
    components = list(record.components)
    place, at = change.component, change.row
    if change.kind == "swap" and at is not None:
        _exchange(components, place, at)
    elif change.kind == "choice":
        first = next(
            n
            for n, part in enumerate(components)
            if part.choice == components[place].choice and not part.optional
        )
        components[first], components[place] = components[place], components[first]
    elif at is None:
        components[place] = components[place].model_copy(update={"optional": False})
    else:
        _replace(components, place, at, optional=False)
    return record.model_copy(update={"components": components})


def _replace(components: list[Component], place: int, at: int, **changed: object) -> None:
    rows = list(components[place].ingredients)
    rows[at] = rows[at].model_copy(update=changed)
    components[place] = components[place].model_copy(update={"ingredients": rows})


def _exchange(components: list[Component], place: int, at: int) -> None:
    """The swap and what it stands for change roles; other swaps follow the new name."""
    new = components[place].ingredients[at]
    found = _target(Record(components=components), place, new.swap_for or "")
    if found is None:
        return
    old = components[found[0]].ingredients[found[1]]
    for part, component in enumerate(components):
        for n, row in enumerate(component.ingredients):
            if row.swap_for == old.name and (part, n) != (place, at):
                _replace(components, part, n, swap_for=new.name)
    _replace(components, place, at, swap_for=None, optional=old.optional)
    _replace(components, *found, swap_for=new.name, optional=new.optional)
