"""What a batch hands from room to room."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from hobnote.reading import LONGEST

MOST_BYTES: Final = 4 * LONGEST
"""Bytes beyond which a file is no note: the longest one in four-byte characters."""
TOO_LARGE: Final = f"this is larger than any note ({MOST_BYTES // 1_000_000} MB at most)."


@dataclass(frozen=True)
class Note:
    """A note to read: ``name`` says where it is from, ``data`` are its bytes."""

    name: str
    data: bytes

    @cached_property
    def digest(self) -> str:
        """Tells this content from any other."""
        return hashlib.sha256(self.data).hexdigest()[:20]


@dataclass(frozen=True, slots=True)
class Refused:
    """A note that was not read, and why, in one sentence."""

    name: str
    reason: str
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """A note that was read: the ``record`` as JSON in one line.

    What the store needs besides is only there on wish: the note's ``text``,
    its ``events`` as JSON, ``title``, ``measures`` and ``warnings``.
    """

    note: Note
    record: str
    text: str = ""
    events: str = ""
    title: str | None = None
    measures: str | None = None
    warnings: tuple[str, ...] = ()
