"""Keeps what a batch reads as recipes, as if each note had begun a conversation."""

from __future__ import annotations

import hashlib
from typing import Any

from sqlalchemy import select

from hobnote.batch.errors import BatchError
from hobnote.batch.journal import Journal
from hobnote.batch.notes import Done, Note
from hobnote.batch.sources import text_of
from hobnote.following.events import EVENTS
from hobnote.keeping.engine import reading
from hobnote.keeping.errors import KeepingError
from hobnote.keeping.schema import turns
from hobnote.keeping.store import Store
from hobnote.keeping.turns import Draft


class StoreSink:
    """The store at ``url``. It needs no journal: it knows the notes that its recipes begin with."""

    kind = "store"

    def __init__(self, url: str | None) -> None:
        try:
            self._store = Store.open(url)
        except KeepingError as problem:
            raise BatchError(str(problem)) from None
        self._known: set[bytes] = set()

    def journal(self, settings: dict[str, Any], *, afresh: bool) -> Journal:
        """None is kept."""
        if afresh:
            raise BatchError("--afresh is for files; recipes that are kept are never thrown away.")
        return Journal(None, settings)

    def begin(self, journal: Journal) -> None:
        """Learn what is kept already."""
        with reading(self._store.engine) as connection:
            first = select(turns.c.text).where(turns.c.version == 1)
            for row in connection.execute(first, execution_options={"yield_per": 1000}):
                self._known.add(_digest(row.text))

    def has(self, note: Note) -> bool:
        """Whether a recipe begins with this note."""
        text = text_of(note)
        return text is not None and _digest(text) in self._known

    def put(self, done: Done) -> dict[str, Any]:
        """Keep it as a recipe's first turn."""
        events = tuple(EVENTS.validate_json(done.events))
        try:
            self._store.create(
                Draft("said", done.text, events),
                title=done.title,
                measures=done.measures,
                warnings=done.warnings,
            )
        except KeepingError as problem:
            raise BatchError(str(problem)) from None
        self._known.add(_digest(done.text))
        return {}

    def finish(self, journal: Journal) -> None:
        """Every recipe is on the disk already."""

    def close(self) -> None:
        """Let go of the database."""
        self._store.close()


def _digest(text: str) -> bytes:
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()[:16]
