"""A recipe as CSV for a spreadsheet; no cell can be taken for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from hobnote.nutrition.totals import chosen, row_counts
from hobnote.publishing import figures
from hobnote.publishing.measures import Density, grams_text, kitchen_text, table_density
from hobnote.publishing.options import DEFAULT, Options
from hobnote.record import Bounds, Record

# What spreadsheets take as the start of a formula, and what hides one behind white space.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%")
HEADING = (
    "part",
    "ingredient",
    "state and preparation",
    "grams low",
    "grams best",
    "grams high",
    "as said",
    "kitchen measure",
    "counts in totals",
    "instead of",
    "condition",
    "food",
    "energy kcal low",
    "energy kcal best",
    "energy kcal high",
    "protein g best",
    "fat g best",
    "carbohydrate g best",
    "open questions",
)


def safe(value: object) -> object:
    """``value`` for a cell: text that a spreadsheet would compute is quoted with an apostrophe."""
    if not isinstance(value, str):
        return value
    text = "".join(c if c >= " " or c in "\n\t" else " " for c in value)
    return f"'{text}" if text.lstrip().startswith(_FORMULA) or text.startswith(_FORMULA) else text


def to_csv(record: Record, options: Options = DEFAULT, density: Density = table_density) -> str:
    """A row for each ingredient, UTF-8, comma separated, lines end in CRLF (RFC 4180)."""
    options.admit(record)
    return written([HEADING, *_rows(record, density)])


def written(rows: Iterable[Iterable[object]]) -> str:
    """Rows as CSV with every cell made safe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows([safe(cell) for cell in row] for row in rows)
    return out.getvalue()


def _rows(record: Record, density: Density) -> Iterable[list[object]]:
    questions = {flag.id: flag.question for flag in record.flags}
    for part, counts in zip(record.components, chosen(record.components), strict=True):
        for row in part.ingredients:
            energy = row.nutrition.get("energy_kcal")
            yield [
                part.name,
                row.name,
                ", ".join([*([row.state] if row.state else []), *row.preparation]),
                *_ends(row.grams),
                figures.amount(row.amount),
                kitchen_text(row, density, record.measures or "us") or grams_text(row.grams) or "",
                "yes" if counts and row_counts(row) else "no",
                row.swap_for or "",
                row.condition or "",
                row.food.description if row.food else "",
                *_ends(energy),
                *(_best(row.nutrition.get(key)) for key in ("protein_g", "fat_g")),
                _best(row.nutrition.get("carbohydrate_g")),
                " / ".join(questions[flag] for flag in row.flags if flag in questions),
            ]


def _ends(value: Bounds | None) -> list[object]:
    if value is None:
        return ["", "", ""]
    return [round(value.low, 1), round(value.best, 1), round(value.high, 1)]


def _best(value: Bounds | None) -> object:
    return "" if value is None else round(value.best, 1)
