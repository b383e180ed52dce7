"""Text with marks of elapsed time: ``[m:ss]``, ``(h:mm:ss)``, ``0:12`` before a line."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hobnote.reading.dictation import Piece
from hobnote.reading.plain import paragraphs
from hobnote.reading.spool import Spool
from hobnote.reading.stamps import (
    ARROW,
    BARE,
    BRACKETED,
    TIME,
    after_speaker,
    lines_of,
    seconds,
    speakers,
)

_HEADS = re.compile(
    rf"(?m)^[ \t]*[\[(]?{TIME}(?:{ARROW}{TIME})?[ \t]*[\])]?[ \t]*(?:[-–—|][ \t]+)?"
)
_NOT_SPEECH = re.compile(r"\[[^\W\d]+(?:[ _-][^\W\d]+){0,2}\]|♪+")


@dataclass(frozen=True, slots=True)
class Mark:
    """A time mark: ``source[start:end]``, seconds, and whether it heads a line."""

    start: int
    end: int
    at: float
    until: float | None
    heads: bool
    bare: bool


def marks(text: str) -> list[Mark]:
    """Every bracketed mark, and the bare ones that head a line, in order."""
    found: list[Mark] = []
    for line in lines_of(text):
        heads = True
        bare = BARE.match(text, line.start, line.end)
        if bare:
            found.append(Mark(line.start, bare.end(), seconds(bare["at"]), None, True, True))
            heads = False
        for match in BRACKETED.finditer(text, line.start, line.end):
            heads = heads and not text[line.start : match.start()].strip()
            until = seconds(match["until"]) if match["until"] else None
            found.append(
                Mark(match.start(), match.end(), seconds(match["at"]), until, heads, False)
            )
            heads = False
    return found


def read_timed(text: str, *, bare: bool = True) -> tuple[Piece, ...]:
    """Pieces with the time of the mark before them.

    A line end inside a sentence is a space, as in captions; a blank line, a
    new speaker, or a new line where every line begins a sentence is not.
    """
    spool = Spool(text)
    names = speakers(_HEADS.sub("", text))
    found = [mark for mark in marks(text) if bare or not mark.bare]
    glue = "\n" if _sentence_a_line(text, found) else " "
    place = 0
    for group in paragraphs(text):
        spool.gap("\n")
        for line in group:
            spool.gap(glue)
            start = line.start
            while place < len(found) and found[place].start < line.end:
                mark = found[place]
                _say(spool, text, start, mark.start, names)
                following = found[place + 1].at if place + 1 < len(found) else None
                until = mark.until if mark.until is not None else following
                spool.moment(mark.at, until)
                spool.gap(" ")
                start = mark.end
                place += 1
            _say(spool, text, start, line.end, names)
    return spool.pieces


def _say(spool: Spool, text: str, start: int, end: int, names: frozenset[str]) -> None:
    begin = after_speaker(text, start, end, names)
    if begin != start:
        spool.gap("\n")
    for sign in _NOT_SPEECH.finditer(text, begin, end):
        spool.say(begin, sign.start())
        spool.gap(" ")
        begin = sign.end()
    spool.say(begin, end)


def _sentence_a_line(text: str, found: list[Mark]) -> bool:
    """Whether each mark that heads a line also begins a sentence (a capital letter)."""
    heads = [mark for mark in found if mark.heads]
    first = [text[mark.end :].lstrip(" \t")[:1] for mark in heads]
    letters = [letter for letter in first if letter.isalpha()]
    return len(letters) >= 3 and sum(map(str.isupper, letters)) >= 0.9 * len(letters)
