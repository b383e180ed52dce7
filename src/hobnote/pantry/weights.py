"""Grams of a spoken amount, as (low, best, high) with the source of the conversion."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from hobnote.pantry import household
from hobnote.pantry.measures import factors
from hobnote.pantry.tables import lines, split
from hobnote.pantry.types import Food, Weight
from hobnote.pantry.words import kind

if TYPE_CHECKING:
    from hobnote.record import Amount

Range = tuple[float, float, float]
_MOSTLY_SHELL = 0.5  # what is more shell than food is weighed without once it is cooked
_SHELLED = ("cooked", "drained")
_TINS = ("tin", "can", "jar", "carton")


class Piece(NamedTuple):
    """One row of ``piece_weights.csv``."""

    low: float
    best: float
    high: float
    source: str


@cache
def _pieces(locale: str) -> dict[tuple[str, str, str], Piece]:
    out: dict[tuple[str, str, str], Piece] = {}
    anywhere: dict[tuple[str, str, str], Piece] = {}
    for line in lines("piece_weights.csv")[1:]:
        food, noun, size, where, low, best, high, source = split(line)
        if where and locale not in where.split("|"):
            continue
        target = out if where else anywhere
        piece = Piece(float(low), float(best), float(high), source)
        target.setdefault((food, noun, size), piece)
    return anywhere | out


@cache
def _nouns() -> dict[str, tuple[str, ...]]:
    rows = (split(line) for line in lines("nouns.csv")[1:])
    return {
        word: tuple("" if other == "-" else other for other in others.split("|"))
        for word, others, _ in rows
    }


@cache
def sizes(kind: str) -> dict[str, Range]:
    """Size words of one kind ("spoon", "vague", "piece") with their factors."""
    rows = (split(line) for line in lines("sizes.csv")[1:])
    return {w: (float(a), float(b), float(c)) for w, k, a, b, c, _ in rows if k == kind}


@cache
def _densities() -> tuple[tuple[str, Piece], ...]:
    rows = (split(line) for line in lines("densities.csv")[1:])
    return tuple((c, Piece(float(a), float(b), float(h), s)) for c, a, b, h, s in rows)


def _times(a: Range, b: Range) -> Range:
    return (a[0] * b[0], a[1] * b[1], a[2] * b[2])


def said(amount: Amount) -> Range | None:
    """The number as (low, best, high); None when no number was said."""
    values = [v for v in (amount.low, amount.best, amount.high) if v is not None]
    if not values:
        return None
    low = amount.low if amount.low is not None else min(values)
    high = amount.high if amount.high is not None else max(values)
    best = amount.best if amount.best is not None else (low + high) / 2
    return (low, best, high)


def by_weight(count: Range, unit: str, locale: str, eaten: Piece | None = None) -> Weight:
    """A weighed amount: exact but for the range that was said and what is not eaten of it."""
    factor = factors(locale)[unit]
    grams = _times(count, (factor.low, factor.best, factor.high))
    source = "as weighed" if unit in ("g", "kg") else f"1 {unit} = {factor.best:.4g} g"
    if eaten is not None:
        grams = _times(grams, (eaten.low, eaten.best, eaten.high))
        source = f"{source}; {eaten.low:.0%} to {eaten.high:.0%} of it is eaten: {eaten.source}"
    return Weight(*grams, source)


def eaten_of(
    food: Food | None, names: Sequence[str], said: str, preparation: Sequence[str]
) -> Piece | None:
    """The edible share of a food that is weighed with bones, shell or peel; None when all is.

    ``names`` are its names; ``said`` is the name as said, which with the ``preparation`` may
    tell of a bone or a peel.
    """
    words = f" {' '.join([said, *preparation])} ".lower()
    rows = _shares("as_bought.csv")
    told = next((r for n, r in rows if n[:5] == "word:" and f" {n[5:]} " in words), None)
    if told is None and not kind("boned").keys().isdisjoint(words.split()):
        return None
    own = next((row for name, row in rows if name in names), None)
    if own is not None and own.best < _MOSTLY_SHELL and food and food.form in _SHELLED:
        return None
    if told is None:
        return own
    if own is not None and own.best < 1:
        return Piece(own.low, own.best, min(own.high, own.best * told.high), own.source)
    if food is None or not food.refuse:
        if told is not None:
            word = next(n[5:] for n, row in rows if row is told)
            own = next((r for n, r in rows if n in {f"{word}:{name}" for name in names}), own)
        return own
    eaten = 1 - food.refuse
    source = f"{food.refuse:.0%} refuse, {food.source}"
    return Piece(eaten * told.low, eaten, min(1.0, eaten * told.high), source)


def by_vessel(noun: str) -> Range | None:
    """Millilitres that a vessel holds ("mug"); None for any other noun."""
    rows = (split(line) for line in lines("vessel_volumes.csv")[1:])
    return next((_three(row[1:4]) for row in rows if row[0] == noun), None)


def _three(cells: Sequence[str]) -> Range:
    low, best, high = map(float, cells)
    return (low, best, high)


@cache
def _shares(name: str) -> tuple[tuple[str, Piece], ...]:
    rows = (split(line) for line in lines(name)[1:])
    return tuple((f, Piece(float(a), float(b), float(c), s)) for f, a, b, c, s in rows)


def by_volume(
    count: Range,
    unit: str,
    locale: str,
    food: Food | None,
    names: Sequence[str],
    classes: frozenset[str],
    preparation: Sequence[str],
    size: str | None,
) -> Weight:
    """A measured amount through the density of the food, or of its class."""
    factor = factors(locale)[unit]
    low, best, high, source = density(food, unit, names, classes, preparation)
    grams = _times(_times(count, (factor.low, factor.best, factor.high)), (low, best, high))
    spoon = sizes("spoon")
    if size in spoon:
        grams = _times(grams, spoon[size])
        source = f"{source}; {size}"
    elif unit in ("tsp", "tbsp") and not classes & {"liquid"}:
        grams = _times(grams, (0.9, 1.0, 1.25))
        source = f"{source}; level or a little more"
    return Weight(*grams, source)


def density(
    food: Food | None,
    unit: str,
    names: Sequence[str],
    classes: frozenset[str],
    preparation: Sequence[str],
) -> tuple[float, float, float, str]:
    """Grams per ml as (low, best, high, source) for one unit of measure."""
    options = household.volumes(food) if food is not None else ()
    if not household.narrowed(options, preparation):
        for name, row in _densities():
            if name.startswith("name:") and name.removeprefix("name:") in names:
                return row.low, row.best, row.high, f"density of {name[5:]}: {row.source}"
    if food is not None and options:
        order = {"tsp": ("tsp", "tbsp", "cup", "fl oz"), "tbsp": ("tbsp", "tsp", "cup", "fl oz")}
        for tried in order.get(unit, ("cup", "fl oz", "tbsp", "tsp")):
            fitting = household.choose((o for o in options if o.unit == tried), preparation)
            if fitting:
                best = fitting[0].density
                spread = 0.02 if classes & {"liquid"} else 0.08
                every = [o.density for o in fitting]
                low, high = min(*every, best * (1 - spread)), max(*every, best * (1 + spread))
                each = f"{fitting[0].grams:g} g a {fitting[0].text}"
                return low, best, high, f"{_table_of(food)}: {each}"
    for name, row in _densities():
        if name == "any" or name in classes:
            of = "an unknown food" if name == "any" else f"{name} in general"
            return row.low, row.best, row.high, f"density of {of}: {row.source}"
    raise LookupError("densities.csv has no row for any food")


def by_count(
    count: Range,
    noun: str | None,
    size: str | None,
    locale: str,
    food: Food | None,
    names: Sequence[str],
    classes: frozenset[str],
    content_g: Range | None,
) -> Weight | None:
    """A counted amount; None when nothing says what one of it weighs.

    ``names`` are the food's names, its own first; ``content_g`` is what one container holds.
    """
    if content_g is not None:
        return _by_content(count, noun, food, names, classes, content_g)
    tries = [noun, *_nouns().get(noun, ())] if noun else [""]
    if not noun and (size == "whole" or (names and names[0].startswith("whole "))):
        tries = ["head", "bulb", ""]  # a whole celery is no stalk, a whole garlic no clove
    if not noun and "tinned" in classes:
        tries.append("tin")
    if noun and any(noun in name.split() for name in names):
        tries.append("")
    piece = _piece(names, tries, size, locale, classes)
    if piece is None or piece.source.startswith("@"):
        own = household.counted(food, [t for t in tries if t], size) if food else None
        if own is not None and (piece is None or food is None or not food.id.startswith("X")):
            *grams, measure = own
            source = f"{_table_of(food)}: {measure}"
            return Weight(*_times(count, (grams[0], grams[1], grams[2])), source)
    if piece is None:
        return None
    what = noun or (names[0] if names else "piece")
    source = f"one {f'{size} ' if size else ''}{what}: {piece.source.lstrip('@')}"
    return Weight(*_times(count, (piece.low, piece.best, piece.high)), source)


def _table_of(food: Food | None) -> str:
    """Which table a household weight comes from: SR28, or where a hand-kept or own food does."""
    if food is None:
        return "SR28"
    return f"SR28 {food.id}" if food.id.isdigit() else food.id


def by_name(
    count: Range, noun: str, size: str | None, locale: str, names: Sequence[str]
) -> Weight | None:
    """A counted or vague noun that has a weight for this very food ("handful" of tomatoes)."""
    table = _pieces(locale)
    for name in names:
        row = table.get((name, noun, size or "")) or table.get((name, noun, ""))
        if row is not None:
            factor = sizes("vague").get(size or "", (1.0, 1.0, 1.0))
            grams = _times(_times((row.low, row.best, row.high), factor), count)
            return Weight(*grams, f"a {noun} of {name}: {row.source}")
    return None


def pieces_of(names: Sequence[str], locale: str) -> list[tuple[str, Weight]]:
    """Every row of ``piece_weights.csv`` about a food, the noun and size first."""
    out: dict[str, Weight] = {}
    for name in names:
        for (food, noun, size), row in _pieces(locale).items():
            if food == name:
                what = f"one {size} {noun or food}".replace("  ", " ")
                out.setdefault(what, Weight(*row))
    return list(out.items())


def _piece(
    names: Sequence[str],
    nouns: Sequence[str],
    size: str | None,
    locale: str,
    classes: frozenset[str],
) -> Piece | None:
    """The closest row of ``piece_weights.csv``; its source starts with @ when it is a class row."""
    table = _pieces(locale)
    keys = [*names, *(f"@{c}" for c in _class_order() if c in classes), "*"]
    for key in keys:
        for noun in nouns:
            exact = table.get((key, noun, size or ""))
            row = exact or table.get((key, noun, ""))
            if row is None:
                continue
            factor = sizes("piece").get(size or "") if exact is None else None
            low, best, high = _times((row.low, row.best, row.high), factor or (1.0, 1.0, 1.0))
            if exact is None and factor is not None:
                low, best, high = row.best * factor[0], row.best * factor[1], row.best * factor[2]
            mark = "@" if key.startswith("@") or key == "*" else ""
            return Piece(low, best, high, mark + row.source)
    return None


@cache
def _class_order() -> tuple[str, ...]:
    """Classes in the order in which ``piece_weights.csv`` first names them."""
    foods = (split(line)[0] for line in lines("piece_weights.csv")[1:])
    return tuple(dict.fromkeys(food[1:] for food in foods if food.startswith("@")))


def eaten_drained(food: Food | None, classes: frozenset[str]) -> bool:
    """Whether the liquid of a tin of this food is poured away."""
    if classes & {"liquid", "sauce", "sugary"}:
        return False
    if food is not None and food.form == "drained":
        return True
    return bool(classes & {"tinned"}) and bool(classes & {"pulse", "fish", "vegetable", "fruit"})


def _drained(names: Sequence[str], classes: frozenset[str]) -> Piece:
    """The share of a tin's net weight that is left when it is drained."""
    for name, row in _shares("drained.csv"):
        if name in names or name == "*" or (name[0] == "@" and name[1:] in classes):
            return row
    raise LookupError("drained.csv has no row for any food")


def _by_content(
    count: Range,
    noun: str | None,
    food: Food | None,
    names: Sequence[str],
    classes: frozenset[str],
    content: Range,
) -> Weight:
    """What one container was said to hold, without the liquid where that is poured away."""
    net = _times(count, content)
    if noun in _TINS and eaten_drained(food, classes):
        left = _drained(names, classes)
        source = f"net weight as said; drained is {left.best:.0%} of it: {left.source}"
        return Weight(*_times(net, (left.low, left.best, left.high)), source)
    return Weight(*net, "net weight as said")
