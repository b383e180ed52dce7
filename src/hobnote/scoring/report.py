"""Scores as a table for people and as JSON for programs."""

from __future__ import annotations

from dataclasses import asdict

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from hobnote.scoring.score import Scores
from hobnote.scoring.tally import Tally


def _figure(value: float | None) -> str:
    return "–" if value is None else f"{value:.3f}"


def print_scores(scores: Scores, console: Console, misses: bool = True) -> None:
    """The table, then every miss with its words."""
    table = Table(title=f"{len(scores.sheets)} notes", title_justify="left")
    table.add_column("measure")
    for column in ("precision", "recall", "F1", "right", "wanted", "came"):
        table.add_column(column, justify="right")
    for name, tally in scores.metrics.items():
        if not tally.possible and not tally.actual:
            continue
        came = "–" if tally.shares else str(tally.actual)
        figures = [_figure(v) for v in (tally.precision, tally.recall, tally.f1)]
        table.add_row(name, *figures, str(tally.right), str(tally.possible), came)
    console.print(table)
    if misses:
        _print_misses(scores, console)


def _print_misses(scores: Scores, console: Console) -> None:
    metric = ""
    for miss in scores.misses:
        if miss.metric != metric:
            metric = miss.metric
            console.print(f"\n[bold]{escape(metric)}[/bold]")
        want = f" want: {miss.want};" if miss.want else ""
        got = f" got: {miss.got};" if miss.got else ""
        line = f"  {miss.note}: {miss.kind};{want}{got} “{miss.words}”"
        console.print(escape(line), soft_wrap=True, highlight=False)


def _as_json(tally: Tally) -> dict[str, object]:
    return {
        "precision": tally.precision,
        "recall": tally.recall,
        "f1": tally.f1,
        "right": tally.right,
        "possible": tally.possible,
        "actual": None if tally.shares else tally.actual,
    }


def scores_as_json(scores: Scores, misses: bool = True) -> dict[str, object]:
    """Plain data: ``notes``, ``metrics`` by name, ``per_note``, and ``misses`` unless left out."""
    data: dict[str, object] = {
        "notes": len(scores.sheets),
        "metrics": {name: _as_json(t) for name, t in scores.metrics.items()},
        "per_note": {
            sheet.note: {name: _as_json(t) for name, t in sheet.tallies.items()}
            for sheet in scores.sheets
        },
    }
    if misses:
        data["misses"] = [asdict(miss) for miss in scores.misses]
    return data
