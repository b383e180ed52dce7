"""Hobnote: dictated cooking notes in, a weighed and scored recipe out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hobnote._version import __version__

if TYPE_CHECKING:
    from hobnote.record import Record

__all__ = ["__version__", "read"]


def read(text: str, *, portions: float | None = None, measures: str | None = None) -> Record:
    """Read a cooking note into a :class:`hobnote.record.Record`.

    ``text`` is plain text, chat lines, timed text, WebVTT or SubRip.
    ``portions`` overrides what was said; ``measures`` is us, uk, au or metric.
    Raises ``hobnote.reading.ReadingError`` for input that cannot be read.
    """
    from hobnote.job import read as _read  # spaCy loads on first use, not on import

    return _read(text, portions=portions, measures=measures)
