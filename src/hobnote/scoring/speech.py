"""The words of a note without caption furniture, for checking quotes against.

Deliberately not the reading room: captions go through webvtt-py and srt, so
that a gold file is checked by other code than the code it is there to judge.
"""

from __future__ import annotations

import re

from hobnote.scoring.names import singular

_TIME_MARK = re.compile(r"^\s*[\[(]\d{1,2}(?::\d{2}){1,2}[\])]\s*", re.MULTILINE)
_TAG = re.compile(r"<[^>\n]*>")
_WORD = re.compile(r"[\w%'’]+")


def spoken_words(text: str, kind: str) -> str:
    """``text`` as speech, every run of white space one space.

    ``kind`` is plain, lines, timed, webvtt or subrip. Raises whatever the
    caption library raises on a broken caption file.
    """
    if kind == "webvtt":
        import webvtt

        text = " ".join(str(caption.text) for caption in webvtt.from_string(text).captions)
    elif kind == "subrip":
        import srt

        text = _TAG.sub("", " ".join(str(cue.content) for cue in srt.parse(text)))
    elif kind == "timed":
        text = _TIME_MARK.sub("", text)
    return squeeze(text)


def squeeze(text: str) -> str:
    """``text`` with every run of white space made one space."""
    return " ".join(text.split())


def excerpt(spoken: str, wanted: list[str], width: int = 70) -> str:
    """About ``width`` characters of ``spoken`` around the first of ``wanted`` found in it.

    Whole words are compared, singular with plural; a phrase not found is
    looked for by its last word. Empty when nothing is found.
    """
    found = list(_WORD.finditer(spoken))
    keys = [singular(m[0].lower()) for m in found]
    for phrase in wanted:
        sought = tuple(singular(w.lower()) for w in _WORD.findall(phrase))
        for part in (sought, sought[-1:]):
            at = _find(keys, part)
            if at is not None:
                return _cut(spoken, found[at].start(), found[at + len(part) - 1].end(), width)
    return ""


def _find(keys: list[str], part: tuple[str, ...]) -> int | None:
    size = len(part)
    starts = range(len(keys) - size + 1) if size else range(0)
    return next((i for i in starts if tuple(keys[i : i + size]) == part), None)


def _cut(spoken: str, start: int, end: int, width: int) -> str:
    low, high = max(0, start - width // 2), min(len(spoken), end + width // 2)
    head, tail = "…" if low else "", "…" if high < len(spoken) else ""
    return head + spoken[low:high].strip() + tail
