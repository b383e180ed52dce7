"""Bare figures that are the oven's by what stands around them: a tin, a time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from hobnote.marking.lexing import Words
from hobnote.marking.numerals import Numeral
from hobnote.marking.tables import bag, time_words

LONGEST: Final = 240
"""Most minutes of a time that is told without its unit."""
_LEADING: Final = bag(". at then bake roast on in back oven it and") | {"\n", ""}
_BAKING: Final = bag("tin tray loaf pan oven bake baking roast roasting dish sheet rack")
_PLACED: Final = bag("on in over off back tin tray pan dish oven")
_STOPS: Final = frozenset({",", ".", "\n", ";", ":"})


def _setting(degrees: float) -> bool:
    """Whether an oven may be set to the figure, in either scale."""
    return degrees % 5 == 0 and (130 <= degrees <= 250 or 300 <= degrees <= 475)


def for_a_time(w: Words, n: Numeral, found: Sequence[Numeral]) -> bool:
    """ "pastry on, 200 for 25", "bake 220 for ten then 180 for thirty"."""
    if not _setting(n.low) or n.is_range or w.get(n.end) != "for":
        return False
    time = next((m for m in found if m.start == n.end + 1), None)
    if time is None or time.low > LONGEST:
        return False
    before = w.get(n.start - 1)
    placed = before == "," and w.get(n.start - 2) in _PLACED
    if w.get(time.end) in time_words():
        return placed or before in _LEADING or before == ","
    closed = w.get(time.end) in ("", ",", ".", "\n", "then", "until", "and")
    return closed and (placed or before in _LEADING - {".", "\n", "", "and"})


def between_tin_and_time(w: Words, n: Numeral) -> bool:
    """ "Loaf pan, three fifty, fifty-five minutes": a tin, the oven's figure, a time."""
    i = n.start
    if not _setting(n.low) or n.is_range or w.get(i - 1) != ",":
        return False
    start = i - 1
    while start > 0 and w.text[start - 1] not in _STOPS and i - start < 9:
        start -= 1
    before = w.text[start : i - 1]
    led = not _BAKING.isdisjoint(before) or before[-1:] == ["in"]
    if w.get(n.end) not in (",", "for") or not led:
        return False
    return not set(time_words()).isdisjoint(w.text[n.end : n.end + 6])
