"""Every format that a recipe can be written in, by name. Nothing is imported before it is used."""

from __future__ import annotations

import importlib
from collections.abc import Callable

from hobnote.publishing.errors import PublishingError
from hobnote.publishing.options import DEFAULT, Options
from hobnote.record import Record

WRITERS = {
    "json": "record_json:to_json",
    "json-ld": "jsonld:to_json_ld",
    "markdown": "markdown:to_markdown",
    "html": "html:to_html",
    "pdf": "pdf:to_pdf",
    "csv": "spreadsheet:to_csv",
    "text": "plaintext:to_text",
}
MEDIA_TYPES = {
    "json": "application/json",
    "json-ld": "application/ld+json",
    "markdown": "text/markdown; charset=utf-8",
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "text": "text/plain; charset=utf-8",
}


def export(record: Record, format: str, options: Options = DEFAULT) -> bytes:
    """A recipe in a format of ``WRITERS``, as it stands in a file (text is UTF-8).

    Raises PublishingError: an unknown format, open questions where only settled
    recipes are wanted, or a missing library.
    """
    if format not in WRITERS:
        raise PublishingError(f"{format!r} is none of {', '.join(WRITERS)}")
    module, name = WRITERS[format].split(":")
    write: Callable[[Record, Options], str | bytes] = getattr(
        importlib.import_module(f"hobnote.publishing.{module}"), name
    )
    found = write(record, options)
    return found.encode("utf-8", "replace") if isinstance(found, str) else found
