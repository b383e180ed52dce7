"""Reading recipes from files: our record, linked data, or a dictated note."""

from __future__ import annotations

from pathlib import Path

from hobnote.publishing.errors import PublishingError
from hobnote.publishing.jsonld_read import from_json_ld
from hobnote.publishing.record_json import SCHEMA, from_json
from hobnote.record import Record


def record_in(path: Path) -> Record:
    """The recipe of a file: a record or linked data (``.json``, ``.jsonld``), else a note.

    Linked data is weighed. Raises PublishingError, ReadingError or OSError.
    """
    if path.suffix.casefold() not in (".json", ".jsonld"):
        from hobnote.job import read_dictation
        from hobnote.reading import read_file

        return read_dictation(read_file(path))
    record, ours = _structured(path)
    return record if ours else weighed(record)


def structured_in(path: Path) -> Record:
    """The recipe of a record or of linked data, not weighed. Raises PublishingError or OSError."""
    return _structured(path)[0]


def _structured(path: Path) -> tuple[Record, bool]:
    """The recipe of a JSON file, and whether it is a record of ours."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise PublishingError(f"{path} is not UTF-8") from None
    ours = f'"{SCHEMA.split("@")[0]}@' in text
    try:
        return (from_json(text) if ours else from_json_ld(text)), ours
    except PublishingError as problem:
        raise PublishingError(f"{path}: {problem}") from None


def weighed(record: Record) -> Record:
    """A record from elsewhere, weighed, with questions for whatever it left open."""
    from hobnote.nutrition.weigh import weigh
    from hobnote.pantry import open_pantry

    record = record.model_copy(deep=True)
    record.measures = record.measures or "us"
    record.flags = []
    for part in record.components:
        for row in part.ingredients:
            row.flags = []
    return weigh(record, open_pantry(record.measures))
