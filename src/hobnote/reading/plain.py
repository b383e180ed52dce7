"""Plain notes: paragraphs, wrapped or not."""

from __future__ import annotations

import itertools
import re

from hobnote.reading.dictation import Piece
from hobnote.reading.spool import Spool
from hobnote.reading.stamps import Line, lines_of

# A number counts as a bullet only before words: "1. fry", not "2. 5 kg".
BULLET = re.compile(r"[ \t]*(?:[-*•–][ \t]+|\d{1,2}[.)][ \t]+(?=\D))")
_NARROW = 40  # characters; shorter "wrapped" lines are more likely messages


def paragraphs(text: str) -> list[list[Line]]:
    """The lines of ``text`` in groups parted by blank lines."""
    groups: list[list[Line]] = [[]]
    for line in lines_of(text):
        if text[line.start : line.end].strip():
            groups[-1].append(line)
        elif groups[-1]:
            groups.append([])
    return [group for group in groups if group]


def wrapped(text: str, group: list[Line]) -> bool:
    """Whether these lines are one paragraph folded at a width.

    In folded text the first word of a line would not have fitted on the line
    before; in a list of messages it mostly would.
    """
    if len(group) < 2:
        return False
    shown = [text[line.start : line.end].rstrip() for line in group]
    width = max(map(len, shown))
    if width < _NARROW or any(BULLET.match(line) for line in shown):
        return False
    full = [
        len(line) + 1 + len(after.split()[0]) > width for line, after in itertools.pairwise(shown)
    ]
    if len(full) < 3:
        # Too few lines to tell by width: a fold goes on in the middle of a sentence.
        return all(full) and all(
            line[-1:] not in ".?!" and after.lstrip()[:1].islower()
            for line, after in itertools.pairwise(shown)
        )
    return sum(full) >= 0.8 * len(full)


def read_plain(text: str) -> tuple[Piece, ...]:
    """One piece a paragraph; lines that were not folded stay apart."""
    spool = Spool(text)
    for group in paragraphs(text):
        folded = wrapped(text, group)
        spool.gap("\n")
        for line in group:
            if not folded:
                spool.gap("\n")
            bullet = None if folded else BULLET.match(text, line.start, line.end)
            spool.say(bullet.end() if bullet else line.start, line.end)
            if folded:
                # The line end itself is white space, and may be inside the piece.
                spool.say(line.end, min(line.end + 1, len(text)))
    return spool.pieces
