"""Plain, chat and timed notes: kinds told apart by content, speech by its place."""

from __future__ import annotations

import textwrap

import pytest

from hobnote.reading import read_text

WRAPPED = (
    "Right, so this is the soup that we do on the Friday before a regatta, it wants\n"
    "about a kilo of carrots and the same again of leeks, and I sweat those in some\n"
    "butter first, gently, until they give up, which takes a good quarter of an hour\n"
    "on our ring.\n\nThen the stock goes in.\n"
)


def test_folded_paragraphs_are_one_piece_each():
    dictation = read_text(WRAPPED)
    assert dictation.kind == "plain"
    assert len(dictation.pieces) == 2
    assert dictation.spoken == WRAPPED.rstrip().replace("\n\n", "|").replace("\n", " ").replace(
        "|", "\n"
    )
    place = dictation.spoken.index("wants about a kilo")
    (heard,) = dictation.locate(place, place + len("wants about a kilo"))
    assert heard.text == "wants\nabout a kilo"


def test_a_fold_at_a_hyphen_leaves_the_word_whole():
    said = "Now this one, the big tray of flapjack, always takes twenty-five minutes. " * 3
    note = textwrap.fill(said, width=said.index("five"))
    assert "twenty-\nfive" in note
    assert read_text(note).spoken == said.strip()


def test_windows_line_ends_fold_too():
    dictation = read_text(WRAPPED.replace("\n", "\r\n"))
    assert dictation.spoken == read_text(WRAPPED).spoken
    assert "\r\n" in dictation.text


def test_messages_stay_apart_and_stamps_are_not_speech():
    text = (
        "[18:04] galley: 500 g couscous\n[18:04] galley: boiling water to cover\n"
        "18:09 - galley: 12 minutes lid on\n"
    )
    dictation = read_text(text)
    assert dictation.kind == "lines"
    assert dictation.spoken == "500 g couscous\nboiling water to cover\n12 minutes lid on"


@pytest.mark.parametrize(
    "head",
    [
        "18:04 ",
        "[18:04] ",
        "(18:04) ",
        "12/05/2025, 18:04 - cook: ",
        "[2025-05-12 18:04] ",
        "6:04 pm ",
    ],
)
def test_clock_stamps(head):
    dictation = read_text("".join(f"{head}{words}\n" for words in ("oats", "milk please", "salt")))
    assert dictation.kind == "lines"
    assert dictation.spoken == "oats\nmilk please\nsalt"


def test_unstamped_messages():
    dictation = read_text("ok starting\n200g bulgur\nno wait 250\nkettle on\n")
    assert dictation.kind == "lines"
    assert dictation.spoken == "ok starting\n200g bulgur\nno wait 250\nkettle on"


def test_a_heading_is_speech_but_a_repeated_sender_is_not():
    dictation = read_text("Galley: start\nDressing: one lemon\nGalley: and some oil\n")
    assert dictation.spoken == "start\nDressing: one lemon\nand some oil"


@pytest.mark.parametrize(
    "text",
    [
        "[0:00] so two hundred\n[0:04] grams of oats\n[1:02] and milk",
        "(0:00:00) so two hundred\n(0:00:04) grams of oats\n(0:01:02) and milk",
        "0:00 so two hundred\n0:04 grams of oats\n1:02 and milk",
        "0:00\nso two hundred\n0:04\ngrams of oats\n1:02\nand milk",
        "[0:00] so two hundred [0:04] grams of oats [1:02] and milk",
        "[00:00.000 --> 00:04.000]  so two hundred\n[00:04.000 --> 01:02.000]  grams of oats\n"
        "[01:02.000 --> 01:04.000]  and milk",
    ],
)
def test_timed_notes(text):
    dictation = read_text(text)
    assert dictation.kind == "timed"
    assert dictation.spoken == "so two hundred grams of oats and milk"
    assert [piece.at for piece in dictation.pieces] == [0.0, 4.0, 62.0]


def test_timed_lines_that_begin_sentences_stay_apart():
    text = "[0:00] Oats first\n[0:05] Two hundred grams\n[0:09] Then the milk [0:11] cold\n"
    assert read_text(text).spoken == "Oats first\nTwo hundred grams\nThen the milk cold"


@pytest.mark.parametrize(
    "text",
    [
        "I eat at 12:30 and the race is at 14:10, so the pasta goes on (11:45) at the latest.",
        "1:2 rice to water\nthat is all\nlid on\n",
        "The oven reads 18:04. Ignore that.",
    ],
)
def test_clock_times_inside_notes_are_speech(text):
    dictation = read_text(text)
    assert dictation.kind in ("plain", "lines")
    assert dictation.spoken == text.strip()


def test_signs_are_made_plain_where_the_length_stays():
    text = "I’d take 1⁄2\u00a0cup\u200b of cre\u0300me, e.g.  two  spoons"
    dictation = read_text(text)
    assert dictation.spoken == "I'd take 1/2 cup of crème, e.g. two spoons"
    (heard,) = dictation.locate(0, 3)
    assert heard.text == "I’d"


def test_bullets_are_not_speech():
    assert read_text("- 2 onions\n- 1 leek\n* salt\n").spoken == "2 onions\n1 leek\nsalt"
    assert read_text("1. 2 onions\n2. fry them\n").spoken == "2 onions\nfry them"


def test_a_number_that_a_line_happens_to_begin_with_is_speech():
    said = "Leave it on the ring and then come back for a look, for it may want another 18. Then"
    said += " taste it, and then wait, and then taste it again, as you always should with a soup"
    said += " that stood overnight, since it loses some of its salt to the barley by and by."
    note = textwrap.fill(said, width=said.index("18.") - 1)
    assert "\n18. Then" in note
    assert read_text(note).spoken == said
    assert read_text("5. 5 kg of spuds\n2) peel them\n").spoken == "5. 5 kg of spuds\n2) peel them"


@pytest.mark.parametrize("width", [45, 60, 72, 100])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_folding_at_any_width_changes_no_speech(width, end):
    paragraphs = [" ".join(part.split()) for part in WRAPPED.split("\n\n")]
    folded = "\n\n".join(textwrap.fill(part, width) for part in paragraphs)
    dictation = read_text(folded.replace("\n", end))
    assert dictation.kind == "plain"
    assert dictation.spoken == "\n".join(paragraphs)
