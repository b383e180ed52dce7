"""Our scan of captions against the public readers of both formats.

Sources: webvtt-py (WebVTT, W3C) and srt (SubRip). Both are read whole by
their own libraries; the speech and times that we give must be theirs.
"""

from __future__ import annotations

import srt
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from hobnote.reading import read_text

PAYLOAD = st.lists(
    st.lists(
        st.sampled_from(["stir", "two", "grams", "of", "<i>oats</i>", "milk,", "½", "it's", "200"]),
        min_size=1,
        max_size=6,
    ).map(" ".join),
    min_size=1,
    max_size=3,
).map("\n".join)
CUES = st.lists(PAYLOAD, min_size=1, max_size=8)


def theirs(lines: str) -> str:
    return " ".join(lines.replace("<i>", "").replace("</i>", "").split())


@given(CUES, st.sampled_from(["\n", "\r\n"]))
def test_webvtt_as_webvtt_py_reads_it(payloads, end):
    text = "WEBVTT\n\n" + "\n\n".join(
        f"{i}\n00:{i:02}:00.250 --> 00:{i:02}:04.000\n{payload}"
        for i, payload in enumerate(payloads)
    )
    captions = webvtt.from_string(text).captions
    dictation = read_text(text.replace("\n", end))
    assert dictation.spoken == theirs(" ".join(c.text for c in captions))
    assert {p.at for p in dictation.pieces} == {c.start_in_seconds + 0.25 for c in captions}


@given(CUES, st.sampled_from(["\n", "\r\n"]))
def test_subrip_as_srt_reads_it(payloads, end):
    text = "\n\n".join(
        f"{i + 1}\n00:{i:02}:00,250 --> 00:{i:02}:04,000\n{payload}"
        for i, payload in enumerate(payloads)
    )
    subtitles = list(srt.parse(text))
    dictation = read_text(text.replace("\n", end))
    assert dictation.spoken == theirs(" ".join(s.content for s in subtitles))
    assert {p.at for p in dictation.pieces} == {s.start.total_seconds() for s in subtitles}
