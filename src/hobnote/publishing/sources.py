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
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise PublishingError(f"{path} is not UTF-8") from None
    try:
        return from_json(text) if f'"{SCHEMA.split("@")[0]}@' in text else imported(text)
    except PublishingError as problem:
        raise PublishingError(f"{path}: {problem}") from None


def imported(text: str) -> Record:
    """Linked data as a weighed record, with questions for whatever the page left open."""
    from hobnote.nutrition.weigh import weigh
    from hobnote.pantry import open_pantry

    record = from_json_ld(text)
    record.measures = record.measures or "us"
    record.flags = []
    for part in record.components:
        for row in part.ingredients:
            row.flags = []
    return weigh(record, open_pantry(record.measures))
