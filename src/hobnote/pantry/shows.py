"""How ``hobnote food`` prints a match: a table with Rich, or one line of JSON."""

from __future__ import annotations

import json
import os
import sys

from rich.console import Console
from rich.table import Table

from hobnote.pantry.own import compare
from hobnote.pantry.pantry import Pantry
from hobnote.pantry.tables import read_rows
from hobnote.pantry.types import Food, Match

_MAIN = (
    "energy_kcal", "protein_g", "fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g",
    "sodium_mg", "alcohol_g", "water_g",
)  # fmt: skip


def line(pantry: Pantry, name: str, state: str | None, format_: str) -> str:
    """One name as one line: JSON, or name, score and description."""
    match = pantry.match(name, state=state)
    if format_ == "json":
        return json.dumps(as_dict(pantry, match), ensure_ascii=False)
    found = match.food.description if match.food else "nothing fits"
    ask = " (ask)" if match.score < pantry.ASK_BELOW else ""
    return f"{name}: {found} [{match.score:.2f}]{ask}"


def as_dict(pantry: Pantry, match: Match) -> dict[str, object]:
    """A match as plain data; ``description`` is None where nothing fits."""
    food = match.food
    return {
        "name": match.name,
        "id": food.id if food else None,
        "description": food.description if food else None,
        "match": match.score,
        "ask": match.score < pantry.ASK_BELOW,
        "generic": match.generic,
        "why": match.why,
        "runners_up": [
            {"id": other.id, "description": other.description, "match": score}
            for other, score in match.runners_up
        ],
    }


def console() -> Console:
    """A console without colour codes in pipes, 80 columns wide there."""
    terminal = sys.stdout.isatty()
    plain = not terminal or bool(os.environ.get("NO_COLOR"))
    return Console(
        no_color=plain, force_terminal=terminal, width=None if terminal else 80, highlight=False
    )


def table(pantry: Pantry, match: Match) -> None:
    """Print the row, its nutrients, weights, density and refuse, and why it won."""
    out = console()
    food = match.food
    if food is None:
        out.print(f"Nothing in the table fits '{match.name}': {match.why}.")
        return
    asks = " - a question, not an answer" if match.score < pantry.ASK_BELOW else ""
    out.print(f"{food.description}", style="bold")
    out.print(f"{food.id}, {food.group}; {food.source}")
    out.print(f"Match {match.score:.2f}{asks}: {match.why}.")
    out.print(_nutrients(food))
    density = pantry.density(food)
    if density:
        out.print(f"Density: {density:.2f} g/ml.")
    refuse = f"{food.refuse:.0%} of the weight as bought" if food.refuse else "none is listed"
    out.print(f"Refuse: {refuse}.")
    weights = _weights(pantry, match, food)
    if weights.row_count:
        out.print(weights)
    if match.generic:
        out.print(f"'{match.name}' may mean several foods:")
    elif match.runners_up:
        out.print("Other rows it might be:")
    for other, score in match.runners_up:
        said = "; ".join(_changes(food, other))
        out.print(f"  {other.description} [{score:.2f}]: {said}", markup=False)


def _changes(food: Food, other: Food) -> list[str]:
    """What another row would change in 100 g: its energy, then up to two nutrients that differ."""
    gaps: list[tuple[float, str]] = []
    labels = {row["key"]: row["label"] for row in read_rows("nutrients.csv")}
    for key in _MAIN[1:-1]:
        mine, theirs = food.nutrients.get(key), other.nutrients.get(key)
        if mine is None or theirs is None:
            continue
        trace = 20.0 if key.endswith("_mg") else 0.5
        gap = abs(theirs - mine) / max(mine, theirs, 1e-9)
        if abs(theirs - mine) > trace and gap > 0.15:
            unit = key.rsplit("_", 1)[1]
            label = labels[key].split(",")[0]
            gaps.append((gap, f"{label} {theirs:.3g} {unit} against {mine:.3g}"))
    kcal = other.nutrients.get("energy_kcal")
    energy = [f"{kcal:.0f} kcal in 100 g"] if kcal is not None else []
    return energy + [text for _, text in sorted(gaps, reverse=True)[:2]]


def _nutrients(food: Food) -> Table:
    grid = Table(title="In 100 g", box=None, show_header=False, title_justify="left")
    for row in read_rows("nutrients.csv"):
        if row["key"] in _MAIN:
            value = food.nutrients.get(row["key"])
            unit = row["key"].rsplit("_", 1)[1]
            grid.add_row(row["label"], "unknown" if value is None else f"{value:.4g} {unit}")
    return grid


def _weights(pantry: Pantry, match: Match, food: Food) -> Table:
    grid = Table(title="Household weights", box=None, show_header=False, title_justify="left")
    rows = {w.measure: w for w in food.weights if w.measure.lower() not in ("oz", "lb")}
    for weight in rows.values():
        grid.add_row(weight.measure, f"{weight.grams:g} g")
    for what, piece in pantry.pieces(food, match.name):
        grid.add_row(what, f"{piece.best:g} g ({piece.low:g} to {piece.high:g})")
    return grid


def side_by_side(own: Food, match: Match) -> None:
    """Print one of the cook's foods beside the table's row, per 100 g."""
    other = match.food
    assert other is not None
    grid = Table(title="In 100 g", title_justify="left")
    grid.add_column("")
    grid.add_column(own.description, justify="right")
    grid.add_column(other.description, justify="right")
    grid.add_column("difference", justify="right")
    labels = {row["key"]: row["label"] for row in read_rows("nutrients.csv")}
    for key, mine, theirs in compare(own, other):
        gap = "" if mine is None or theirs is None else f"{mine - theirs:+.4g}"
        cells = ["unknown" if v is None else f"{v:.4g}" for v in (mine, theirs)]
        grid.add_row(f"{labels[key].split(' (')[0]}, {key.rsplit('_', 1)[1]}", *cells, gap)
    console().print(grid)
