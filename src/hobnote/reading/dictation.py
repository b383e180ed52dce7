"""The dictation: what was said, where it stands in the text as given, and when.

``Dictation.text`` is the input, untouched. ``spoken`` is the speech alone
(caption counters, time marks and tags left out), built from ``pieces`` joined
by their ``glue``. Offsets of ``spoken`` map back to the input with
:meth:`Dictation.locate`.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field

from hobnote.record import Heard


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of speech: ``text`` was read from ``source[start:end]``.

    ``glue`` stands before it in ``spoken``: a space inside a sentence that
    runs over captions, a newline where a message or paragraph begins. ``at``
    and ``until`` are seconds, None where the input has no times.
    """

    start: int
    end: int
    text: str
    glue: str = " "
    at: float | None = None
    until: float | None = None


@dataclass(frozen=True)
class Dictation:
    """One note. ``kind`` is plain, lines, timed, webvtt or subrip."""

    text: str
    pieces: tuple[Piece, ...]
    kind: str = "plain"
    warnings: tuple[str, ...] = ()
    spoken: str = field(init=False)
    _starts: tuple[int, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        parts: list[str] = []
        starts: list[int] = []
        length = 0
        for i, piece in enumerate(self.pieces):
            if i:
                parts.append(piece.glue)
                length += len(piece.glue)
            starts.append(length)
            parts.append(piece.text)
            length += len(piece.text)
        object.__setattr__(self, "spoken", "".join(parts))
        object.__setattr__(self, "_starts", tuple(starts))

    def locate(self, start: int, end: int) -> list[Heard]:
        """The input words behind ``spoken[start:end]``, one entry a piece.

        A piece whose text was decoded (``&amp;``) or otherwise differs in
        length from its source is given whole. Never raises: offsets outside
        the speech give an empty list.
        """
        found: list[Heard] = []
        index = max(0, bisect_right(self._starts, start) - 1)
        while index < len(self.pieces):
            piece, base = self.pieces[index], self._starts[index]
            if base >= end:
                break
            low, high = max(start, base) - base, min(end - base, len(piece.text))
            if low < high:
                exact = len(piece.text) == piece.end - piece.start
                first = piece.start + low if exact else piece.start
                last = piece.start + high if exact else piece.end
                found.append(
                    Heard(start=first, end=last, at=piece.at, text=self.text[first:last])
                )
            index += 1
        return found
