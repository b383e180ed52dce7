"""Swaps for those who cannot or will not eat something, and for what has run out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from hobnote.following.clauses import Clause
from hobnote.following.roles import Role
from hobnote.marking.marks import Mark

_GONE: Final = frozenset(
    {"in", "left", "about", "around", "handy", "available", "here", "today", "?"}
)  # fmt: skip
_LEADING: Final = frozenset({"oh", "and", "so", "also", "but", ",", "if"})
_USE: Final = frozenset({"use", "take", "try", "then"})
_ELSE: Final = frozenset({"otherwise", "else"})


def for_eaters(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    condition: str | None,
    roles: dict[Mark, Role],
) -> None:
    """ "tamari if you're coeliac", "for vegan fellows coconut oil": B for the row most like it.

    With an "otherwise" the food after it is the recipe's own.
    """
    cues = [m for c in clauses for m in c.cues("eater")]
    offers = [m for c in clauses for m in c.cues("offer")]
    if not cues and not offers:
        return
    doc = clauses[0].doc
    other = next(
        (i for c in clauses for i in range(c.start, c.end) if doc[i].lower_ in _ELSE), None
    )
    if cues and other is not None:
        before = [f for f in foods if f.end <= other]
        after = [f for f in foods if f.start > other]
        if before and after:
            roles[before[-1]] = Role("swap", after[0], condition, explicit=True)
            roles.pop(after[0], None)
            return
    for cue in cues:
        food = _nearest(clauses, [f for f in foods if f not in roles], cue)
        if food is not None:
            roles[food] = Role("swap", None, condition, tentative=True)
    for cue in offers:  # "if you want to use breast, take 700 g"
        near = [f for f in foods if 0 <= f.start - cue.end <= 2 and f not in roles]
        if near:
            roles[near[0]] = Role("swap", None, condition, tentative=True)


def _nearest(clauses: Sequence[Clause], foods: Sequence[Mark], cue: Mark) -> Mark | None:
    """The food just before the condition that ``cue`` stands in, or the one after it."""
    clause = next((c for c in clauses if c.start <= cue.start < c.end), clauses[-1])
    start = clause.start
    opens = start == clauses[0].start and any(
        t.lower_ in ("if", "for", "when", "my") for t in clause.doc[start : start + 2]
    )
    before = [f for f in foods if f.end <= cue.start]
    after = [f for f in foods if f.start >= cue.end]
    if before and not opens and cue.start - before[-1].end <= 8:
        return before[-1]
    return after[0] if after and after[0].start - cue.end <= 10 else None


def none_left(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    condition: str | None,
    roles: dict[Mark, Role],
    standing: Callable[[Mark], bool],
) -> None:
    """ "No mackerel in: tinned salmon, 180 g": what there is stands in for what has run out."""
    doc, start = clauses[0].doc, clauses[0].start
    while start < clauses[-1].end and doc[start].lower_ in _LEADING:
        start += 1
    if len(foods) < 2 or foods[1] in roles or doc[start].lower_ not in ("no", "out"):
        return
    first = foods[0]
    after = next((i for i in range(first.end, len(doc)) if doc[i].lower_ in _GONE), None)
    using = next((i for i in range(first.end, foods[1].start) if doc[i].lower_ in _USE), None)
    told = using is not None and using - first.end <= 1 and standing(first)
    if first.start - start > 2:
        return
    if not told:
        if after is None or after - first.end > 1:
            return
        if after + 1 < len(doc) and not doc[after + 1].is_punct and doc[after].text != "?":
            return
    roles[first] = Role("original")
    roles[foods[1]] = Role("swap", first, condition or doc[start : first.end].text, explicit=True)
