"""Short, sourced safety notes, only where they apply. The rules are ``data/cautions.toml``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hobnote.nutrition.larder import Larder
from hobnote.nutrition.phrases import find
from hobnote.nutrition.step_index import StepIndex
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row
from hobnote.record import Caution, Record

BY_ROW = ("classes", "not_classes", "words", "not_words", "states", "unheated")


def cautions(record: Record, rows: Sequence[Row], pantry: Larder) -> list[Caution]:
    """The notes that apply to this dish, with the ingredients or words that brought each in.

    Swap rows bring none. The standing line on local codes and medical diets comes last.
    """
    if not rows:
        return []
    live = [
        (row, pantry.classes(row.food, row.ingredient.name))
        for row in rows
        if row.ingredient.swap_for is None
    ]
    found = []
    steps = StepIndex(record.steps)
    for note in tree("cautions")["caution"]:
        because = _because(note, record, live, steps)
        if because is not None:
            found.append(
                Caution(
                    topic=note["topic"],
                    text=note["text"],
                    source=note["source"],
                    because=because,
                )
            )
    return found


def _because(
    note: Mapping[str, Any],
    record: Record,
    rows: Sequence[tuple[Row, frozenset[str]]],
    steps: StepIndex,
) -> list[str] | None:
    """Why the note applies, or None where one of its conditions fails."""
    if note.get("always"):
        return []
    because: list[str] = []
    if any(key in note for key in BY_ROW):
        hit = [row.ingredient.name for row, own in rows if _row_fits(note, row, own, steps)]
        if not hit:
            return None
        because.extend(dict.fromkeys(hit))
    if "verbs" in note:
        names = set(because)
        verbs = [
            s.verb
            for s in record.steps
            if s.verb in note["verbs"] and (not names or names & set(s.ingredients))
        ]
        if not verbs:
            return None
        because.extend(dict.fromkeys(verbs))
    if "said" in note:
        said = find(note["said"], _words(record, [row for row, _ in rows]))
        if not said:
            return None
        because.extend(said)
    if "portions" in note:
        if record.portions is None or record.portions.high < note["portions"]:
            return None
        because.append(f"{record.portions.best:g} portions")
    return because


def _words(record: Record, rows: Sequence[Row]) -> str:
    """The title, every step as it is written and as it was heard, and the ingredients' names."""
    steps = [text for s in record.steps for text in (s.text, *(h.text for h in s.heard))]
    return " . ".join([record.title or "", *steps, *(row.ingredient.name for row in rows)])


def _row_fits(note: Mapping[str, Any], row: Row, classes: frozenset[str], steps: StepIndex) -> bool:
    name = row.ingredient.name
    if "classes" in note and classes.isdisjoint(note["classes"]):
        return False
    if not classes.isdisjoint(note.get("not_classes", ())):
        return False
    if "words" in note and not find(note["words"], name):
        return False
    if "not_words" in note and find(note["not_words"], name):
        return False
    if "states" in note:
        states = {row.ingredient.state, row.food.form if row.food else None}
        if not states & set(note["states"]):
            return False
    if note.get("unheated"):
        return not steps.heated(name, row.component)
    return True
