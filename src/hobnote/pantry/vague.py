"""Grams of vague measures and of ingredients named without any amount: ranges, never points."""

from __future__ import annotations

from functools import cache

from hobnote.pantry.tables import lines, split
from hobnote.pantry.types import Weight
from hobnote.pantry.weights import Range, sizes


@cache
def _vague() -> dict[str, list[tuple[str, Range, str]]]:
    out: dict[str, list[tuple[str, Range, str]]] = {}
    for line in lines("vague_grams.csv")[1:]:
        key, food_class, low, best, high, source = split(line)
        row = (food_class, (float(low), float(best), float(high)), source)
        out.setdefault(key, []).append(row)
    return out


@cache
def _usual() -> tuple[tuple[str, str, Range, str], ...]:
    rows = (split(line) for line in lines("usual.csv")[1:])
    return tuple((c, per, (float(a), float(b), float(h)), s) for c, per, a, b, h, s in rows)


@cache
def keys() -> dict[str, tuple[str, ...]]:
    """The vague measures: key -> the phrases that mean it (``vague_words.csv``)."""
    rows = (split(line) for line in lines("vague_words.csv")[1:])
    return {key: tuple(phrases.split("|")) for key, phrases, _ in rows}


def fits(wanted: str, classes: frozenset[str]) -> bool:
    """Whether a class cell holds for a food: ``any``, one class, or several joined by +."""
    return wanted == "any" or set(wanted.split("+")) <= classes


def weigh(key: str, classes: frozenset[str], size: str | None, count: Range) -> Weight | None:
    """Grams of ``count`` of the vague measure ``key``; None when the key is unknown."""
    for food_class, grams, source in _vague().get(key, ()):
        if not fits(food_class, classes):
            continue
        factor = sizes("vague").get(size or "", (1.0, 1.0, 1.0))
        low, best, high = (g * f * n for g, f, n in zip(grams, factor, count, strict=True))
        of = "any food" if food_class == "any" else food_class
        words = " ".join(w for w in (size, key.replace("_", " ")) if w)
        return Weight(low, best, high, f"a {words} of {of}: {source}")
    return None


def usual(classes: frozenset[str], names: tuple[str, ...], portions: float | None) -> Weight:
    """A typical range when no amount was said; without portions, for one to four of them."""
    for food_class, per, (low, best, high), source in _usual():
        named = food_class.removeprefix("name:")
        if not (named in names if named != food_class else fits(food_class, classes)):
            continue
        of = "any food" if food_class == "any" else named
        text = f"usual for {of}, nothing said: common practice ({source})"
        if per == "dish":
            return Weight(low, best, high, text)
        few, likely, many = (portions,) * 3 if portions else (1.0, 2.0, 4.0)
        return Weight(low * few, best * likely, high * many, text)
    raise LookupError("usual.csv has no row for any food")
