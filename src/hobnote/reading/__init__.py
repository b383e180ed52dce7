"""Reading: any note becomes a Dictation.

    read_text(text) -> Dictation        what was typed or pasted
    read_bytes(data, name) -> Dictation what came through a pipe
    read_file(path) -> Dictation        a file on disk

Kinds are told apart by content: plain, lines, timed, webvtt, subrip.
``Dictation.text`` is the input with its line ends, after decoding; a
byte-order mark is not part of it. All raise :class:`ReadingError`, one clear
sentence, for whatever cannot be read, and nothing else.
"""

from __future__ import annotations

from pathlib import Path

from hobnote.reading.decoding import check_is_text, decode
from hobnote.reading.dictation import Dictation, Piece
from hobnote.reading.errors import ReadingError

__all__ = [
    "LONGEST",
    "Dictation",
    "Piece",
    "ReadingError",
    "read_bytes",
    "read_file",
    "read_text",
]

LONGEST = 1_000_000
"""Most characters in one note; some eighteen hours of talk."""


def read_text(text: str, name: str = "text") -> Dictation:
    """Read a note that is already text. A leading U+FEFF stays in ``text`` but is no speech."""
    check_is_text(text, name)
    return _read(text, name, ())


def read_bytes(data: bytes, name: str = "standard input") -> Dictation:
    """Read the bytes of a note; ``name`` is what errors and warnings call it."""
    text, warnings = decode(data, name)
    return _read(text, name, warnings)


def read_file(path: str | Path) -> Dictation:
    """Read a note from a file."""
    where = Path(path)
    try:
        data = where.read_bytes()
    except FileNotFoundError:
        problem = "there is no such file."
    except IsADirectoryError:
        problem = "this is a directory; name a file in it."
    except PermissionError:
        problem = "this file may not be read; check its permissions."
    except (OSError, ValueError) as error:
        problem = f"this file cannot be read ({getattr(error, 'strerror', None) or error})."
    else:
        return read_bytes(data, str(where))
    raise ReadingError(problem, str(where))


def _read(text: str, name: str, warnings: tuple[str, ...]) -> Dictation:
    if not text.strip("\ufeff \t\r\n\f\v"):
        raise ReadingError("this note is empty; there is nothing to read.", name, 1)
    if len(text) > LONGEST:
        raise ReadingError(
            f"this note is too long ({len(text):,} characters); give at most {LONGEST:,}.", name
        )
    from hobnote.reading.detect import detect

    kind = detect(text, name)
    if kind in ("webvtt", "subrip"):
        from hobnote.reading.captions import read_captions

        pieces, more = read_captions(text, kind, name)
        warnings += more
    elif kind == "timed":
        from hobnote.reading.detect import bracketed_or_bare
        from hobnote.reading.timed import read_timed

        bare = any(mark.bare for mark in bracketed_or_bare(text))
        pieces = read_timed(text, bare=bare)
    elif kind == "lines":
        from hobnote.reading.lines import read_lines

        pieces = read_lines(text)
    else:
        from hobnote.reading.plain import read_plain

        pieces = read_plain(text)
    if not any(character.isalnum() for piece in pieces for character in piece.text):
        raise ReadingError("no words were found in this note.", name, 1)
    return Dictation(text=text, pieces=pieces, kind=kind, warnings=warnings)
