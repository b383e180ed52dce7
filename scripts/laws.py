"""What must hold for every input: the laws that the fuzzers, the soak and the tests check.

Each raises :class:`Broken` with the law that does not hold. ``ReadingError``
is lawful: one sentence for what cannot be read.
"""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Callable, Iterator

from hobnote.reading import ReadingError, read_bytes
from hobnote.reading.dictation import Dictation
from hobnote.record import Bounds, Heard, Part, Range, Record

SHORT, LONG = 2_000, 8_000
"""Bytes of the two inputs that growth is judged by, for the readers twenty times as many."""
GROWTH = 2.0
"""How much dearer a byte of the long one may be: 4 would be quadratic."""
MOMENT = 0.05
"""Processor seconds that nothing need explain."""


class Broken(Exception):
    """A law that does not hold."""


def lawful(data: bytes, name: str = "note.txt") -> Dictation | None:
    """Read ``data``; None where it was refused in one sentence."""
    try:
        dictation = read_bytes(data, name)
    except ReadingError as problem:
        if "\n" in problem.message or not problem.message.endswith("."):
            raise Broken(f"no sentence: {problem.message!r}") from None
        return None
    _pieces(dictation)
    return dictation


def _pieces(dictation: Dictation) -> None:
    end = 0
    for piece in dictation.pieces:
        if not end <= piece.start < piece.end <= len(dictation.text):
            raise Broken(f"pieces out of order at {piece.start}")
        end = piece.end
        if piece.at is not None and not (math.isfinite(piece.at) and piece.at >= 0):
            raise Broken(f"a piece at {piece.at} s")
    spoken = dictation.spoken
    if spoken != spoken.strip() or "  " in spoken.replace("\n", " "):
        raise Broken("white space in the speech")
    for heard in dictation.locate(0, len(spoken)):
        _words(heard, dictation.text)


def _words(heard: Heard, text: str) -> None:
    if heard.text != text[heard.start : heard.end] or not heard.text:
        raise Broken(f"words that do not stand at {heard.start}: {heard.text[:40]!r}")


def lawful_record(record: Record, text: str) -> None:
    """Bounds in order and finite, words where they are said to be, and JSON there and back."""
    for part in _parts(record):
        if isinstance(part, Heard):
            _words(part, text)
    lawful_figures(record)
    numbers = [step.number for step in record.steps]
    if numbers != list(range(1, len(numbers) + 1)):
        raise Broken(f"steps numbered {numbers}")
    flags = {flag.id for flag in record.flags}
    for component in record.components:
        for row in component.ingredients:
            if not row.name or row.name != row.name.strip():
                raise Broken(f"a row named {row.name!r}")
            if not set(row.flags) <= flags:
                raise Broken(f"{row.name}: flags that are not there")
    line = record.model_dump_json(by_alias=True)
    if Record.model_validate_json(line).model_dump_json(by_alias=True) != line:
        raise Broken("the record changes on its way through JSON")


def lawful_figures(record: Record) -> None:
    """Every figure finite, none less than nothing, bounds in order."""
    for part in _parts(record):
        if isinstance(part, Bounds):
            _ordered(part.low, part.best, part.high)
        elif isinstance(part, Range):
            _ordered(part.low, part.high)


def _ordered(*figures: float) -> None:
    if not all(map(math.isfinite, figures)):
        raise Broken(f"figures that are none: {figures}")
    if any(a > b + 1e-6 * max(1.0, abs(b)) for a, b in itertools.pairwise(figures)):
        raise Broken(f"bounds out of order: {figures}")
    if figures[0] < 0:
        raise Broken(f"less than nothing: {figures}")


def _parts(thing: object) -> Iterator[Part]:
    if isinstance(thing, Part):
        yield thing
        for name in type(thing).model_fields:
            yield from _parts(getattr(thing, name))
    elif isinstance(thing, dict):
        for one in thing.values():
            yield from _parts(one)
    elif isinstance(thing, list):
        for one in thing:
            yield from _parts(one)


def pumped(data: bytes, length: int) -> bytes:
    """``data`` with a piece of it, always the same, repeated until it is ``length`` long.

    That is how most slow inputs are made; where and how much depends on the data alone.
    """
    mark = sum(data) + len(data)
    start = mark % max(1, len(data))
    piece = data[start : start + (1, 2, 5, 13, 40, len(data))[mark % 6]] or b"a "
    times = max(1, (length - len(data)) // len(piece))
    return data[:start] + piece * times + data[start:]


def linear(work: Callable[[bytes], object], data: bytes, scale: int = 1) -> None:
    """``work`` on ever more of the same may not cost ever more a byte."""
    short, long = pumped(data, SHORT * scale), pumped(data, LONG * scale)
    for _ in range(3):  # other programs make one figure worthless
        brief, lengthy = seconds(work, short), seconds(work, long)
        dearer = (lengthy / len(long)) / max(brief / len(short), 1e-9)
        if lengthy < MOMENT or dearer <= GROWTH:
            return
    raise Broken(f"a byte costs {dearer:.1f} times more in {len(long)} bytes than in {len(short)}")


def seconds(work: Callable[[bytes], object], data: bytes) -> float:
    """Processor seconds of ``work``."""
    begun = time.process_time()
    work(data)
    return time.process_time() - begun
