"""WebVTT and SubRip: captions in, speech with times out.

One scan finds the cues of both formats and keeps the offset of every payload
line. The time stamps are read by webvtt-py and srt. What a player would
silently drop (a cue with a broken time line) is an error here: a lost amount
is worse than a complaint.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass, field

from hobnote.reading.detect import VTT_HEADER
from hobnote.reading.dictation import Piece
from hobnote.reading.errors import ReadingError
from hobnote.reading.payload import TURN, SpokenLine, spoken_line
from hobnote.reading.spool import Spool
from hobnote.reading.stamps import Line, lines_of, speakers

_STAMP = r"(?:\d{1,10}:)?\d{1,3}:\d{1,2}[.,]\d{1,3}|\d{1,3}:\d{1,2}:\d{1,2}"
_TIMES = re.compile(rf"[ \t]*(?P<at>{_STAMP})[ \t]*-->[ \t]*(?P<until>{_STAMP})(?=[ \t]|\Z)")
_NO_ARROW = re.compile(rf"[ \t]*(?:{_STAMP})[ \t]*(?:[-–—=>]*)[ \t]*(?:{_STAMP})[ \t]*\Z")
_ARROW = re.compile(r"-->|^[ \t]*\d[\d:.,]*[ \t]*-+>")
_COUNTER = re.compile(r"[ \t]*\d+[ \t]*\Z")
_TOUCHING = 0.5  # seconds between captions that may repeat each other
_EXAMPLE = {"webvtt": "00:01.000 --> 00:04.000", "subrip": "00:00:01,000 --> 00:00:04,000"}


@dataclass
class Cue:
    """One caption: its times in seconds and its payload lines."""

    at: float
    until: float
    line: int
    payload: list[Line] = field(default_factory=list)


def read_captions(text: str, kind: str, name: str) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """Speech and warnings of a caption file; ReadingError names the line that is broken."""
    found, warnings = cues(text, kind, name)
    payload = (text[row.start : row.end] for cue in found for row in cue.payload)
    names = speakers("\n".join(TURN.sub("", row, count=1) for row in payload))
    spool = Spool(text)
    shown: list[SpokenLine] = []
    before: Cue | None = None
    voice: str | None = None
    for cue in found:
        rows = [spoken_line(text, row.start, row.end, names) for row in cue.payload]
        rows = [row for row in rows if row.words]
        touching = before is not None and -5 < cue.at - before.until <= _TOUCHING
        overlapping = before is not None and before.at <= cue.at < before.until
        skip = _already(shown, rows, overlapping) if touching else _none(rows)
        spool.gap(" ")
        for row, words in zip(rows, skip, strict=True):
            if row.voice is not None and row.voice != voice:
                if voice is not None:
                    spool.gap("\n")
                voice = row.voice
            _speak(spool, row, words, cue)
            spool.gap(" ")
        if rows:
            shown, before = rows, cue
    return spool.pieces, tuple(warnings)


def _speak(spool: Spool, row: SpokenLine, skip: int, cue: Cue) -> None:
    """Wind up a row, but for its first ``skip`` words."""
    if skip >= len(row.words):
        return
    first = row.begins[skip] if skip else row.bits[0].start
    for bit in row.bits:
        if bit.end <= first:
            continue
        spool.moment(bit.at if bit.at is not None else cue.at, cue.until)
        if bit.turn:
            spool.gap("\n")
        elif bit.apart:
            spool.gap(" ")
        if bit.text is None:
            spool.say(max(bit.start, first), bit.end)
        else:
            spool.say_as(bit.start, bit.end, bit.text)


def _none(rows: list[SpokenLine]) -> list[int]:
    return [0] * len(rows)


def _already(before: list[SpokenLine], rows: list[SpokenLine], overlapping: bool) -> list[int]:
    """How many words at the head of each row were spoken by the caption before.

    Rolling captions repeat their last lines as the next caption's first ones;
    growing captions repeat a line with more words; two captions that overlap
    in time may share the words in between.
    """
    old, new = [row.words for row in before], [row.words for row in rows]
    repeated = next((k for k in range(min(len(old), len(new)), 0, -1) if new[:k] == old[-k:]), 0)
    skip = [len(words) for words in new[:repeated]] + [0] * (len(new) - repeated)
    if repeated or not new or not old:
        return skip
    flat = tuple(word for words in old for word in words)
    tail = old[-1]
    if len(new[0]) > len(tail) and new[0][: len(tail)] == tail:
        skip[0] = len(tail)
    elif overlapping:
        most = min(len(flat), len(new[0]))
        skip[0] = next((k for k in range(most, 2, -1) if new[0][:k] == flat[-k:]), 0)
    return skip


def cues(text: str, kind: str, name: str) -> tuple[list[Cue], list[str]]:
    """All captions of ``text`` in file order, and what should be said about them."""
    rows = lines_of(text)
    start = 0
    if kind == "webvtt":
        if not VTT_HEADER.match(text):
            raise ReadingError("a WebVTT file must begin with a line WEBVTT.", name, 1)
        while start < len(rows) and text[rows[start].start : rows[start].end]:
            if "-->" in text[rows[start].start : rows[start].end]:
                break
            start += 1
    found: list[Cue] = []
    warnings: list[str] = []
    for block in _blocks(text, rows[start:], kind):
        _take(text, block, kind, name, found, warnings)
    if any(b.at < a.at for a, b in itertools.pairwise(found)):
        warnings.append(
            f"{name}: captions are not in the order of their times; read as they stand."
        )
    return found, warnings


def _blocks(text: str, rows: list[Line], kind: str) -> list[list[Line]]:
    """Lines parted by empty lines; a time line (and the counter above it) begins a block too."""
    blocks: list[list[Line]] = [[]]
    for row in rows:
        shown = text[row.start : row.end]
        if not shown or (kind == "subrip" and not shown.strip()):
            blocks.append([])
            continue
        current = blocks[-1]
        if _TIMES.match(shown) and current and not _is_note(text, current):
            head = text[current[-1].start : current[-1].end]
            alone = len(current) == 1 and "-->" not in head
            blank_before = (
                len(current) > 1 and not text[current[-2].start : current[-2].end].strip()
            )
            if alone:
                pass
            elif _COUNTER.match(head) or (blank_before and "-->" not in head):
                blocks.append([current.pop()])
            else:
                blocks.append([])
        blocks[-1].append(row)
    return [block for block in blocks if block]


def _is_note(text: str, block: list[Line]) -> bool:
    head = text[block[0].start : block[0].end]
    return bool(re.match(r"NOTE(?:[ \t]|\Z)", head))


def _take(
    text: str, block: list[Line], kind: str, name: str, found: list[Cue], warnings: list[str]
) -> None:
    """Read one block: a cue, a note or style to pass over, or words without a time."""
    shown = [text[row.start : row.end] for row in block]
    if kind == "webvtt" and (
        _is_note(text, block) or (not found and shown[0].split() in (["STYLE"], ["REGION"]))
    ):
        return
    for place in (0, 1):
        times = _TIMES.match(shown[place]) if place < len(block) else None
        if times:
            at, until = (
                _seconds(times[side], kind, name, block[place].number) for side in ("at", "until")
            )
            if until < at:
                raise ReadingError(
                    "this caption ends before it starts; put the earlier time first.",
                    name,
                    block[place].number,
                )
            found.append(Cue(at, until, block[place].number, block[place + 1 :]))
            break
    rest = block if not times else block[place + 1 :]
    for row in rest:
        line = text[row.start : row.end]
        if _ARROW.search(line) or _NO_ARROW.match(line):
            raise ReadingError(
                f"the times of this caption cannot be read; write them as {_EXAMPLE[kind]}.",
                name,
                row.number,
            )
    if times or (len(block) == 1 and _COUNTER.match(shown[0])):
        return
    if not found:
        raise ReadingError(
            f"words stand before the first caption's times; write those as {_EXAMPLE[kind]}.",
            name,
            block[0].number,
        )
    found[-1].payload.extend(block)
    if kind == "webvtt":
        warnings.append(
            f"{name}, line {block[0].number}: words outside any caption; "
            "read with the caption before."
        )


def _seconds(stamp: str, kind: str, name: str, line: int) -> float:
    """Seconds of a caption's time stamp, read by the format's own library."""
    parts = stamp.replace(",", ".").split(":")
    try:
        if any(float(part) >= 60 for part in parts[1 - (len(parts) == 2) :]):
            raise ValueError("minutes and seconds run to 59")
        if kind == "webvtt":
            from webvtt.models import Timestamp

            time = Timestamp.from_string(stamp)
            return float(
                time.hours * 3600 + time.minutes * 60 + time.seconds + time.milliseconds / 1000
            )
        import srt

        full = stamp if len(parts) == 3 else f"00:{stamp}"
        return float(srt.srt_timestamp_to_timedelta(full).total_seconds())
    except Exception as problem:  # the libraries raise errors of their own kinds
        raise ReadingError(
            f"the time “{stamp}” cannot be read; write it as {_EXAMPLE[kind].split()[0]}.",
            name,
            line,
        ) from problem
