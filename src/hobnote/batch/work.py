"""What a reading process does: load once, then a note in, a record or a reason out."""

from __future__ import annotations

import gc
import signal
from dataclasses import dataclass
from functools import cache
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING

from hobnote.batch.notes import Done, Note, Refused

if TYPE_CHECKING:
    from hobnote.pantry.pantry import Pantry

READY = "ready"
_WARM = "Two eggs, a glug of oil and 200 g of flour for 5 minutes."


@dataclass(frozen=True, slots=True)
class Wishes:
    """``measures`` as in ``hobnote read``; ``events``: also hand back what the store keeps."""

    measures: str | None = None
    events: bool = False


def read_note(note: Note, wishes: Wishes) -> Done | Refused:
    """Read one note; whatever is wrong with it becomes a reason."""
    from hobnote.following.events import EVENTS, Titled
    from hobnote.job import events_of, record_of
    from hobnote.marking.locale import guess_measures
    from hobnote.reading import read_bytes
    from hobnote.reading.errors import ReadingError

    try:
        dictation = read_bytes(note.data, note.name)
        measures = wishes.measures or guess_measures(dictation.spoken)
        pantry = _pantry(measures)
        events = events_of(dictation, pantry=pantry)
        record = record_of(
            events, measures=measures, warnings=dictation.warnings, pantry=pantry
        )
        line = record.model_dump_json(by_alias=True)
        if not wishes.events:
            return Done(note, line)
        title = next((e.title for e in reversed(events) if isinstance(e, Titled)), None)
        kept = EVENTS.dump_json(events).decode()
        return Done(note, line, dictation.text, kept, title, measures, dictation.warnings)
    except ReadingError as problem:
        line_ = "" if problem.line is None else f"line {problem.line}: "
        return Refused(note.name, line_ + problem.message, note.digest)
    except Exception as problem:  # one bad note never stops the rest
        what = " ".join(f"{type(problem).__name__}: {problem}".split())[:200]
        return Refused(note.name, f"something went wrong inside ({what}).", note.digest)


@cache
def _pantry(measures: str) -> Pantry:
    """One a process: to look for the cook's own foods takes opening the store."""
    from hobnote.keeping.own_pantry import pantry_with_own

    return pantry_with_own(measures)


def settle() -> None:
    """Once everything is loaded: what is there stays, so the collector need not look at it."""
    gc.collect()
    gc.freeze()


def serve(connection: Connection, wishes: Wishes) -> None:
    """Read notes from ``connection`` until it closes; the first word back is :data:`READY`."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends us, in order
    try:
        read_note(Note("warm-up", _WARM.encode()), wishes)
        settle()
        connection.send(READY)
        while True:
            note = connection.recv()
            connection.send(read_note(note, wishes))
    except (EOFError, BrokenPipeError, ConnectionResetError):
        return
