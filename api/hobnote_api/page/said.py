"""The words of a recipe as the page shows them: runs of text that point at rows and steps."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Literal

from hobnote.asking.conversation import Conversation
from hobnote.keeping import Turn
from hobnote.reading import Piece, read_text
from hobnote.reading.errors import ReadingError
from hobnote.record import Heard

_TIMED = ("timed", "webvtt", "subrip")
_PAUSE = 10.0
"""Seconds of a recording between two moments that the page shows."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Characters ``start`` to ``end`` belong to the row or step whose element is ``id``."""

    start: int
    end: int
    id: str
    kind: Literal["row", "step", "aside"]


@dataclass(frozen=True, slots=True)
class Run:
    """Words that belong together. ``anchor`` is set where the words of ``rows[0]`` begin.

    ``begins`` are numbers of steps whose words begin here, each with its element.
    """

    text: str
    rows: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    aside: bool = False
    anchor: str | None = None
    begins: tuple[tuple[str, str], ...] = ()
    at: float | None = None

    @property
    def points(self) -> str:
        """The elements that it belongs to, for the script."""
        return " ".join((*self.rows, *self.steps))


@dataclass(frozen=True, slots=True)
class Telling:
    """One message that stands, the first note first."""

    version: int
    who: str
    at: datetime
    runs: tuple[Run, ...]


def element(kind: str, key: str) -> str:
    """The id of the element of a row (``i``) or a step (``s``)."""
    return f"{kind}-{re.sub(r'[^A-Za-z0-9-]', '_', key)}"


def tellings(talk: Conversation) -> list[Telling]:
    """Everything that stands, with what it came to."""
    marks = list(_marks(talk))
    numbers = {element("s", key): str(step.number) for key, step in talk.steps.items()}
    seen: set[str] = set()
    found, base = [], 0
    for turn in talk.standing:
        runs = tuple(_runs(turn, base, marks, numbers, seen))
        found.append(Telling(turn.version, turn.who, turn.at, runs))
        base += len(turn.text) + 1
    return found


def anchors(found: Sequence[Telling]) -> frozenset[str]:
    """The rows and steps whose words the page shows, so that a link to them leads somewhere."""
    runs = [run for one in found for run in one.runs]
    steps = [step for run in runs for _, step in run.begins]
    return frozenset([*steps, *(run.anchor for run in runs if run.anchor)])


def _marks(talk: Conversation) -> Iterator[Mark]:
    text = talk.text
    for key, row in talk.rows.items():
        yield from _each(row.heard, text, element("i", key), "row")
    for key, step in talk.steps.items():
        yield from _each(step.heard, text, element("s", key), "step")
    yield from _each(talk.record.asides, text, "", "aside")


def _each(
    heard: Sequence[Heard], text: str, id: str, kind: Literal["row", "step", "aside"]
) -> Iterator[Mark]:
    for one in heard:
        # A recipe that was imported points at words that stayed where it came from.
        if one.end > one.start and text[one.start : one.end] == one.text:
            yield Mark(one.start, one.end, id, kind)


def _runs(
    turn: Turn, base: int, marks: Sequence[Mark], numbers: dict[str, str], seen: set[str]
) -> Iterator[Run]:
    last_moment: float | None = None
    for piece in _pieces(turn):
        if piece.glue:
            yield Run(piece.glue)
        moment = piece.at
        if moment is not None and (last_moment is None or moment - last_moment >= _PAUSE):
            yield Run("", at=moment)
            last_moment = moment
        yield from _cut(piece, base, marks, numbers, seen)


def _pieces(turn: Turn) -> list[Piece]:
    """The speech of a recording; any other text as it was written."""
    whole = [Piece(0, len(turn.text), turn.text, "")]
    try:
        read = read_text(turn.text)
    except ReadingError:
        return whole
    if read.kind not in _TIMED:
        return whole
    return [
        Piece(p.start, p.end, p.text, p.glue if n else "", p.at) for n, p in enumerate(read.pieces)
    ]


def _cut(
    piece: Piece, base: int, marks: Sequence[Mark], numbers: dict[str, str], seen: set[str]
) -> Iterator[Run]:
    start, end = base + piece.start, base + piece.end
    here = [m for m in marks if m.start < end and m.end > start]
    if len(piece.text) != piece.end - piece.start:  # decoded: marks cover the whole of it
        here = [Mark(start, end, m.id, m.kind) for m in here]
        edges = [start, end]
    else:
        inner = {edge for m in here for edge in (m.start, m.end) if start < edge < end}
        edges = sorted({start, end, *inner})
    runs: list[Run] = []
    for low, high in pairwise(edges):
        text = piece.text if len(edges) == 2 else piece.text[low - start : high - start]
        covering = [m for m in here if m.start <= low and m.end >= high]
        run = Run(
            text,
            rows=_ids(covering, "row"),
            steps=_ids(covering, "step"),
            aside=any(m.kind == "aside" for m in covering),
        )
        if runs and _alike(runs[-1], run):
            runs[-1] = Run(runs[-1].text + text, run.rows, run.steps, run.aside)
        else:
            runs.append(run)
    yield from (_first(run, numbers, seen) for run in runs)


def _ids(marks: Sequence[Mark], kind: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(m.id for m in marks if m.kind == kind))


def _alike(a: Run, b: Run) -> bool:
    return (a.rows, a.steps, a.aside) == (b.rows, b.steps, b.aside)


def _first(run: Run, numbers: dict[str, str], seen: set[str]) -> Run:
    """The run with an anchor and step numbers where they come first."""
    begins = tuple((numbers[s], s) for s in run.steps if s in numbers and s not in seen)
    anchor = run.rows[0] if run.rows and run.rows[0] not in seen else None
    seen.update(run.rows[:1], run.steps)
    return Run(run.text, run.rows, run.steps, run.aside, anchor, begins)
