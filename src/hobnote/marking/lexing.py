"""Split a Doc into words that the number readers can walk, whatever the tokenizer did.

spaCy gives "200g" as two tokens, "350ml" as one, "180c/160c" as one, "5-10" as
three. :func:`lex` breaks every token that holds a digit into numbers, letters
and signs, keeps the token index of each piece, and is done once a Doc.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import Final
from weakref import ReferenceType, ref

from spacy.tokens import Doc

from hobnote.marking.marks import marks

_KEY: Final = "hobnote_words"
_VULGAR: Final = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_HAS_NUMBER: Final = re.compile(rf"[0-9{_VULGAR}]")
_PIECES: Final = re.compile(rf"\d+(?:[.,]\d+)*|\.\d+|[{_VULGAR}]|[^\W\d_]+|[^\w\s]", re.UNICODE)
_OPAQUE: Final = re.compile(
    r"\d{1,2}:\d\d(?::\d\d)?(?:[.,]\d+)?|\d+(?:st|nd|rd|th)|\d{1,4}[/-]\d{1,2}[/-]\d{1,4}",
    re.IGNORECASE,
)
_THOUSANDS: Final = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?")
_AND: Final = frozenset(("&", "n'", "'n'", "'n"))
DASHES: Final = frozenset("-–—‐‑‒−")
SLASHES: Final = frozenset("/⁄∕")


@dataclass(slots=True)
class Words:
    """A Doc's words: lower-case ``text``, ``token`` index and literal ``number`` of each.

    A line break is the word "\\n"; "&" and the chat's "n" are "and". ``source`` refers
    to the Doc they came from, weakly: the Doc keeps them, and a ring of the two would
    hold every Doc of a long note until garbage is collected.
    """

    source: ReferenceType[Doc]
    text: list[str] = field(default_factory=list)
    token: list[int] = field(default_factory=list)
    number: dict[int, float] = field(default_factory=dict)

    @property
    def doc(self) -> Doc:
        """The Doc that the words came from."""
        doc = self.source()
        assert doc is not None, "the words of a Doc do not outlive it"
        return doc

    def __len__(self) -> int:
        return len(self.text)

    def get(self, i: int) -> str:
        """Word ``i``, or "" outside the Doc."""
        return self.text[i] if 0 <= i < len(self.text) else ""

    def span(self, start: int, end: int) -> tuple[int, int]:
        """The token range behind words ``start`` to ``end``."""
        return self.token[start], self.token[end - 1] + 1

    def covered(self, *labels: str) -> set[int]:
        """Indices of the words whose token a mark with one of ``labels`` covers."""
        taken = {i for m in marks(self.doc, *labels) for i in range(m.start, m.end)}
        if not taken:
            return set()
        return {k for k, i in enumerate(self.token) if i in taken}


def literal(text: str) -> float | None:
    """The value of digits or a vulgar fraction: "1,000" 1000, "0,5" 0.5, "½" 0.5."""
    if text in _VULGAR:
        return unicodedata.numeric(text)
    if not (text[0].isdigit() or text[0] == "."):
        return None
    if _THOUSANDS.fullmatch(text):
        return float(text.replace(",", ""))
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def lex(doc: Doc) -> Words:
    """The words of ``doc``, computed once and kept on it."""
    found = doc.user_data.get(_KEY)
    if isinstance(found, Words) and found.source() is doc:
        return found
    words = Words(ref(doc))
    text, token, number = words.text, words.token, words.number
    for i, lower in enumerate([t.lower_ for t in doc]):
        if lower.isalpha():
            text.append("and" if lower == "n" else lower)
            token.append(i)
            continue
        if lower.isspace():
            if "\n" in lower:
                text.append("\n")
                token.append(i)
            continue
        if "’" in lower:
            lower = lower.replace("’", "'")
        if lower in _AND:
            text.append("and")
            token.append(i)
            continue
        lower = lower.replace("º", "°").replace("˚", "°")
        if not _HAS_NUMBER.search(lower):
            text.append(lower.rstrip(".") if len(lower) > 1 and lower[0] != "." else lower)
            token.append(i)
            continue
        if _OPAQUE.fullmatch(lower):
            text.append(lower)
            token.append(i)
            continue
        for piece in _PIECES.findall(lower):
            value = literal(piece)
            if value is not None:
                number[len(text)] = value
            elif piece == "." and text:
                continue
            text.append(piece)
            token.append(i)
    doc.user_data[_KEY] = words
    return words
