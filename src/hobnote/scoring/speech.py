"""The words of a note without caption furniture, for checking quotes against.

Deliberately not the reading room: captions go through webvtt-py and srt, so
that a gold file is checked by other code than the code it is there to judge.
"""

from __future__ import annotations

import re

_TIME_MARK = re.compile(r"^\s*[\[(]\d{1,2}(?::\d{2}){1,2}[\])]\s*", re.MULTILINE)
_TAG = re.compile(r"<[^>\n]*>")


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
    """About ``width`` characters of ``spoken`` around the first of ``wanted`` found in it."""
    low = spoken.lower()
    for phrase in wanted:
        for piece in (phrase, phrase.split()[-1] if phrase.split() else ""):
            at = low.find(piece.lower()) if piece else -1
            if at >= 0:
                start = max(0, at - width // 2)
                end = min(len(spoken), at + len(piece) + width // 2)
                head, tail = "…" if start else "", "…" if end < len(spoken) else ""
                return head + spoken[start:end].strip() + tail
    return ""
