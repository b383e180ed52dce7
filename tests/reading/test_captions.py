"""Captions: what is speech, when it was said, and where it stands in the file."""

from __future__ import annotations

import pytest

from hobnote.reading import ReadingError, read_bytes, read_text

VTT = """WEBVTT - galley, Thursday
Kind: captions

STYLE
::cue { color: gold }

NOTE the kettle is loud
for a whole minute

1
00:01.000 --> 00:03.500 align:start
right so I've got two hundred

2
00:03.500 --> 00:06.000
and fifty grams of &frac12;-fat <i>yoghurt</i> &amp; a
<c.loud>pinch</c> of salt

NOTE done
"""


def check_offsets(dictation):
    for piece in dictation.pieces:
        source = dictation.text[piece.start : piece.end]
        if len(source) == len(piece.text):
            assert source.split() == piece.text.split()
    for heard in dictation.locate(0, len(dictation.spoken)):
        assert dictation.text[heard.start : heard.end] == heard.text


def test_webvtt_speech_runs_over_captions():
    dictation = read_text(VTT)
    assert dictation.kind == "webvtt"
    assert dictation.spoken == (
        "right so I've got two hundred and fifty grams of ½-fat yoghurt & a pinch of salt"
    )
    check_offsets(dictation)
    start = dictation.spoken.index("two hundred and fifty grams")
    heard = dictation.locate(start, start + len("two hundred and fifty grams"))
    assert [(h.at, h.text) for h in heard] == [(1.0, "two hundred"), (3.5, "and fifty grams")]


def test_subrip_with_commas_counters_and_tags():
    text = (
        "1\r\n00:00:01,000 --> 00:00:02,500\r\nset the oven to\r\n\r\n"
        "2\r\n00:00:02,500 --> 00:00:04,000 X1:1 X2:2 Y1:3 Y2:4\r\n{\\an8}<b>180</b> degrees\r\n"
        "20 minutes\r\n"
    )
    dictation = read_text(text)
    assert dictation.kind == "subrip"
    assert dictation.spoken == "set the oven to 180 degrees 20 minutes"
    assert dictation.text == text
    check_offsets(dictation)


def test_subrip_without_blank_lines_or_counters_keeps_every_number_that_was_said():
    dictation = read_text(
        "1\n00:00:01,000 --> 00:00:02,000\nknock in\n20\n"
        "2\n00:00:02,000 --> 00:00:03,000\ngrams of butter\n"
    )
    assert dictation.spoken == "knock in 20 grams of butter"
    dictation = read_text(
        "00:00:01.000 --> 00:00:02.000\nstir\n\n00:00:03.000 --> 00:00:04.000\nrest"
    )
    assert dictation.spoken == "stir rest"


def test_subrip_blank_line_inside_a_caption_loses_no_words():
    dictation = read_text(
        "1\n00:00:01,000 --> 00:00:02,000\nfold in the oats\n\nand the raisins\n\n"
        "2\n00:00:02,000 --> 00:00:03,000\ngently\n"
    )
    assert dictation.spoken == "fold in the oats and the raisins gently"


ROLLING = """WEBVTT

00:00.000 --> 00:02.000
now the leeks
go in

00:02.000 --> 00:02.010
go in

00:02.010 --> 00:04.000
go in
with a knob of butter

00:04.000 --> 00:06.000
with a knob of butter and a
"""


def test_rolling_captions_are_spoken_once():
    assert read_text(ROLLING).spoken == "now the leeks go in with a knob of butter and a"


def test_overlapping_captions_share_their_words():
    dictation = read_text(
        "WEBVTT\n\n00:00.000 --> 00:03.000\ntip in half the stock\n\n"
        "00:01.500 --> 00:05.000\nhalf the stock and stir\n"
    )
    assert dictation.spoken == "tip in half the stock and stir"


def test_the_same_words_after_a_pause_were_said_again():
    dictation = read_text(
        "WEBVTT\n\n00:00.000 --> 00:01.000\none more egg\n\n00:08.000 --> 00:09.000\none more egg\n"
    )
    assert dictation.spoken == "one more egg one more egg"


def test_inline_times_and_voices():
    dictation = read_text(
        "WEBVTT\n\n00:10.000 --> 00:14.000\n<v Cook>ten grams<00:12.500> of yeast</v>\n\n"
        "00:14.000 --> 00:15.000\n<v Helper>fresh or dried\n"
    )
    assert dictation.spoken == "ten grams of yeast\nfresh or dried"
    assert [piece.at for piece in dictation.pieces] == [10.0, 12.5, 14.0]


def test_speakers_dashes_and_noises_are_not_speech():
    dictation = read_text(
        "WEBVTT\n\n00:01.000 --> 00:02.000\nCOOK: chop it [music]\n\n00:02.000 --> 00:03.000\n"
        "- how fine\n- &gt;&gt; COOK: very\n"
    )
    assert dictation.spoken == "chop it\nhow fine\nvery"
    once = read_text("WEBVTT\n\n00:01.000 --> 00:02.000\nDressing: two lemons\n")
    assert once.spoken == "Dressing: two lemons"


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("WEBVTT\n\n00:01.000 --> 00:0x.000\nstir\n", 3, "00:01.000 --> 00:04.000"),
        ("WEBVTT\n\n00:01.000 -->\nstir\n", 3, "cannot be read"),
        ("WEBVTT\n\n00:01.000 00:02.000\nstir\n", 3, "cannot be read"),
        ("WEBVTT\n\n00:61.000 --> 01:62.000\nstir\n", 3, "00:61.000"),
        ("WEBVTT\n\n00:05.000 --> 00:02.000\nstir\n", 3, "ends before it starts"),
        ("WEBVTT\n\nstir\n\n00:01.000 --> 00:02.000\nrest\n", 3, "before the first caption"),
        ("1\n00:00:01,000 00:00:02,000\nstir\n", 2, "00:00:01,000 --> 00:00:04,000"),
        ("1\n00:00:01,000 --> 00:00:02,000\nstir\n\n2\n00:00:0b,0 --> 00\nrest\n", 6, "cannot be"),
        ("WEBVTT\n\n", 1, "no words"),
    ],
)
def test_broken_captions_are_one_sentence_with_a_line(text, line, says):
    with pytest.raises(ReadingError) as caught:
        read_bytes(text.encode(), "galley.captions")
    assert caught.value.line == line
    assert says in caught.value.message
    assert str(caught.value).startswith(f"galley.captions, line {line}: ")
    assert "\n" not in str(caught.value)


def test_a_vtt_file_that_lost_its_header_is_told_so():
    with pytest.raises(ReadingError, match=r"galley\.vtt, line 1: .*WEBVTT"):
        read_bytes(b"00:01.000 --> 00:02.000\nstir\n", "galley.vtt")


def test_words_outside_a_caption_are_kept_and_said():
    dictation = read_text("WEBVTT\n\n00:01.000 --> 00:02.000\nadd the\n\nsultanas too\n")
    assert dictation.spoken == "add the sultanas too"
    assert "line 6" in dictation.warnings[0]
