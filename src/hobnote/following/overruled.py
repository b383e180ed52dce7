"""Amounts that are said only to be overruled: "the recipe says 200, I use 150".

What somebody else uses, what was meant to go in or what was said earlier is
named with a figure, and the cook's own figure follows. Only the latter counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from spacy.tokens import Doc

from hobnote.following.clauses import Clause
from hobnote.following.pairing import Pair
from hobnote.following.scene import Scene
from hobnote.following.state import State
from hobnote.marking.marks import AMOUNT, FOOD, AmountValue, Mark
from hobnote.marking.tables import unit_words

REACH: Final = 9
"""Most words between a cue such as "the recipe says" and the amount that it speaks of."""
CORRECTED_AT_ONCE: Final = 4
"""Words after a correction within which the new amount is read as a correction anyway."""
FARTHEST: Final = 18
"""Most words between the amount overruled and the one that stands."""
_ASSERTING: Final = frozenset(
    {"use", "used", "using", "put", "do", "did", "go", "went", "had", "have", "'ve", "add", "added",
     "take", "took", "make", "made", "it's", "its", "'s", "is", "so", "but", "only", "just", "got",
     "now", "need", "say", "mine", "today"}
)  # fmt: skip
_TURNS: Final = frozenset({"but", "so", "only"})
_SELF: Final = frozenset({"i", "we", "mine"})
_VOLUMES: Final = frozenset({"ml", "l", "tsp", "tbsp", "cup", "fl oz"})
_WEIGHTS: Final = frozenset({"g", "kg", "oz", "lb"})


def overruled(clauses: Sequence[Clause]) -> dict[Mark, Mark]:
    """Amounts of an utterance that do not stand, each with the one that stands instead."""
    cues = [m for c in clauses for m in c.cues("overruled", "past", "other")]
    amounts = [m for c in clauses for m in c.of(AMOUNT) if _exact(m)]
    if len(amounts) < 2:
        return {}
    found = _corrected(clauses, amounts)
    for cue in cues:
        first = _spoken_of(clauses, cue, amounts)
        if first is None or first in found:
            continue
        final = _standing(clauses, first, cue, amounts)
        if final is not None:
            found[first] = final
    return found


def _corrected(clauses: Sequence[Clause], amounts: Sequence[Mark]) -> dict[Mark, Mark]:
    """ "Fifty grams, no wait, it was too sweet last time, thirty": the reason stands between."""
    found: dict[Mark, Mark] = {}
    for cue in (m for c in clauses for m in c.cues("correction")):
        first = next((m for m in reversed(amounts) if m.end <= cue.start), None)
        after = [m for m in amounts if m.start >= cue.end]
        if first is None or not after or cue.start - first.end > 3 or first in found:
            continue
        final = after[0]
        far = final.start - cue.end
        if CORRECTED_AT_ONCE < far <= FARTHEST and _alike(first.value, final.value):
            foods = [m for c in clauses for m in c.of(FOOD) if cue.end <= m.start < final.end + 3]
            # "no wait, the beans are salted, so just one": a reason may name what is in already
            if all(m.value.definite and final.start - m.end >= 3 for m in foods):
                found[first] = final
    return found


def settled(doc: Doc, first: Mark, final: Mark) -> Mark:
    """``final`` with the unit of ``first`` where it has none of its own ("3 dl … so 2")."""
    value, before = final.value, first.value
    if value.unit is not None or before.unit is None:
        return final
    factor = 1.0
    words = [t.lower_ for t in doc[first.start : first.end]]
    for i in range(len(words)):
        hit = unit_words().at(words, i)
        if hit is not None and hit[1].unit == before.unit and value.best < before.best / 20:
            factor = hit[1].best
    spoken = replace(
        value,
        unit=before.unit,
        noun=before.noun,
        low=value.low * factor,
        best=value.best * factor,
        high=value.high * factor,
    )
    return replace(final, value=spoken)


def doubted(clauses: Sequence[Clause]) -> Mark | None:
    """The amount of an utterance that the next one may overrule ("The book says 200 g.")."""
    amounts = [m for c in clauses for m in c.of(AMOUNT) if _exact(m)]
    cues = [m for c in clauses for m in c.cues("overruled", "past", "other")]
    firsts = [_spoken_of(clauses, cue, amounts) for cue in cues]
    return next((m for m in reversed(firsts) if m is not None), None)


def overrule(scene: Scene) -> None:
    """Note the amounts that another one replaces; what is said of them is the recipe after all."""
    scene.replaced = overruled(scene.clauses)
    for first, final in scene.replaced.items():
        for n in range(scene.clause_at(first.start), scene.clause_at(final.start) + 1):
            if scene.moods[n] in ("past", "other", "hypothetical"):
                scene.moods[n] = "recipe"


def doubt(state: State, scene: Scene) -> None:
    """ "The book says 200 g of sugar." "I use 150.": the next amount may overrule this one."""
    mark = doubted(scene.clauses)
    state.doubted = None
    if any(c.cues("correction") for c in scene.clauses) and not any(
        c.of(AMOUNT, FOOD) for c in scene.clauses
    ):
        last = state.last_measured  # "Two cans. No, wait, that was for six. One can."
        state.doubted = last if last is not None and last.alive else None
        return
    if mark is None or mark in scene.replaced.values():
        return
    rows = [row for start, row in scene.rows.items() if abs(start - mark.end) <= REACH]
    state.doubted = rows[-1] if rows else None
    foods = [m for c in scene.clauses for m in c.of(FOOD) if 0 <= m.start - mark.end <= 3]
    if not rows and foods and scene.moods[scene.clause_at(mark.start)] != "plug":
        state.asked, state.asked_at = foods[0].value, state.utterance


def unpaired(
    usable: Sequence[Mark], replaced: Mapping[Mark, Mark], pairs: Sequence[Pair]
) -> list[Pair]:
    """ "Jalapeños, well, first time I had three in there, so two": for the food before it."""
    taken = {p.food for p in pairs}
    amounts = {p.amount for p in pairs}
    found: list[Pair] = []
    for first, final in replaced.items():
        if final in amounts:
            continue
        before = [m for m in usable if m.label == FOOD and m.end <= first.start]
        if before and first.start - before[-1].end <= REACH and before[-1] not in taken:
            found.append(Pair(final, before[-1], 1.0, False))
    return found


def asserts(clause: Clause, mark: Mark) -> bool:
    """ "I use 150.", "Mine's 60.": a clause that gives one amount and names no food."""
    if clause.of(FOOD) or len(clause.of(AMOUNT)) > 1:
        return False
    before = {t.lower_ for t in clause.doc[clause.start : mark.start]}
    return not before.isdisjoint(_ASSERTING)


def _exact(mark: Mark) -> bool:
    value = mark.value
    return (
        isinstance(value, AmountValue)
        and value.vague is None
        and not value.each
        and not value.article
        and value.unit not in ("percent", "kcal", "kJ")
    )


def _words(clauses: Sequence[Clause], start: int, end: int) -> set[str]:
    return {t.lower_ for t in clauses[0].doc[start:end]}


def _spoken_of(clauses: Sequence[Clause], cue: Mark, amounts: Sequence[Mark]) -> Mark | None:
    """The amount after the cue, or before it ("300 ml it says in the book")."""
    after = next((m for m in amounts if m.start >= cue.end), None)
    before = next((m for m in reversed(amounts) if m.end <= cue.start), None)
    trailing = before is not None and cue.start - before.end <= 4
    if after is not None and after.start - cue.end <= REACH:
        gap = _words(clauses, cue.end, after.start)
        if gap.isdisjoint(_TURNS) and not (trailing and not gap.isdisjoint(_SELF)):
            return after
    return before if trailing else None


def _standing(
    clauses: Sequence[Clause], first: Mark, cue: Mark, amounts: Sequence[Mark]
) -> Mark | None:
    after = max(first.end, cue.end)
    for mark in reversed(amounts):
        if mark.start < after or mark.start - first.end > FARTHEST:
            continue
        if not _alike(first.value, mark.value) or _of_another(clauses, first, mark):
            continue
        if not _words(clauses, first.end, mark.start).isdisjoint(_ASSERTING):
            return mark
    return None


def _alike(a: AmountValue, b: AmountValue) -> bool:
    if b.unit is None or a.unit is None:
        return b.content is None
    kinds = (_VOLUMES, _WEIGHTS)
    return (a.unit == b.unit and a.noun == b.noun) or any(
        a.unit in k and b.unit in k for k in kinds
    )


def _of_another(clauses: Sequence[Clause], first: Mark, mark: Mark) -> bool:
    """Whether the later amount has a food of its own."""
    foods = [m for c in clauses for m in c.of(FOOD)]
    own = next((f for f in foods if 0 <= f.start - mark.end <= 3), None)
    if own is None:
        return any(first.end < f.start and 0 <= mark.start - f.end <= 1 for f in foods)
    near = [f for f in foods if abs(f.start - first.end) <= 4 or abs(first.start - f.end) <= 2]
    return all(own.value.name != f.value.name for f in near)
