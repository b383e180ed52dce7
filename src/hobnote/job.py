"""The main job: a note in, a record out. Ties the rooms together and holds no rules."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from hobnote.following.events import Event, Portioned
from hobnote.following.follow import follow
from hobnote.following.tally import tally
from hobnote.marking.locale import guess_measures
from hobnote.marking.pipeline import mark
from hobnote.nutrition.weigh import weigh
from hobnote.pantry import open_pantry
from hobnote.pantry.pantry import Pantry
from hobnote.reading import read_text
from hobnote.reading.dictation import Dictation
from hobnote.record import Record

if TYPE_CHECKING:
    from spacy.tokens import Doc

Pantries = Callable[[str], Pantry]
"""Opens a locale's pantry; ``keeping.own_pantry.pantry_with_own`` adds own foods."""


Progress = Callable[[int, int], None]
"""Told (done, of how many) characters of speech as work goes on; what it raises ends the work."""


def events_of(
    dictation: Dictation, *, pantry: Pantry | None = None, progress: Progress | None = None
) -> list[Event]:
    """The events that a dictation tells; ``pantry`` may know foods of the cook's own."""
    docs = mark(dictation.spoken, pantry.own_names() if pantry else ())
    return follow(dictation, docs if progress is None else _watched(docs, dictation, progress))


def _watched(
    docs: Iterator[tuple[Doc, int]], dictation: Dictation, progress: Progress
) -> Iterator[tuple[Doc, int]]:
    whole = len(dictation.spoken)
    for doc, base in docs:
        yield doc, base
        progress(min(whole, base + len(doc.text)), whole)


def record_of(
    events: list[Event],
    *,
    measures: str | None = None,
    warnings: tuple[str, ...] = (),
    pantry: Pantry | None = None,
) -> Record:
    """The weighed record of a list of events."""
    record = tally(events)
    record.measures = measures or "us"
    record.warnings = list(warnings)
    return weigh(record, pantry or open_pantry(record.measures))


def read_dictation(
    dictation: Dictation,
    *,
    portions: float | None = None,
    measures: str | None = None,
    pantries: Pantries = open_pantry,
) -> Record:
    """Read a dictation into a record with grams, nutrition, flags and questions.

    ``portions`` overrides what was said; ``measures`` is us, uk, au or metric
    (None: guessed from the words); ``pantries`` opens the pantry to weigh with.
    """
    measures = measures or guess_measures(dictation.spoken)
    pantry = pantries(measures)
    events = events_of(dictation, pantry=pantry)
    if portions is not None:
        events.append(Portioned(low=portions, best=portions, high=portions))
    return record_of(events, measures=measures, warnings=dictation.warnings, pantry=pantry)


def read(text: str, *, portions: float | None = None, measures: str | None = None) -> Record:
    """Read a note given as text; see :func:`read_dictation`."""
    return read_dictation(read_text(text), portions=portions, measures=measures)
