"""Chat notes: one message a line, stamped or not."""

from __future__ import annotations

from hobnote.reading.dictation import Piece
from hobnote.reading.plain import BULLET, paragraphs
from hobnote.reading.spool import Spool
from hobnote.reading.stamps import CLOCK, after_speaker, speakers


def read_lines(text: str) -> tuple[Piece, ...]:
    """One piece a message. A clock time and the sender's name are not speech."""
    spool = Spool(text)
    names = speakers(text)
    for group in paragraphs(text):
        for line in group:
            spool.gap("\n")
            stamp = CLOCK.match(text, line.start, line.end)
            start = stamp.end() if stamp else line.start
            start = after_speaker(text, start, line.end, names)
            bullet = BULLET.match(text, start, line.end)
            spool.say(bullet.end() if bullet else start, line.end)
    return spool.pieces
