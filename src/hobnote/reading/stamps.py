"""Time stamps and speaker prefixes: the parts of a line that nobody said."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

TIME = r"(?:\d{1,2}:)?\d{1,3}:[0-5]\d(?:[.,]\d{1,3})?"
ARROW = r"\s*(?:-+>|[-–—]|to)\s*"

# [1:05], (0:01:05), [00:00.000 --> 00:04.000]
BRACKETED = re.compile(rf"[\[(]\s*(?P<at>{TIME})(?:{ARROW}(?P<until>{TIME}))?\s*[\])]")
# 0:05 at the head of a line, with or without a dash after it
BARE = re.compile(rf"[ \t]*(?P<at>{TIME})(?:[ \t]*[-–—|][ \t]+|[ \t]+|(?=[\r\n]|\Z))")

_DATE = r"(?:\d{1,4}[-/.]\d{1,2}[-/.]\d{2,4},?\s+)"
_CLOCK = rf"{_DATE}?[0-2]?\d[:.][0-5]\d(?::[0-5]\d)?(?:\s?[ap]\.?m\.?)?"
_NAME = r"(?P<name>[^\W\d][\w.'’ -]{0,24}?)"
# "12:04 ", "[12:04] cook:", "12/05/2025, 12:04 - cook:", "[12:04, 12/05/2025] cook:"
CLOCK = re.compile(
    rf"[ \t]*(?:[\[(]\s*{_CLOCK}(?:,\s*{_DATE.replace('s+', 's*')})?\s*[\])]|{_CLOCK}(?=[\s,]))"
    rf"[ \t,]*(?:[-–—|][ \t]+)?(?:{_NAME}:[ \t]+)?",
    re.IGNORECASE,
)
PREFIX = re.compile(rf"[ \t]*(?:>>+[ \t]*)?{_NAME}(?:[ \t]\d{{1,2}})?:[ \t]+(?=\S)")
_LINE = re.compile(r"[^\r\n]+")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the source, half open, without its line end."""

    start: int
    end: int
    number: int


def lines_of(text: str) -> list[Line]:
    """All lines of ``text`` with their offsets; LF, CR and CRLF end a line."""
    found: list[Line] = []
    start = 0
    for number, end in enumerate(re.finditer(r"\r\n|\r|\n", text), start=1):
        found.append(Line(start, end.start(), number))
        start = end.end()
    found.append(Line(start, len(text), len(found) + 1))
    return found


def seconds(stamp: str) -> float:
    """Seconds of "m:ss", "h:mm:ss", with or without decimals."""
    total = 0.0
    for part in stamp.replace(",", ".").split(":"):
        total = total * 60 + float(part)
    return total


def speakers(text: str) -> frozenset[str]:
    """Names before a colon that begin several lines: people, not headings.

    A heading ("Dressing:") is said once, a speaker speaks again; "SPEAKER 1:"
    counts at once.
    """
    counts: Counter[str] = Counter()
    for line in _LINE.finditer(text):
        head = PREFIX.match(text, line.start(), line.end())
        if head:
            counts[head["name"].casefold()] += 1
    return frozenset(n for n, times in counts.items() if times > 1 or n == "speaker")


def after_speaker(text: str, start: int, end: int, names: frozenset[str]) -> int:
    """Where speech begins once a speaker prefix of ``names`` is passed over."""
    head = PREFIX.match(text, start, end)
    return head.end() if head and head["name"].casefold() in names else start
