"""Measures of the method: steps, minutes, heat and temperatures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from hobnote.record import Record, Step
from hobnote.scoring.assignment import assign
from hobnote.scoring.gold import Gold, GoldStep, Note
from hobnote.scoring.names import same_verb, words
from hobnote.scoring.rows import close, names_row, said
from hobnote.scoring.speech import excerpt
from hobnote.scoring.tally import Sheet

V = TypeVar("V")

LONG = frozenset({"overnight", "day", "week", "month"})
"""Lengths that a gold step may give as a word; figures read for them are not judged."""

NEAR = 0.35
"""How far apart, as a share of the method, two steps may stand and still be the same."""

SAME = 3.0
"""Least evidence (verb and ingredient) that a step is part of a printed one."""

DEGREES = 1.5
"""Degrees Celsius by which a temperature may differ (rounding from Fahrenheit)."""


def score_method(sheet: Sheet, note: Note, record: Record) -> None:
    """Every measure of the method of one note."""
    table = [
        [_evidence(note.gold, i, g, record, s) for s in record.steps]
        for i, g in enumerate(note.gold.steps)
    ]
    _steps(sheet, note, record, table)
    compatible = _Compatible(table)
    _facts(
        sheet,
        note,
        "minutes",
        _gold_minutes(note.gold),
        _read_minutes(record),
        compatible,
        lambda a, b: close(a[0], b[0]) and close(a[1], b[1]),
        record,
    )
    _facts(
        sheet,
        note,
        "heat",
        _runs([g.heat for g in note.gold.steps]),
        _runs([s.heat for s in record.steps]),
        compatible,
        lambda a, b: a == b,
        record,
    )
    for kind in ("oven", "core"):
        _facts(
            sheet,
            note,
            "temperatures",
            _once([g.temperature_c if kind == "oven" else g.core_c for g in note.gold.steps]),
            _once([s.temperature_c if kind == "oven" else s.core_c for s in record.steps]),
            compatible,
            lambda a, b: abs(a - b) <= DEGREES,
            record,
        )


def _evidence(gold: Gold, i: int, want: GoldStep, record: Record, step: Step) -> float:
    """How strongly two steps look the same: 0 not at all, 2 and more with the verb."""
    here, there = i / max(1, len(gold.steps) - 1), 0.0
    if len(record.steps) > 1:
        there = (step.number - 1 if step.number else record.steps.index(step)) / (
            len(record.steps) - 1
        )
    early = "preheat" in want.verbs
    if abs(here - there) > NEAR and not early and min(len(gold.steps), len(record.steps)) > 3:
        return 0.0
    score = 2.0 * same_verb(step.verb, want.verbs)
    score += 1.0 * _shares(gold, want, step)
    if want.minutes and step.minutes:
        score += close(want.minutes[0], step.minutes.low) and close(
            want.minutes[1], step.minutes.high
        )
    if want.temperature_c is not None and step.temperature_c is not None:
        score += abs(want.temperature_c - step.temperature_c) <= DEGREES
    score += 0.5 * (want.heat is not None and want.heat == step.heat)
    return score + 0.4 * (1 - abs(here - there)) if score else 0.0


def _shares(gold: Gold, want: GoldStep, step: Step) -> bool:
    return any(names_row(name, want.ingredients, gold) for name in step.ingredients)


def _agrees(gold: Gold, want: GoldStep, step: Step) -> bool:
    """Right: an accepted verb, and an ingredient in common where the gold names any.

    A read step that names none ("simmer 20 minutes") is right when its minutes are,
    or when the gold names only a part of the dish ("pour the dressing over").
    """
    if not same_verb(step.verb, want.verbs):
        return False
    if not want.ingredients or _shares(gold, want, step):
        return True
    if not step.ingredients and not any(gold.named(name) for name in want.ingredients):
        return True
    return (
        not step.ingredients
        and want.minutes is not None
        and step.minutes is not None
        and close(want.minutes[0], step.minutes.low)
        and close(want.minutes[1], step.minutes.high)
    )


def _steps(sheet: Sheet, note: Note, record: Record, table: list[list[float]]) -> None:
    gold = note.gold
    pairs = dict(assign(table))
    for i, want in enumerate(gold.steps):
        label = _label(want)
        where = excerpt(note.spoken, want.verbs)
        if i not in pairs:
            sheet.missed("steps", label, where)
        elif _agrees(gold, want, record.steps[pairs[i]]):
            sheet.right("steps")
        else:
            step = record.steps[pairs[i]]
            sheet.wrong("steps", label, _read_label(step), said(step.heard) or where)
    for j, step in enumerate(record.steps):
        if j in pairs.values() or any(row[j] >= SAME for row in table):
            continue  # one printed step may be read as several: "add the stock, add the peas"
        sheet.made_up("steps", _read_label(step), said(step.heard))


def _label(want: GoldStep) -> str:
    return f"{want.verbs[0]} {', '.join(want.ingredients)}".strip()


def _read_label(step: Step) -> str:
    return f"{step.verb} {', '.join(step.ingredients)}".strip()


@dataclass(frozen=True, slots=True)
class Fact(Generic[V]):
    """A stated value and the steps (by position) that carry it."""

    value: V
    carriers: tuple[int, ...]


class _Compatible:
    """Whether any carrier in the gold may be the same step as any carrier that was read."""

    def __init__(self, table: list[list[float]]) -> None:
        self._table = table

    def __call__(self, gold: tuple[int, ...], read: tuple[int, ...]) -> float:
        return max(self._table[i][j] for i in gold for j in read)


def _gold_minutes(gold: Gold) -> list[Fact[tuple[float, float]]]:
    return [Fact(s.minutes, (i,)) for i, s in enumerate(gold.steps) if s.minutes]


def _read_minutes(record: Record) -> list[Fact[tuple[float, float]]]:
    return [
        Fact((s.minutes.low, s.minutes.high), (j,)) for j, s in enumerate(record.steps) if s.minutes
    ]


def _runs(levels: Sequence[str | None]) -> list[Fact[str]]:
    """Heat states: the same level in consecutive heated steps is one state."""
    facts: list[Fact[str]] = []
    for i, level in enumerate(levels):
        if level is None:
            continue
        if facts and facts[-1].value == level:
            facts[-1] = Fact(level, (*facts[-1].carriers, i))
        else:
            facts.append(Fact(level, (i,)))
    return facts


def _once(degrees: Sequence[float | None]) -> list[Fact[float]]:
    """Temperatures: one figure counts once, however many steps repeat it."""
    facts: list[Fact[float]] = []
    for i, value in enumerate(degrees):
        if value is None:
            continue
        for k, fact in enumerate(facts):
            if abs(fact.value - value) <= DEGREES:
                facts[k] = Fact(fact.value, (*fact.carriers, i))
                break
        else:
            facts.append(Fact(value, (i,)))
    return facts


def _facts(
    sheet: Sheet,
    note: Note,
    metric: str,
    wanted: list[Fact[V]],
    came: list[Fact[V]],
    compatible: _Compatible,
    equal: Callable[[V, V], bool],
    record: Record,
) -> None:
    """Pair equal values that stand in steps which may be the same; the rest is missed or made up.

    A wrong value shows as one missed and one made up.
    """
    weights = [
        [compatible(g.carriers, c.carriers) if equal(g.value, c.value) else 0.0 for c in came]
        for g in wanted
    ]
    pairs = assign(weights)
    sheet.right(metric, len(pairs))
    for i, want in enumerate(wanted):
        if i not in {a for a, _ in pairs}:
            step = note.gold.steps[want.carriers[0]]
            label = f"{_label(step)}: {_show(want.value)}"
            sheet.missed(metric, label, excerpt(note.spoken, step.verbs))
    for j, got in enumerate(came):
        if j not in {b for _, b in pairs} and not (
            metric == "minutes" and _worded(note.gold, compatible, got)
        ):
            read = record.steps[got.carriers[0]]
            label = f"{_read_label(read)}: {_show(got.value)}"
            sheet.made_up(metric, label, said(read.heard))


def _worded(gold: Gold, compatible: _Compatible, got: Fact[V]) -> bool:
    """Is this the length of a gold step that says it in a word only ("overnight")?"""
    return any(
        not step.minutes
        and step.until is not None
        and LONG & set(words(step.until))
        and compatible((i,), got.carriers)
        for i, step in enumerate(gold.steps)
    )


def _show(value: object) -> str:
    if isinstance(value, tuple):
        return "-".join(f"{v:g}" for v in dict.fromkeys(value)) + " min"
    return f"{value:g} °C" if isinstance(value, float) else str(value)
