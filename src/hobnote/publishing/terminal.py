"""A record for the terminal: readable at 80 columns, without colour where there is none."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from hobnote.nutrition.tables import nutrients
from hobnote.publishing import figures
from hobnote.publishing.method import details
from hobnote.publishing.sheet import SHOWN, effect
from hobnote.record import Bounds, Claim, Component, Flag, Ingredient, Record, Step

_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]")


def render(record: Record, *, width: int = 80, colour: bool = False) -> str:
    """The record as text of at most ``width`` columns; escape codes only if ``colour``."""
    out = io.StringIO()
    console = Console(
        file=out,
        width=max(40, width),
        force_terminal=colour,
        color_system="standard" if colour else None,
        no_color=not colour,
        highlight=False,
        markup=False,
        emoji=False,
        legacy_windows=False,
    )
    for part in _parts(record):
        console.print(part)
    lines = out.getvalue().splitlines()
    return "\n".join(line if colour else line.rstrip() for line in lines) + "\n"


def _parts(record: Record) -> Iterator[RenderableType]:
    asked = {flag.id: place for place, flag in enumerate(record.flags, start=1)}
    yield from _head(record)
    yield from _ingredients(record, asked)
    yield from _extras(record, asked)
    yield from _method(record.steps)
    yield from _nutrition(record)
    yield from _claims(record)
    yield from _allergens(record)
    yield from _cautions(record)
    yield from _questions(record.flags)


def _text(words: str, style: str = "") -> Text:
    """Text that holds what was said and no control codes."""
    return Text(_CONTROL.sub(" ", words), style=style)


def _section(title: str) -> Iterator[RenderableType]:
    yield Text()
    yield _text(title, "bold cyan")


def _indented(part: RenderableType, by: int = 2) -> Padding:
    return Padding(part, (0, 0, 0, by))


def _hanging(mark: str, body: Text) -> Table:
    """A numbered or dotted entry whose further lines stand under its words."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(justify="right", min_width=4, no_wrap=True)
    grid.add_column(overflow="fold")
    grid.add_row(_text(mark), body)
    return grid


def _head(record: Record) -> Iterator[RenderableType]:
    title = record.title or "Untitled dish"
    yield _text(title[:1].upper() + title[1:], "bold")
    portions = record.portions
    if portions is None:
        counted = "portions not said"
    else:
        figure = figures.bounds(portions)
        counted = f"{figure} portion" if figure == "1" else f"{figure} portions"
    weight = record.nutrition.weight_g
    facts = [counted, *([f"about {figures.bounds(weight, unit='g')} in all"] if weight else [])]
    yield _text(" · ".join(facts))
    yield Rule(characters="─", style="dim")
    for warning in record.warnings:
        yield _text(f"Note: {warning}", "yellow")
    if record.nutrition.summary:
        yield _text(record.nutrition.summary)


def _counts(row: Ingredient) -> bool:
    return not row.optional and row.swap_for is None


def _ingredients(record: Record, asked: dict[str, int]) -> Iterator[RenderableType]:
    parts = [part for part in record.components if any(map(_counts, part.ingredients))]
    yield from _section("What goes in")
    if not parts:
        yield _indented(_text("No ingredients were heard."))
        return
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="dim", expand=False)
    table.add_column("", overflow="fold", ratio=5)
    table.add_column("said", overflow="fold", ratio=3)
    table.add_column("grams", justify="right", overflow="fold")
    table.add_column("kcal", justify="right", overflow="fold")
    table.add_column("ask", overflow="fold", max_width=6)
    for part in parts:
        if len(parts) > 1 or part.choice or part.optional:
            table.add_row(_text(_heading(part), "bold"))
        for row in filter(_counts, part.ingredients):
            table.add_row(*_cells(row, asked))
    yield _indented(table)


def _heading(part: Component) -> str:
    notes = [
        *([f"choose one for the {part.choice}"] if part.choice else []),
        *(["optional"] if part.optional else []),
    ]
    return part.name + (f" ({', '.join(notes)})" if notes else "")


def _cells(row: Ingredient, asked: dict[str, int]) -> tuple[Text, ...]:
    name = _text(row.name)
    details = [*([row.state] if row.state else []), *row.preparation]
    if details:
        name.append(", " + _CONTROL.sub(" ", ", ".join(details)), "dim")
    said = figures.amount(row.amount)
    if row.also is not None:
        said += f" (also {figures.amount(row.also)})"
    marks = sorted({asked[flag] for flag in row.flags if flag in asked})
    return (
        name,
        _text(said),
        _text(figures.bounds(row.grams)),
        _text(figures.bounds(row.nutrition.get("energy_kcal"))),
        _text(" ".join(f"?{mark}" for mark in marks), "yellow"),
    )


def _extras(record: Record, asked: dict[str, int]) -> Iterator[RenderableType]:
    rows = [
        (part, row) for part in record.components for row in part.ingredients if not _counts(row)
    ]
    if not rows:
        return
    yield from _section("Swaps and extras (not in the totals)")
    for part, row in rows:
        words = row.name
        if row.swap_for:
            words += f" instead of {row.swap_for}"
        elif row.optional:
            words += ", if you like"
        if part.name != "main":
            words += f" ({part.name})"
        facts = [] if row.amount.basis == "unsaid" else [figures.amount(row.amount)]
        if row.grams is not None:
            facts.append(figures.bounds(row.grams, unit="g"))
        energy = row.nutrition.get("energy_kcal")
        if energy is not None:
            facts.append(figures.bounds(energy, unit="kcal"))
        body = _text(words + (": " + ", ".join(facts) if facts else ""))
        if row.condition:
            body.append(f"; {_CONTROL.sub(' ', row.condition)}", "dim")
        marks = sorted({asked[flag] for flag in row.flags if flag in asked})
        body.append("".join(f" ?{mark}" for mark in marks), "yellow")
        yield _hanging("·", body)


def _method(steps: list[Step]) -> Iterator[RenderableType]:
    if not steps:
        return
    yield from _section("Method")
    part = "main"
    for step in steps:
        if step.component != part:
            part = step.component
            yield _indented(_text(part, "bold"))
        body = _text(step.text)
        unsaid = list(details(step))
        if unsaid:
            body.append(" [" + _CONTROL.sub(" ", "; ".join(unsaid)) + "]", "dim")
        yield _hanging(f"{step.number}.", body)


def _nutrition(record: Record) -> Iterator[RenderableType]:
    found = record.nutrition
    columns: list[tuple[str, dict[str, Bounds]]] = [
        (title, values)
        for title, values in (
            ("a portion", found.per_portion),
            ("the whole dish", found.total),
            ("per 100 g", found.per_100g),
        )
        if values
    ]
    if columns:
        yield from _section("Nutrition: likeliest (least–most)")
        table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="dim")
        table.add_column("")
        for title, _ in columns:
            table.add_column(title, justify="right", overflow="fold")
        for key, label in _labels(values for _, values in columns):
            table.add_row(
                _text(label), *(_text(figures.bounds(values.get(key))) for _, values in columns)
            )
        yield _indented(table)
    if found.missing:
        names = ", ".join(found.missing)
        yield _indented(
            _text(f"Not in these figures: {names}. The true totals are higher.", "yellow")
        )


def _labels(columns: Iterable[dict[str, Bounds]]) -> Iterator[tuple[str, str]]:
    known = nutrients()
    held = {key for values in columns for key in values}
    for key in SHOWN:
        if key in held:
            name, unit = (known[key].name, known[key].unit) if key in known else key.rsplit("_", 1)
            yield key, f"{name}, {unit}"


def _claims(record: Record) -> Iterator[RenderableType]:
    if not record.claims and not record.stated:
        return
    yield from _section("What you said about it")
    for claim in record.claims:
        style = "green" if claim.verdict == "agrees" else "yellow"
        yield _hanging("·", _text(_claim(claim), style))
    for stated in record.stated:
        verdict = {True: "holds", False: "does not hold", None: "cannot be judged"}[stated.met]
        style = "green" if stated.met else "yellow"
        words = f"“{stated.claim}” {verdict}: {stated.reason} ({stated.rule})"
        yield _hanging("·", _text(words, style))


def _claim(claim: Claim) -> str:
    said = f"{figures.span(claim.low, claim.high)} {claim.unit}"
    nutrient = "" if claim.nutrient == "energy" else f" {claim.nutrient}"
    scope = {"portion": "a portion", "total": "in all", "100 g": "per 100 g"}
    words = f"You said {said}{nutrient} {scope.get(claim.scope, claim.scope)}"
    if claim.computed is None:
        return f"{words}: {claim.verdict}{f' ({claim.reason})' if claim.reason else ''}."
    computed = figures.bounds(claim.computed, unit=claim.unit)
    reason = f" ({claim.reason})" if claim.reason else ""
    return f"{words}; the table gives {computed}: {claim.verdict}{reason}."


def _allergens(record: Record) -> Iterator[RenderableType]:
    if not record.allergens:
        return
    yield from _section("Allergens (from the words; check every label)")
    for certainty, title in (("contains", "Contains"), ("may contain", "May contain")):
        rows = [row for row in record.allergens if row.certainty == certainty]
        if rows:
            names = "; ".join(
                row.name + (f" ({', '.join(row.ingredients)})" if row.ingredients else "")
                for row in rows
            )
            yield _hanging("·", _text(f"{title}: {names}"))


def _cautions(record: Record) -> Iterator[RenderableType]:
    if not record.cautions:
        return
    yield from _section("Take care")
    for caution in record.cautions:
        body = _text(caution.text)
        body.append(f" ({_CONTROL.sub(' ', caution.source)})", "dim")
        yield _hanging("·", body)


def _questions(flags: list[Flag]) -> Iterator[RenderableType]:
    if not flags:
        return
    yield from _section("Questions, dearest first")
    for place, flag in enumerate(flags, start=1):
        body = _text(flag.question)
        worth = effect(flag)
        if worth:
            body.append(f" [{worth}]", "dim")
        choices = flag.options or ([flag.suggestion] if flag.suggestion else [])
        if choices:
            body.append("\n" + _CONTROL.sub(" ", "perhaps: " + " / ".join(choices)), "dim")
        yield _hanging(f"?{place}", body)
