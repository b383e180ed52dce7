"""The laws of reading, and what is said about inputs that cannot be read."""

from __future__ import annotations

import itertools
import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from hobnote.reading import LONGEST, ReadingError, read_bytes, read_file, read_text

WORDS = st.lists(
    st.sampled_from(
        [
            "stir",
            "two",
            "hundred",
            "grams",
            "of",
            "barley",
            "add",
            "more",
            "salt",
            "no",
            "wait",
            "pepper",
            "250",
            "g",
            "½",
            "warm",
            "it's",
        ]
    ),
    min_size=4,
    max_size=40,
)


def test_encodings_give_the_same_note():
    note = "Crème fraîche, ½ a pot\nand 250 g leeks"
    plain = read_text(note)
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "utf-32"):
        dictation = read_bytes(note.encode(encoding))
        assert (dictation.text, dictation.spoken) == (note, plain.spoken)
        assert dictation.warnings == ()


def test_windows_1252_is_read_and_said():
    dictation = read_bytes("Right.\nCrème fraîche, ½ a pot".encode("cp1252"), "old.txt")
    assert "Crème fraîche, ½" in dictation.spoken
    (warning,) = dictation.warnings
    assert "old.txt" in warning and "Windows-1252" in warning and "line 2" in warning


def test_a_leading_mark_in_text_is_no_speech():
    dictation = read_text("\ufeffstir the pot")
    assert dictation.spoken == "stir the pot"
    assert dictation.pieces[0].start == 1


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b" \r\n\t\n", "empty"),
        ("\ufeff".encode(), "empty"),
        (b"%PDF-1.7\n1 0 obj", "PDF"),
        (b"PK\x03\x04\x14\x00", "zipped"),
        (b"stir\x00\x01\x02the pot", "control characters"),
        (b"\x81\x8d\x8f\x90", "neither UTF-8 nor Windows-1252"),
        (b"\xff\xfea\x00b", "UTF-16"),
        (b"...!?\n", "no words"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(data, says):
    with pytest.raises(ReadingError) as caught:
        read_bytes(data, "note.txt")
    assert says in str(caught.value)
    assert str(caught.value).startswith("note.txt, line ")
    assert "\n" not in str(caught.value)


def test_the_line_of_a_control_character_is_named():
    with pytest.raises(ReadingError) as caught:
        read_bytes(b"oats\r\nmilk\rsalt\n\x07", "note.txt")
    assert caught.value.line == 4


def test_files(tmp_path):
    note = tmp_path / "note.txt"
    note.write_bytes(b"stir the pot\r\n")
    assert read_file(note).text == "stir the pot\r\n"
    for path in (tmp_path, tmp_path / "none.txt"):
        with pytest.raises(ReadingError) as caught:
            read_file(path)
        assert str(path) in str(caught.value)


def test_too_long():
    with pytest.raises(ReadingError, match="too long"):
        read_text("stir " * (LONGEST // 5 + 1))


def test_half_a_character():
    with pytest.raises(ReadingError, match="lone surrogate"):
        read_text("stir \ud83e it")


def check_laws(dictation):
    end = 0
    for piece in dictation.pieces:
        assert end <= piece.start < piece.end <= len(dictation.text)
        end = piece.end
        assert piece.glue in ("", " ", "\n")
        source = dictation.text[piece.start : piece.end]
        if len(source) == len(piece.text):
            changed = [
                (a, b)
                for a, b in zip(source, piece.text, strict=True)
                if a != b and not (a.isspace() and b == " ")
            ]
            assert all(
                a in "’‘ʼ＇“”⁄\x1b" or unicodedata.normalize("NFC", a) == b for a, b in changed
            )
    assert "  " not in dictation.spoken.replace("\n", " ")
    assert dictation.spoken == dictation.spoken.strip()
    for heard in dictation.locate(0, len(dictation.spoken)):
        assert dictation.text[heard.start : heard.end] == heard.text


ODD = st.one_of(
    st.text(),
    st.lists(
        st.sampled_from(
            [
                "WEBVTT", "\n", "\n\n", "\r\n", "\r", " ", "00:01.000 --> 00:02.000", "-->", "1",
                "00:00:01,000 --> 00:00:02,000", "[0:01]", "(1:02:03)", "0:04 ", "12:30", "cook: ",
                "<v A>", "<00:01.500>", "</c>", "<", "&amp;", "&nbsp;", "&#0;", "NOTE", "STYLE",
                "oats", "two", "- ", "[music]", "♪", "\ufeff", "\u200b", "e\u0300", "½", "’",
            ]
        ),
        max_size=30,
    ).map("".join),
)  # fmt: skip


@given(ODD)
@example("WEBVTT\n00:01.000 --> 00:02.000\n\n00:01.000 --> 00:02.000\n-->")
def test_reading_any_text_gives_a_lawful_dictation_or_one_sentence(text):
    try:
        dictation = read_text(text)
    except ReadingError as problem:
        assert "\n" not in problem.message
    else:
        assert dictation.text == text
        check_laws(dictation)


@given(st.binary() | ODD.map(lambda text: text.encode("utf-16")) | ODD.map(str.encode))
def test_reading_any_bytes_gives_a_lawful_dictation_or_one_sentence(data):
    try:
        check_laws(read_bytes(data))
    except ReadingError as problem:
        assert "\n" not in problem.message


def chunks(words, cuts):
    """The words in runs, cut after the places in ``cuts``."""
    edges = [0, *sorted({cut % len(words) for cut in cuts} - {0}), len(words)]
    return [" ".join(words[a:b]) for a, b in itertools.pairwise(edges)]


@given(WORDS, st.lists(st.integers(1, 100), max_size=6))
def test_the_same_words_in_any_kind_give_the_same_speech(words, cuts):
    runs = chunks(words, cuts)
    said = " ".join(words)
    # A pause between captions, so that none can be a repeat of the one before.
    times = [(10 * i, 10 * i + 4) for i in range(len(runs))]
    vtt = "WEBVTT\n\n" + "\n\n".join(
        f"{a // 60:02}:{a % 60:02}.000 --> {b // 60:02}:{b % 60:02}.000\n{run}"
        for (a, b), run in zip(times, runs, strict=True)
    )
    srt = "\n\n".join(
        f"{i}\n00:{a // 60:02}:{a % 60:02},000 --> 00:{b // 60:02}:{b % 60:02},000\n{run}"
        for i, ((a, b), run) in enumerate(zip(times, runs, strict=True), start=1)
    )
    timed = "\n".join(
        f"[{a // 60}:{a % 60:02}] {run}" for (a, _), run in zip(times, runs, strict=True)
    )
    for kind, text in (("webvtt", vtt), ("subrip", srt), ("timed", timed), ("plain", said)):
        dictation = read_text(text)
        assert (dictation.kind, dictation.spoken) == (kind, said)
    lines = read_text("\n".join(f"18:{i:02} {run}" for i, run in enumerate(runs)))
    assert lines.spoken.replace("\n", " ") == said
