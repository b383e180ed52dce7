"""How the passages of a note are walked: one by one, with no more held than a look ahead needs."""

from __future__ import annotations

import pytest

from hobnote.following import follow as walk
from hobnote.marking.pipeline import mark
from hobnote.reading import read_text

NOTE = "Supper for six. " + "Fry two onions in a tablespoon of oil for five minutes. " * 60


def most_held(text: str, monkeypatch: pytest.MonkeyPatch) -> int:
    """Passages read but not yet walked, at the most."""
    dictation = read_text(text)
    pulled = fed = most = 0

    def docs():
        nonlocal pulled
        for pair in mark(dictation.spoken):
            pulled += 1
            yield pair

    feed = walk.Follower.feed

    def counted(self, doc, base):
        nonlocal fed, most
        most = max(most, pulled - fed)
        fed += 1
        feed(self, doc, base)

    monkeypatch.setattr(walk.Follower, "feed", counted)
    walk.follow(dictation, docs())
    assert fed == pulled > 5
    return most


def test_a_note_that_says_for_how_many_is_walked_passage_by_passage(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert most_held(NOTE, monkeypatch) == 1


def test_no_more_is_held_than_a_look_ahead_reaches(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(walk, "AHEAD", 150)
    assert most_held(NOTE.removeprefix("Supper for six. "), monkeypatch) <= 5
