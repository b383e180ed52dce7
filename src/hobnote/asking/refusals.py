"""Which of several figures in a message hold: "40 g, not 30", "a teaspoon, no, a tablespoon"."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

from spacy.tokens import Doc

from hobnote.marking.marks import CUE, Mark, marks
from hobnote.marking.tables import rows

PACKAGE: Final = "hobnote.asking"
_NEAR: Final = 3
_BETWEEN: Final = frozenset({"of", "the", "a", "an", "just", "about", "only", "at", "for", "on"})


@cache
def words(name: str) -> frozenset[str]:
    """The words filed under ``name`` in ``words.csv``."""
    return frozenset(
        word
        for row in rows("words.csv", PACKAGE)
        if row["list"] == name
        for word in row["words"].split("|")
    )


def refused(doc: Doc, mark: Mark) -> bool:
    """Whether a figure is said not to hold ("not 25", "instead of the 180")."""
    for token in reversed(list(doc[max(0, mark.start - _NEAR) : mark.start])):
        if token.lower_ in words("refuses"):
            return token.lower_ not in ("no", "than") or token.i == mark.start - 1
        if token.lower_ not in _BETWEEN:
            return False
    return False


def standing(doc: Doc, found: Sequence[Mark]) -> list[Mark]:
    """The figures that hold: those after the last correction, and none that is refused.

    "a teaspoon, no, a tablespoon"; "40 g, not 30"; "60 instead of 50"; "one, but it was two".
    """
    held = [m for m in found if not refused(doc, m)] or list(found)
    cuts = [m.end for m in marks(doc, CUE) if m.value == "correction"]
    cuts += [t.i + 1 for t in doc if t.lower_ in ("no", "nope", "rather", "but")]
    for cut in sorted(cuts, reverse=True):
        after = [m for m in held if m.start >= cut]
        if after and len(after) < len(held):
            return after
    return held
