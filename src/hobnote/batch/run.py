"""The batch itself: from sources through the pool into a sink, with a journal."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from hobnote.batch.errors import BatchError
from hobnote.batch.journal import Journal, key
from hobnote.batch.notes import Done, Note, Refused
from hobnote.batch.pool import Pool, cores
from hobnote.batch.sinks import Sink
from hobnote.batch.sources import count, files_of, notes_of
from hobnote.batch.work import Wishes

if TYPE_CHECKING:
    from hobnote.batch.cluster import Cluster
    from hobnote.pantry.types import Food

Told = Callable[["Tally"], None]


@dataclass(slots=True)
class Tally:
    """What a batch has come to: notes ``read`` now, ``before`` in an earlier run, ``refused``.

    ``total`` is how many there are in all, where that is known.
    """

    total: int | None = None
    read: int = 0
    before: int = 0
    refused: list[Refused] = field(default_factory=list)

    @property
    def seen(self) -> int:
        """Notes that need no more work."""
        return self.read + self.before + len(self.refused)


def run(
    paths: Sequence[str],
    sink: Sink,
    *,
    measures: str | None = None,
    jobs: int | None = None,
    scheduler: str | None = None,
    afresh: bool = False,
    told: Told = lambda _: None,
) -> Tally:
    """Read every note behind ``paths`` into ``sink``; ``told`` hears of progress.

    Reads on ``jobs`` processes of this machine, or on the workers of the Dask
    ``scheduler`` at an address. Goes on where an earlier run was stopped. Raises
    :class:`BatchError` for what concerns the batch as a whole; a bad note is in
    ``Tally.refused``.
    """
    files = files_of(paths)
    tally = Tally(count(files))
    wishes = Wishes(measures, events=sink.kind == "store", own=_own())
    settings = {"kind": sink.kind, "measures": measures}
    most = jobs or cores()
    with sink.journal(settings, afresh=afresh) as journal:
        sink.begin(journal)
        try:
            with _readers(min(most, tally.total or most), scheduler, wishes) as pool:
                for one in pool.read(_open(notes_of(files), sink, journal, tally)):
                    _take(one, sink, journal, tally)
                    told(tally)
            sink.finish(journal)
        except OSError as problem:
            raise BatchError(f"the output cannot be written ({problem.strerror}).") from None
        finally:
            sink.close()
    return tally


def _readers(jobs: int, scheduler: str | None, wishes: Wishes) -> Pool | Cluster:
    if scheduler is None:
        return Pool(jobs, wishes)
    from hobnote.batch.cluster import Cluster

    return Cluster(scheduler, wishes)


def _own() -> tuple[Food, ...]:
    """The cook's own foods, read once for all readers."""
    from hobnote.keeping.errors import KeepingError
    from hobnote.keeping.own_pantry import own_foods

    try:
        return own_foods()
    except KeepingError as problem:
        raise BatchError(str(problem)) from None


def _open(
    notes: Iterator[Note | Refused], sink: Sink, journal: Journal, tally: Tally
) -> Iterator[Note | Refused]:
    """The notes that are still to be read; earlier refusals come again with their reasons."""
    reasons = {key(x["note"], x["digest"]): x["reason"] for x in journal.lines if "reason" in x}
    done = journal.done()
    journal.lines.clear()  # there may be millions, and what they say is known now
    for note in notes:
        if isinstance(note, Refused):
            yield note
            continue
        mark = key(note.name, note.digest)
        if mark in reasons:
            tally.refused.append(Refused(note.name, reasons[mark], note.digest))
        elif mark in done or sink.has(note):
            tally.before += 1
        else:
            done.add(mark)
            yield note


def _take(one: Done | Refused, sink: Sink, journal: Journal, tally: Tally) -> None:
    if isinstance(one, Refused):
        tally.refused.append(one)
        if one.digest:
            journal.add(one.name, one.digest, reason=one.reason)
        return
    more = sink.put(one)
    journal.add(one.note.name, one.note.digest, **more)
    tally.read += 1
