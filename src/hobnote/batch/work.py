"""What a reading process does: load once, then a note in, a record or a reason out."""

from __future__ import annotations

import gc
import signal
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING

from hobnote.batch.notes import Done, Note, Refused

if TYPE_CHECKING:
    from hobnote.pantry.pantry import Pantry
    from hobnote.pantry.types import Food

READY = "ready"
_WARM = "Two eggs, a glug of oil and 200 g of flour for 5 minutes."


@dataclass(frozen=True, slots=True)
class Wishes:
    """``measures`` as in ``hobnote read``; ``events``: also hand back what the store keeps.

    ``own`` are the cook's own foods. They come along, since the reader may be
    on a machine that has no store.
    """

    measures: str | None = None
    events: bool = False
    own: tuple[Food, ...] = ()


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
        pantry = _pantry(measures, wishes.own)
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


_OWN: list[tuple[tuple[Food, ...], dict[str, Pantry]]] = [((), {})]


def _pantry(measures: str, own: tuple[Food, ...]) -> Pantry:
    """The same object for as long as the cook's own foods stay the same."""
    from hobnote.pantry import open_pantry

    if not own:
        return open_pantry(measures)
    if _OWN[0][0] != own:
        _OWN[0] = (own, {})
    kept = _OWN[0][1]
    if measures not in kept:
        kept[measures] = open_pantry(measures).with_own(own)
    return kept[measures]


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
