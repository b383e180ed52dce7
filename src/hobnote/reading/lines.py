"""Chat notes: one message a line, stamped or not."""

from __future__ import annotations

from hobnote.reading.dictation import Piece
from hobnote.reading.plain import after_bullet, numbered, paragraphs
from hobnote.reading.spool import Spool
from hobnote.reading.stamps import CLOCK, after_speaker, speakers


def read_lines(text: str) -> tuple[Piece, ...]:
    """One piece a message. A clock time and the sender's name are not speech."""
    spool = Spool(text)
    names, counted = speakers(text), numbered(text)
    for group in paragraphs(text):
        for line in group:
            spool.gap("\n")
            stamp = CLOCK.match(text, line.start, line.end)
            start = stamp.end() if stamp else line.start
            start = after_speaker(text, start, line.end, names)
            spool.say(after_bullet(text, start, line.end, counted), line.end)
    return spool.pieces
