"""A shopping list: what the batches need, by food, grouped by where it stands in the shop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import ceil

from hobnote.nutrition.bounds import add, scale
from hobnote.nutrition.phrases import find
from hobnote.pantry import open_pantry
from hobnote.planning.entry import Pack, Part, PlanEntry
from hobnote.planning.tables import rows
from hobnote.record import Bounds


@dataclass(frozen=True, slots=True)
class Item:
    """One food to buy. ``grams`` are edible; ``at_home`` of them are there already.

    ``packs`` is how many of a pack that a recipe named ("tin", 400 g) that takes.
    ``unweighed`` names recipes that use it in an amount that is not known.
    """

    name: str
    aisle: str
    grams: Bounds | None
    at_home: float = 0.0
    packs: tuple[int, Pack] | None = None
    used_in: tuple[str, ...] = ()
    unweighed: tuple[str, ...] = ()


@dataclass(slots=True)
class _Sum:
    names: dict[str, None] = field(default_factory=dict)
    food: str | None = None
    grams: list[Bounds] = field(default_factory=list)
    packs: list[Pack] = field(default_factory=list)
    used: dict[str, None] = field(default_factory=dict)
    unweighed: dict[str, None] = field(default_factory=dict)


def shopping(
    entries: Iterable[PlanEntry],
    batches: Mapping[int, int],
    at_home: Mapping[str, float] | None = None,
) -> list[Item]:
    """What to buy for so many batches of each recipe, aisle by aisle.

    ``at_home`` maps words of ingredients to grams that are there. Optional
    ingredients are left out.
    """
    sums: dict[str, _Sum] = {}
    for item in entries:
        count = batches.get(item.id, 0)
        for part in item.ingredients if count else ():
            if not part.optional and not _free(part):
                _take(sums, part, count, item.title or f"recipe {item.id}")
    home = dict(at_home or {})
    found = [_item(held, home) for held in sums.values()]
    order = {row["aisle"]: n for n, row in reversed(list(enumerate(rows("aisles"))))}
    return sorted(found, key=lambda one: (order.get(one.aisle, len(order)), one.name))


def _free(part: Part) -> bool:
    """Water comes out of the tap."""
    return part.name in ("water", "ice") or part.name.endswith(" water")


def _take(sums: dict[str, _Sum], part: Part, count: int, title: str) -> None:
    held = sums.setdefault(part.food or part.name, _Sum(food=part.food))
    held.names[part.name] = None
    held.used[title] = None
    if part.grams is None:
        held.unweighed[title] = None
    else:
        held.grams.append(scale(part.grams, count))
    if part.pack is not None:
        held.packs.append(part.pack)


def _item(held: _Sum, home: dict[str, float]) -> Item:
    name = min(held.names, key=lambda one: (len(one), one))
    grams = add(held.grams) if held.grams else None
    there = 0.0
    for word in home:
        if grams is not None and any(find([word], other) for other in held.names):
            there = min(home[word], grams.best)
            home[word] -= there
            break
    packs = None
    if held.packs and grams is not None:
        pack = max(held.packs, key=lambda one: one.grams)
        packs = (ceil((grams.best - there) / pack.grams - 0.05), pack)
    return Item(
        name=name,
        aisle=aisle(name, held.food),
        grams=grams,
        at_home=there,
        packs=packs if packs and packs[0] > 0 else None,
        used_in=tuple(held.used),
        unweighed=tuple(held.unweighed),
    )


def aisle(name: str, food: str | None) -> str:
    """Where a food stands, by the pantry's classes and ``data/aisles.csv``."""
    pantry = open_pantry("us")
    try:
        known = pantry.food(food) if food else None
    except KeyError:
        known = None
    held = pantry.classes(known, name)
    return next(row["aisle"] for row in rows("aisles") if row["class"] in held | {"*"})
