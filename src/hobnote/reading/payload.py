"""What is spoken in one line of a caption: tags, entities and signs told from words."""

from __future__ import annotations

import html
import re
from dataclasses import dataclass

from hobnote.reading.stamps import after_speaker, seconds

_SIGN = re.compile(
    r"<(?P<at>(?:\d+:)?\d{1,2}:\d{2}\.\d{3})>"
    r"|<v(?:\.[^ \t<>]*)?[ \t]+(?P<voice>[^<>]*)>"
    r"|(?P<tag></?[a-zA-Z][^<>]*>|</?>|\{\\[^{}]*\})"
    r"|(?P<entity>&(?:#\d{1,7}|#[xX][0-9a-fA-F]{1,6}|[a-zA-Z][a-zA-Z0-9]{1,31});)"
    r"|(?P<noise>\[[^\W\d]+(?:[ _-][^\W\d]+){0,2}\]|[♪♫]+)"
)
TURN = re.compile(r"[ \t]*(?:[-–—](?=[ \t\w&>])[ \t]*)?(?:(?:&gt;|>){2,}[ \t]*)?")
_WORD = re.compile(r"[\w½¼¾⅓⅔&](?:[\w'’½¼¾⅓⅔&/%°.,-]*[\w½¼¾⅓⅔%°])?")


@dataclass(frozen=True, slots=True)
class Bit:
    """Speech at ``source[start:end]``.

    ``text`` is given where it differs (a decoded entity). ``at`` is an inline
    time, ``turn`` says that a new speaker begins, ``apart`` that something
    that is no speech stood before it.
    """

    start: int
    end: int
    text: str | None = None
    at: float | None = None
    turn: bool = False
    apart: bool = False


@dataclass(frozen=True, slots=True)
class SpokenLine:
    """A payload line: its bits, its words folded for comparing, and where each begins."""

    bits: tuple[Bit, ...]
    words: tuple[str, ...]
    begins: tuple[int, ...]
    voice: str | None


def spoken_line(source: str, start: int, end: int, names: frozenset[str]) -> SpokenLine:
    """Read one payload line; ``names`` are speakers whose prefix is not speech."""
    bits: list[Bit] = []
    voice: str | None = None
    at: float | None = None
    turned = TURN.match(source, start, end)
    begin = turned.end() if turned else start
    turned = turned if turned and turned[0].strip() else None
    after = after_speaker(source, begin, end, names)
    turn = turned is not None or after != begin
    begin, apart = after, False

    def add(first: int, last: int, text: str | None = None) -> None:
        nonlocal turn, apart
        if first < last:
            bits.append(Bit(first, last, text, at, turn, apart))
            turn = apart = False

    for sign in _SIGN.finditer(source, begin, end):
        add(begin, sign.start())
        begin = sign.end()
        if sign["at"]:
            at = seconds(sign["at"])
        elif sign["voice"] is not None:
            voice = sign["voice"].strip().casefold()
        elif sign["entity"]:
            add(sign.start(), sign.end(), html.unescape(sign["entity"]))
        elif sign["noise"]:
            apart = True
    add(begin, end)
    words, begins = _words(source, bits)
    return SpokenLine(tuple(bits), words, begins, voice)


def _words(source: str, bits: list[Bit]) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """Words without tags, folded, and the source offset where each begins."""
    text, places = "", []
    for bit in bits:
        shown = bit.text if bit.text is not None else source[bit.start : bit.end]
        exact = bit.text is None
        if bit.apart:
            text += " "
            places.append(bit.start)
        text += shown
        places += [bit.start + (i if exact else 0) for i in range(len(shown))]
    found = list(_WORD.finditer(text))
    return (
        tuple(word[0].casefold() for word in found),
        tuple(places[word.start()] for word in found),
    )
