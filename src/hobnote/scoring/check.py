"""Checking gold files: that they parse and that what they quote was said."""

from __future__ import annotations

import re
from pathlib import Path

from hobnote.scoring.gold import GoldError, GoldIngredient, Note, gold_paths, load_note
from hobnote.scoring.names import best_likeness, words
from hobnote.scoring.speech import squeeze

SHORTEST, LONGEST = 40, 900
"""Words that a note may have."""


def check_folder(folder: Path) -> list[str]:
    """Every problem of the gold under ``folder``, one clear sentence each; empty when sound.

    Raises:
        GoldError: the folder does not exist or holds no gold file.
    """
    problems: list[str] = []
    for path in gold_paths(folder):
        try:
            note = load_note(path)
        except GoldError as error:
            problems.append(str(error))
            continue
        except Exception as error:  # the caption libraries raise many kinds
            problems.append(f"{path.name}: the note beside it cannot be read ({error})")
            continue
        problems += [f"{path.name}: {problem}" for problem in check_note(note)]
    return problems


def check_note(note: Note) -> list[str]:
    """The problems of one note with its gold."""
    problems = _quotes(note) + _steps(note) + _rest(note)
    seen: set[tuple[str, str, str | None]] = set()
    for row in note.gold.ingredients:
        key = (row.name, row.component, row.swap_for)
        if key in seen:
            problems.append(f"{row.name} stands twice in {row.component}")
        seen.add(key)
        problems += [f"{row.name}: {problem}" for problem in _row(note, row)]
    return problems


def _said(note: Note, phrase: str) -> bool:
    return squeeze(phrase) in note.spoken


def _quotes(note: Note) -> list[str]:
    problems = [f"aside not in the note: {a!r}" for a in note.gold.asides if not _said(note, a)]
    spoken = words(note.spoken)
    meant = [m.meant for m in note.gold.mishearings]
    for miss in note.gold.mishearings:
        if not re.search(rf"\b{re.escape(squeeze(miss.heard))}\b", note.spoken, re.IGNORECASE):
            problems.append(f"mis-heard word not in the note: {miss.heard!r}")
    for food in note.gold.kept_out:
        if not set(words(food)) <= set(spoken) and food not in meant:
            problems.append(f"kept-out food not in the note: {food!r}")
        rows = [r.name for r in note.gold.ingredients if best_likeness(food, r.accepted)]
        if rows:
            problems.append(f"kept-out food {food!r} is also the ingredient {rows[0]!r}")
    return problems


def _row(note: Note, row: GoldIngredient) -> list[str]:
    problems: list[str] = []
    if row.name != row.name.lower() or row.name != squeeze(row.name):
        problems.append("the name must be plain and lower case")
    if row.vague and not _said(note, row.vague):
        problems.append(f"vague words not in the note: {row.vague!r}")
    # "75 g of butter", later "another knob": one row, its exact part and the vague rest.
    topped_up = bool(row.amount and row.vague)
    ways = [bool(row.amount), bool(row.vague) and not topped_up, row.missing, row.relative]
    if sum(ways) != 1 and not (row.swap_for and not any(ways)):
        problems.append("needs exactly one of amount, vague, missing and relative")
    if (row.amount or row.relative) and not row.grams and not row.swap_for:
        problems.append("an exact or relative amount needs a grams range")
    if row.amount and row.amount.low > row.amount.high:
        problems.append("the amount runs backwards")
    if row.amount and row.amount.unit in ("g", "kg") and row.grams:
        factor = 1000 if row.amount.unit == "kg" else 1
        low, high = row.amount.low * factor, row.amount.high * factor
        if (row.grams[0] > high * 1.05 and not topped_up) or row.grams[1] < low * 0.4:
            problems.append(f"grams {row.grams} do not go with {low:g} to {high:g} g")
    if row.swap_for and note.gold.named(row.swap_for) is None:
        problems.append(f"swap for {row.swap_for!r}, which is no row")
    if not _named(note, row):
        problems.append("neither this name nor an accepted one is said in the note")
    return problems


def _named(note: Note, row: GoldIngredient) -> bool:
    """Is the head noun of an accepted name, or its mis-hearing, said somewhere?"""
    spoken = set(words(note.spoken))
    joined = "".join(words(note.spoken))
    for name in row.accepted:
        head = words(name)[-1]
        if head in spoken or "".join(words(name)) in joined:
            return True
        if any(head in words(m.meant) for m in note.gold.mishearings):
            return True
    return False


def _steps(note: Note) -> list[str]:
    known = {r.name for r in note.gold.ingredients} | {r.component for r in note.gold.ingredients}
    problems = [
        f"step {i}: {name!r} is neither an ingredient row nor a component"
        for i, step in enumerate(note.gold.steps, 1)
        for name in step.ingredients
        if name not in known
    ]
    if not note.gold.steps:
        problems.append("has no steps")
    return problems


def _rest(note: Note) -> list[str]:
    problems: list[str] = []
    gold = note.gold
    parts = {r.component for r in gold.ingredients}
    for claim in gold.claims:
        if claim.scope not in {"portion", "total"} | parts:
            problems.append(f"claim scope {claim.scope!r} is no component")
    for name in {name for group in gold.choices for name in group} - parts:
        problems.append(f"choice {name!r} is no component")
    length = len(note.spoken.split())
    if not SHORTEST <= length <= LONGEST:
        problems.append(f"has {length} words, wanted {SHORTEST} to {LONGEST}")
    return problems
