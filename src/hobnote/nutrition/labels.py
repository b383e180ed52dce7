"""Nutrition declarations by EU 1169/2011 and 21 CFR 101.9, as text, JSON data and HTML.

Always marked as calculated: a declaration on a sold product is its maker's
responsibility, and analysis may say otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from html import escape
from typing import Literal

from hobnote.nutrition.bounds import exact, scale
from hobnote.nutrition.profile import eu_energy
from hobnote.nutrition.rounding import rounded_text
from hobnote.nutrition.tables import nutrients, rows, tree
from hobnote.nutrition.yields import at_yield
from hobnote.record import Bounds, Nutrition, Record

Regime = Literal["EU", "FDA"]
CALCULATED = "Calculated from food tables, not analysed."
AS_PUT_TOGETHER = "Per 100 g of the dish as put together, before cooking losses."
UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Line:
    """One line. Texts carry their unit; ``percent`` is of the daily value in a portion."""

    key: str
    name: str
    indent: int
    per_100g: str | None
    per_portion: str | None
    percent: str | None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """A declaration. ``unknown`` names the required lines that the table cannot fill."""

    regime: str
    rule: str
    title: str
    percent_name: str
    portion_g: float | None
    portions: float | None
    lines: list[Line]
    unknown: list[str]
    missing: list[str]
    notes: list[str] = field(default_factory=list)


def declaration(
    record: Record, regime: Regime = "EU", finished_g: float | Bounds | None = None
) -> Label:
    """The declaration of a weighed record, best figures, per 100 g and per portion.

    ``finished_g``: the weight of the finished dish, where the cook weighed it;
    without it 100 g are those of the ingredients as put together.
    ``low`` and ``high`` of a line are the open band of a portion (of 100 g
    where portions are unknown). Raises ValueError where nothing was computed.
    """
    nutrition = record.nutrition
    if not nutrition.total or nutrition.per_100g is None:
        raise ValueError("nothing of the dish could be computed, so there is nothing to declare")
    data = tree("labels")[regime]
    hundred, portion = _by_law(regime, _hundred(nutrition, finished_g)), None
    if nutrition.per_portion is not None:
        portion = _by_law(regime, nutrition.per_portion)
    lines = [
        _line(regime, key, name, indent, hundred, portion) for key, name, indent in data["lines"]
    ]
    units = nutrients()
    unknown = [
        units[key].name if key in units else "added sugars"
        for key in data["needed"]
        if key not in hundred
    ]
    return Label(
        regime=regime,
        rule=data["rule"],
        title=data["title"],
        percent_name=data["percent_name"],
        portion_g=_portion_g(record, finished_g),
        portions=record.portions.best if record.portions else None,
        lines=lines,
        unknown=unknown,
        missing=list(nutrition.missing),
        notes=_notes(nutrition, portion is not None, data["note"], finished_g is not None),
    )


def _hundred(nutrition: Nutrition, finished_g: float | Bounds | None) -> dict[str, Bounds]:
    """Per 100 g of what went in, or of the finished weight."""
    assert nutrition.per_100g is not None
    if finished_g is None or nutrition.weight_g is None:
        return nutrition.per_100g
    finished = exact(finished_g) if isinstance(finished_g, int | float) else finished_g
    if finished.low <= 0:
        raise ValueError("the weight of the finished dish must be more than 0")
    # One yield for both ends: raw and finished weight rise together.
    return at_yield(nutrition, scale(finished, 1 / nutrition.weight_g.best))


def _notes(nutrition: Nutrition, with_portion: bool, note: str, finished: bool) -> list[str]:
    basis = "Per 100 g of the finished dish." if finished else AS_PUT_TOGETHER
    notes = [CALCULATED, basis]
    if with_portion:
        notes.append(note)
    if nutrition.missing:
        notes.append(f"Not counted: {', '.join(nutrition.missing)}.")
    return notes


def _by_law(regime: str, figures: Mapping[str, Bounds]) -> dict[str, Bounds]:
    """The figures with energy by the EU's factors where the EU asks for them."""
    found = dict(figures)
    energy = eu_energy(found) if regime == "EU" else None
    if energy is not None:
        found["energy_kcal"], found["energy_kj"] = energy
    return found


def _portion_g(record: Record, finished_g: float | Bounds | None) -> float | None:
    weight, portions = record.nutrition.weight_g, record.portions
    if weight is None or portions is None or portions.best <= 0:
        return None
    grams = weight.best if finished_g is None else finished_g
    best = grams.best if isinstance(grams, Bounds) else grams
    return round(best / portions.best, 1)


def _line(
    regime: str,
    key: str,
    name: str,
    indent: int,
    hundred: Mapping[str, Bounds],
    portion: Mapping[str, Bounds] | None,
) -> Line:
    band = (portion or hundred).get(key)
    return Line(
        key=key,
        name=name,
        indent=indent,
        per_100g=_figure(regime, key, hundred),
        per_portion=None if portion is None else _figure(regime, key, portion),
        percent=None if portion is None else _percent(regime, key, portion),
        low=band.low if band else None,
        high=band.high if band else None,
    )


def _figure(regime: str, key: str, figures: Mapping[str, Bounds]) -> str:
    if key not in figures:
        return UNKNOWN
    unit = nutrients()[key].unit
    if regime == "FDA":
        unit = {"µg": "mcg", "kcal": ""}.get(unit, unit)
    return f"{rounded_text(regime, key, figures[key].best)} {unit}".strip()


def _percent(regime: str, key: str, portion: Mapping[str, Bounds]) -> str | None:
    data = tree("labels")[regime]
    if key not in portion or key in data.get("no_percent", ()):
        return None
    row = next((r for r in rows("daily_values") if r["nutrient"] == key), None)
    if row is None or not row[data["daily_value"]]:
        return None
    kind = "dv_micro" if key in data.get("micro", ()) else "dv_macro"
    share = portion[key].best / float(row[data["daily_value"]]) * 100
    return f"{rounded_text(regime, kind, share)} %"


def label_data(label: Label) -> dict[str, object]:
    """The declaration as plain data for JSON."""
    return asdict(label)


def _heading(label: Label) -> list[str]:
    if all(line.per_portion is None for line in label.lines):
        return ["per 100 g"]
    portion = "per portion"
    if label.portion_g is not None:
        portion += f" ({label.portion_g:.0f} g)"
    return ["per 100 g", portion, label.percent_name]


def _cells(line: Line, columns: int) -> list[str]:
    return [text or "" for text in (line.per_100g, line.per_portion, line.percent)][:columns]


def label_text(label: Label) -> str:
    """The declaration as lines of text, columns aligned."""
    heading = _heading(label)
    table = [["", *heading]]
    for line in label.lines:
        table.append(["  " * line.indent + line.name, *_cells(line, len(heading))])
    widths = [max(len(row[n]) for row in table) for n in range(len(heading) + 1)]
    body = [
        "  ".join(
            cell.ljust(width) if n == 0 else cell.rjust(width)
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in table
    ]
    return "\n".join([f"{label.title} ({label.rule})", *body, *label.notes]) + "\n"


def label_html(label: Label) -> str:
    """The declaration as an HTML table, escaped, without styles of its own."""
    heading = _heading(label)
    out = [f'<table class="nutrition-declaration" data-regime="{escape(label.regime)}">']
    out.append(f"<caption>{escape(label.title)} ({escape(label.rule)})</caption>")
    cells = "".join(f'<th scope="col">{escape(text)}</th>' for text in heading)
    out.append(f"<thead><tr><td></td>{cells}</tr></thead><tbody>")
    for line in label.lines:
        cells = "".join(f"<td>{escape(text)}</td>" for text in _cells(line, len(heading)))
        name = f'<th scope="row" class="indent-{line.indent}">{escape(line.name)}</th>'
        out.append(f"<tr>{name}{cells}</tr>")
    foot = "<br>".join(escape(note) for note in label.notes)
    out.append(f'</tbody><tfoot><tr><td colspan="{len(heading) + 1}">{foot}</td></tr></tfoot>')
    out.append("</table>")
    return "\n".join(out) + "\n"
