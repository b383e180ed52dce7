"""Which kind of note this is, judged by what it holds.

The name of a file decides nothing by itself; it only turns a caption file
that lost its header into a clear complaint instead of a note full of numbers.
"""

from __future__ import annotations

import itertools
import re
from typing import Literal

from hobnote.reading.plain import folded, paragraphs
from hobnote.reading.stamps import CLOCK, lines_of, speakers
from hobnote.reading.timed import Mark, marks

Kind = Literal["plain", "lines", "timed", "webvtt", "subrip"]

VTT_HEADER = re.compile(r"\ufeff?WEBVTT(?=[ \t\r\n]|\Z)")
# A line that is, or was meant to be, the time line of a caption.
_TIME_LINE = re.compile(r"(?m)^[ \t]*(?=[^\s\[(])\S{0,20}\d[:.,]\d\S{0,30}[ \t]*-+>")
_LOST_ARROW = re.compile(r"\A\s*\d+[ \t]*(?:\r\n|\r|\n)[ \t]*\d+:\d+(?::\d+)?[,.]\d+\b")
_EARLY = 180.0  # seconds; a recording's first mark comes within three minutes
_FASTEST = 6.0  # words a second; nobody speaks faster


def detect(text: str, name: str = "") -> Kind:
    """The kind of ``text``; ``name`` is only looked at when captions lack their header."""
    if VTT_HEADER.match(text):
        return "webvtt"
    if _TIME_LINE.search(text) or _LOST_ARROW.match(text):
        return "webvtt" if name.lower().endswith(".vtt") else "subrip"
    if is_timed(text):
        return "timed"
    return "lines" if _is_lines(text) else "plain"


def is_timed(text: str) -> bool:
    """Whether the stamps in ``text`` count from the start of a recording."""
    found = bracketed_or_bare(text)
    if not found or not _rising(found):
        return False
    if len(found) == 1:
        return found[0].heads and not text[: found[0].start].strip() and found[0].at < _EARLY
    if found[0].at < _EARLY:
        return True
    if _with_sender(text, found):
        return False
    spoken = len(text[found[0].start : found[-1].start].split())
    elapsed = found[-1].at - found[0].at
    return not found[0].bare and elapsed > 0 and spoken / elapsed <= _FASTEST


def bracketed_or_bare(text: str) -> list[Mark]:
    """The marks that make a note timed: bracketed ones, or bare ones if most lines have one."""
    found = marks(text)
    bare = [mark for mark in found if mark.bare]
    if not bare:
        return found
    filled = sum(1 for line in lines_of(text) if text[line.start : line.end].strip())
    enough = len(bare) >= 2 and len(bare) >= 0.4 * filled
    return found if enough else [mark for mark in found if not mark.bare]


def _rising(found: list[Mark]) -> bool:
    pairs = list(itertools.pairwise(found))
    return sum(a.at <= b.at for a, b in pairs) >= 0.9 * len(pairs)


def _with_sender(text: str, found: list[Mark]) -> bool:
    """Whether most stamps are followed by a name and a colon, as in a chat."""
    named = 0
    for line in lines_of(text):
        stamp = CLOCK.match(text, line.start, line.end)
        named += bool(stamp and stamp["name"])
    return named >= 0.5 * len(found)


def _is_lines(text: str) -> bool:
    """Whether any group of lines is a run of messages rather than one folded paragraph."""
    groups = paragraphs(text)
    folds = zip(groups, folded(text, groups), strict=True)
    if any(len(group) > 1 and not fold for group, fold in folds):
        return True
    heads = [group[0] for group in groups]
    stamped = sum(bool(CLOCK.match(text, line.start, line.end)) for line in heads)
    return bool(heads) and (
        stamped >= max(1, 0.5 * len(heads)) or (len(heads) > 1 and bool(speakers(text)))
    )
