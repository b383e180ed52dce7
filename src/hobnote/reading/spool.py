"""Winding up speech: source ranges in, pieces with the right glue out.

The spool keeps one law for every reader: ``spoken`` holds no white space but
single spaces and newlines, and a piece with the length of its source stands
character for character on it. White space and typographic signs are changed
one for one (a wrapped line's newline becomes a space, a curly apostrophe a
straight one), so those offsets stay exact; anything that changes the length
(a run of spaces, ``&amp;``, a tag) ends the piece.
"""

from __future__ import annotations

import re
import unicodedata

from hobnote.reading.dictation import Piece

# Signs that never were speech: soft hyphen, zero-width and direction marks.
_INVISIBLE = "\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufe0e\ufe0f\ufeff"
_TOKEN = re.compile(
    rf"(?P<space>[\s\x1b]+)|(?P<mark>[{_INVISIBLE}]+)"
    rf"|(?P<cluster>[^\s\x1b{_INVISIBLE}\u0300-\u036f][\u0300-\u036f]+)"
    rf"|(?P<word>[^\s\x1b{_INVISIBLE}\u0300-\u036f]+(?![\u0300-\u036f])|[\u0300-\u036f]+)"
)
_ONE_FOR_ONE = str.maketrans("’‘ʼ＇“”⁄", "''''\"\"/")


class Spool:
    """Collects pieces from ``source``; ask for :attr:`pieces` when done."""

    def __init__(self, source: str) -> None:
        self._source = source
        self._done: list[Piece] = []
        self._text: list[str] = []
        self._start = self._end = 0
        self._glue = ""  # of the open piece
        self._hard = ""  # asked for by gap()
        self._soft = False  # white space since the last word
        self._at: float | None = None
        self._until: float | None = None

    def moment(self, at: float | None, until: float | None = None) -> None:
        """What follows was said from ``at`` to ``until`` (seconds)."""
        if (at, until) != (self._at, self._until):
            self._flush()
            self._at, self._until = at, until

    def gap(self, glue: str) -> None:
        """Something stands here that is not speech: " " in a sentence, "\\n" between two."""
        if glue == "\n" or not self._hard:
            self._hard = glue

    def say(self, start: int, end: int) -> None:
        """The characters ``source[start:end]`` were spoken."""
        for token in _TOKEN.finditer(self._source, start, end):
            if token["space"] is not None:
                self._soft = True
            elif token["cluster"] is not None:
                whole = unicodedata.normalize("NFC", token["cluster"])
                self.say_as(token.start(), token.end(), whole)
            elif token["word"] is not None:
                self._word(token.start(), token.end(), token["word"].translate(_ONE_FOR_ONE))

    def say_as(self, start: int, end: int, text: str) -> None:
        """``source[start:end]`` stands for the spoken ``text`` (a decoded entity)."""
        if not text.strip():
            self._soft = self._soft or bool(text)
            return
        if len(text) == end - start:
            self._word(start, end, text.translate(_ONE_FOR_ONE))
            return
        self._flush()
        self._word(start, end, text.translate(_ONE_FOR_ONE))
        self._flush()

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """All that was said so far."""
        self._flush()
        return tuple(self._done)

    def _word(self, start: int, end: int, text: str) -> None:
        follows = self._text and not self._hard
        if follows and self._soft and start == self._end + 1:
            self._text.append(" ")
        elif not (follows and not self._soft and start == self._end):
            self._flush()
            self._glue = self._hard or (" " if self._soft else "")
            self._start = start
        self._text.append(text)
        self._end = end
        self._hard, self._soft = "", False

    def _flush(self) -> None:
        if self._text:
            text = "".join(self._text)
            self._done.append(
                Piece(self._start, self._end, text, self._glue or "", self._at, self._until)
            )
            self._text = []
