"""Own foods as CSV and as KEY=VALUE changes. Pure: text in, foods out, and back."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from hobnote.pantry.own import (
    KCAL_PER_KJ,
    KEYS,
    SALT_PER_SODIUM,
    LabelError,
    OwnFood,
    problems,
)

COLUMNS = ("name", "serving_g", "density_g_ml", *KEYS, "note")


def write_csv(foods: Iterable[OwnFood]) -> str:
    """Foods as CSV, figures per 100 g; an unknown figure is an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for food in foods:
        plain = {"name": food.name, "note": food.note}
        sizes = {"serving_g": food.serving_g, "density_g_ml": food.density_g_ml}
        numbers = {**sizes, **food.figures}
        cells = []
        for column in COLUMNS:
            value = numbers.get(column)
            cells.append(plain.get(column, "" if value is None else f"{value:g}"))
        writer.writerow(cells)
    return out.getvalue()


def read_csv(text: str) -> list[OwnFood]:
    """Foods of a CSV file with the columns of :func:`write_csv`, any of them but name left out.

    Raises :class:`LabelError` naming the line of the first row that cannot be right.
    """
    reader = csv.DictReader(io.StringIO(text))
    columns = reader.fieldnames or []
    if "name" not in columns:
        raise LabelError(f"the first line must name the columns: {','.join(COLUMNS)}")
    strange = [column for column in columns if column not in COLUMNS]
    if strange:
        raise LabelError(f"there is no column '{strange[0]}'; known are {','.join(COLUMNS)}")
    foods = []
    for row in reader:
        where = f"line {reader.line_num}"
        if None in row or None in row.values():
            raise LabelError(f"{where}: the row has not as many cells as the first line")
        name = row["name"].strip()
        if not name:
            raise LabelError(f"{where}: the name is missing")
        numbers = {
            k: _number(v, f"{where}, {k}") for k, v in row.items() if k not in ("name", "note")
        }
        foods.append(_checked(_with(OwnFood(name, note=row.get("note", "")), numbers), where))
    return foods


def changed(food: OwnFood, changes: Sequence[str]) -> OwnFood:
    """``food`` with KEY=VALUE changes; an empty value forgets the figure."""
    numbers: dict[str, float | None] = {}
    for change in changes:
        said, sign, value = change.partition("=")
        key, factor = _key(said.strip().lower())
        if not sign or key is None:
            raise LabelError(
                f"'{change}' is not KEY=VALUE; keys are {', '.join(COLUMNS[1:-1])}, kj and salt"
            )
        number = _number(value, said)
        numbers[key] = number if number is None else round(number * factor, 3)
    return _checked(_with(food, numbers), food.name)


def _key(said: str) -> tuple[str | None, float]:
    """The column that a key means ("fat", "fat_g", "kj", "salt"), and the factor to its unit."""
    if said in ("kj", "energy_kj"):
        return "energy_kcal", KCAL_PER_KJ
    if said in ("salt", "salt_g"):
        return "sodium_mg", 1000 / SALT_PER_SODIUM
    short = {c.rsplit("_", 1)[0].removesuffix("_g"): c for c in COLUMNS[1:-1]}
    short |= {"kcal": "energy_kcal", "fiber": "fibre_g", "carbs": "carbohydrate_g"}
    return (said if said in COLUMNS[1:-1] else short.get(said)), 1.0


def _with(food: OwnFood, numbers: dict[str, float | None]) -> OwnFood:
    figures = {**food.figures}
    for key in KEYS:
        if key in numbers:
            value = numbers[key]
            if value is None:
                figures.pop(key, None)
            else:
                figures[key] = value
    return replace(
        food,
        figures=figures,
        serving_g=numbers.get("serving_g", food.serving_g),
        density_g_ml=numbers.get("density_g_ml", food.density_g_ml),
    )


def _checked(food: OwnFood, where: str) -> OwnFood:
    if "energy_kcal" not in food.figures:
        raise LabelError(f"{where}: the energy (energy_kcal) is missing")
    if wrong := problems(food):
        raise LabelError(f"{where}: {'; '.join(wrong)}")
    for value, what in ((food.serving_g, "serving_g"), (food.density_g_ml, "density_g_ml")):
        if value is not None and value <= 0:
            raise LabelError(f"{where}: {what} must be more than 0")
    return food


def _number(text: str, where: str) -> float | None:
    if not text.strip():
        return None
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise LabelError(f"{where}: '{text}' is not a number")
    return number
