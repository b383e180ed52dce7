"""Plain notes: paragraphs, wrapped or not."""

from __future__ import annotations

import itertools
import re

from hobnote.reading.dictation import Piece
from hobnote.reading.spool import Spool
from hobnote.reading.stamps import Line, lines_of

_BULLET = re.compile(r"[ \t]*[-*•–][ \t]+")
_NUMBER = re.compile(r"[ \t]*(?P<number>\d{1,2})[.)][ \t]+")
_HYPHEN = re.compile(r"(?<=[^\W\d])-\Z")  # "twenty-" where "five" went to the next line
_LOOSE = 0.2  # share of line ends that may have had room, in text that is still folded
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


def numbered(text: str) -> bool:
    """Whether the numbers at line heads count up from 1: a list, not amounts."""
    heads = (_NUMBER.match(text, line.start, line.end) for line in lines_of(text))
    numbers = [int(head["number"]) for head in heads if head]
    return len(numbers) > 1 and numbers == list(range(1, len(numbers) + 1))


def after_bullet(text: str, start: int, end: int, counted: bool) -> int:
    """Where speech begins once a bullet, or a list's number if ``counted``, is passed over."""
    head = _BULLET.match(text, start, end) or (counted and _NUMBER.match(text, start, end))
    return head.end() if head else start


def folded(text: str, groups: list[list[Line]]) -> list[bool]:
    """For each group of lines, whether it is one paragraph folded at a width.

    In folded text the first word of a line would not have fitted on the line
    before; in a list of messages it mostly would. The whole note is judged
    first, since its paragraphs were folded at the same width.
    """
    shown = [[text[line.start : line.end].strip() for line in group] for group in groups]
    if any(_BULLET.match(line + " ") for group in shown for line in group):
        return [_full(group) for group in shown]
    width = max((len(line) for group in shown for line in group), default=0)
    breaks = [fits for group in shown for fits in _fits(group, width)]
    if len(breaks) > 2 and width >= _NARROW and sum(breaks) <= _LOOSE * len(breaks):
        return [len(group) > 1 for group in shown]
    return [_full(group) for group in shown]


def _fits(group: list[str], width: int) -> list[bool]:
    """For each line end, whether the next line's first word had room before it."""
    return [
        len(line) + 1 + len(after.split(maxsplit=1)[0]) <= width
        for line, after in itertools.pairwise(group)
    ]


def _full(group: list[str]) -> bool:
    """Whether this group alone looks folded."""
    width = max(map(len, group))
    breaks = _fits(group, width)
    if not breaks or width < _NARROW or any(_BULLET.match(line + " ") for line in group):
        return False
    if len(breaks) > 2:
        return sum(breaks) <= _LOOSE * len(breaks)
    # Too few lines to tell by width: a fold goes on in the middle of a sentence.
    return not any(breaks) and all(
        line[-1] not in ".?!" and after[0].islower() for line, after in itertools.pairwise(group)
    )


def read_plain(text: str) -> tuple[Piece, ...]:
    """One piece a paragraph; lines that were not folded stay apart."""
    spool = Spool(text)
    counted = numbered(text)
    groups = paragraphs(text)
    for group, fold in zip(groups, folded(text, groups), strict=True):
        spool.gap("\n")
        for line in group:
            if not fold:
                spool.gap("\n")
            start = line.start if fold else after_bullet(text, line.start, line.end, counted)
            spool.say(start, line.end)
            if fold and not _HYPHEN.search(text, line.start, line.end):
                # The line end itself is white space, and may be inside the piece.
                spool.say(line.end, min(line.end + 1, len(text)))
    return spool.pieces
