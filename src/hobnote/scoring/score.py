"""Reading a folder of notes and scoring every one against its gold record."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from hobnote.record import Record
from hobnote.scoring.gold import Note, load_folder
from hobnote.scoring.list_measures import score_list
from hobnote.scoring.method_measures import score_method
from hobnote.scoring.other_measures import score_rest
from hobnote.scoring.rows import align
from hobnote.scoring.tally import METRICS, Miss, Sheet, Tally

Reader = Callable[[str], Record]


@dataclass(slots=True)
class Scores:
    """The sheets of all notes; figures are micro-averaged (counts added over the notes)."""

    sheets: list[Sheet] = field(default_factory=list)

    def metric(self, name: str) -> Tally:
        """The summed tally of one metric."""
        found = [s.tallies[name] for s in self.sheets if name in s.tallies]
        total = Tally(shares=any(t.shares for t in found))
        for tally in found:
            total.add(tally)
        return total

    @property
    def metrics(self) -> dict[str, Tally]:
        """Every metric in the order of the table."""
        return {name: self.metric(name) for name in METRICS}

    @property
    def misses(self) -> list[Miss]:
        """Every miss, by metric and then by note."""
        found = [miss for sheet in self.sheets for miss in sheet.misses]
        return sorted(found, key=lambda m: (METRICS.index(m.metric), m.note))


def score_note(note: Note, record: Record) -> Sheet:
    """One reading against its gold."""
    sheet = Sheet(note.name)
    rows, swaps = align(note.gold, record)
    score_list(sheet, note, record, rows, swaps)
    score_method(sheet, note, record)
    score_rest(sheet, note, record)
    return sheet


def score_notes(notes: Iterable[Note], read: Reader) -> Scores:
    """Read and score notes. A reading that fails counts as an empty record and is listed."""
    scores = Scores()
    for note in notes:
        failure = ""
        try:
            record = read(note.text)
        except Exception as error:  # one failing note must not hide the others
            failure, record = f"{type(error).__name__}: {error}", Record()
        sheet = score_note(note, record)
        if failure and "kept out" in sheet.tallies:
            sheet.tallies["kept out"].right = 0  # nothing was read, so nothing was kept out
        sheet.share("read", not failure, "a record", failure, note.spoken[:70])
        scores.sheets.append(sheet)
    return scores


def score_folder(path: Path, read: Reader | None = None) -> Scores:
    """Read every note under ``path`` with ``read`` (by default the product) and score it.

    Raises:
        GoldError: the folder or one of its gold files cannot be read.
    """
    return score_notes(load_folder(path), read or _product())


def _product() -> Reader:
    """The product's own reading, imported only when needed."""
    from importlib import import_module

    read: Reader = import_module("hobnote").read
    return read
