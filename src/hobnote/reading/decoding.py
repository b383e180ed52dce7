"""Bytes to text: which encoding, and what is no text at all."""

from __future__ import annotations

import codecs
import re

from hobnote.reading.errors import ReadingError

# Longest first: the UTF-32 mark begins with the UTF-16 one.
_BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)

# First bytes of common files that are not text, so that we can say what came.
_SIGNATURES = (
    (b"%PDF-", "a PDF document"),
    (b"PK\x03\x04", "a zipped document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"RIFF", "a sound or picture file"),
    (b"OggS", "a sound file"),
    (b"fLaC", "a sound file"),
    (b"ID3", "a sound file"),
    (b"\x1f\x8b", "a compressed file"),
    (b"\x7fELF", "a program"),
    (b"{\\rtf", "a rich-text document"),
)

_NOT_TEXT = re.compile("[\x00-\x08\x0e-\x1a\x1c-\x1f\x7f]")
_LINE_BREAK = re.compile(r"\r\n|\r|\n")


def line_of(text: str, offset: int) -> int:
    """The line, counted from 1, that holds the character at ``offset``."""
    return 1 + sum(1 for _ in _LINE_BREAK.finditer(text, 0, max(0, offset)))


def decode(data: bytes, name: str) -> tuple[str, tuple[str, ...]]:
    """Decode ``data``; give the text and what should be said about it.

    A byte-order mark names the encoding and is not part of the text; without
    one UTF-8 is expected and Windows-1252 is the fallback, said in a warning.
    Line ends stay as they are. Raises ReadingError for a file that is no text.
    """
    for signature, what in _SIGNATURES:
        if data.startswith(signature):
            raise ReadingError(
                f"this is {what}, not text; save the note as plain text or captions.", name, 1
            )
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            return _by_mark(data[len(mark) :], encoding, name), ()
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as problem:
        text = _windows(data, problem.start, name)
        line = line_of(text, problem.start)
        warning = (
            f"{name} is not UTF-8 (first at line {line}); read as Windows-1252, "
            "so check accented letters and fractions."
        )
        check_is_text(text, name)
        return text, (warning,)
    check_is_text(text, name)
    return text, ()


def _by_mark(data: bytes, encoding: str, name: str) -> str:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as problem:
        line = line_of(data[: problem.start].decode(encoding, "ignore"), problem.start)
        shown = encoding.rsplit("-", 1)[0].upper() if encoding != "utf-8" else "UTF-8"
        raise ReadingError(
            f"the file is marked as {shown} but holds bytes that are not; save it again as UTF-8.",
            name,
            line,
        ) from None
    check_is_text(text, name)
    return text


def _windows(data: bytes, first: int, name: str) -> str:
    try:
        return data.decode("cp1252")
    except UnicodeDecodeError:
        line = 1 + len(re.findall(rb"\r\n|\r|\n", data[:first]))
        raise ReadingError(
            "these bytes are neither UTF-8 nor Windows-1252 text; save the note as UTF-8.",
            name,
            line,
        ) from None


def check_is_text(text: str, name: str) -> None:
    """Raise ReadingError where ``text`` holds characters that no text has."""
    found = _NOT_TEXT.search(text)
    if found:
        raise ReadingError(
            "this is not text (it holds control characters); "
            "give a plain-text note or a caption file.",
            name,
            line_of(text, found.start()),
        )
    for offset, character in enumerate(text):
        if "\ud800" <= character <= "\udfff":
            raise ReadingError(
                "half a character stands here (a lone surrogate); save the note as UTF-8.",
                name,
                line_of(text, offset),
            )
