"""The words beside the recipe: every word once, in order, pointing at what it became."""

from __future__ import annotations

from pathlib import Path

import pytest

from hobnote.asking.conversation import Conversation
from hobnote.following import events as ev
from hobnote.keeping import Draft
from hobnote.reading import read_text
from hobnote.record import Heard
from hobnote_api.page.said import anchors, element, tellings

DEMO = Path(__file__).parents[2] / "corpus" / "demo"


@pytest.mark.parametrize("name", sorted(path.name for path in DEMO.iterdir()))
def test_no_word_is_lost_or_said_twice(name):
    dictation = read_text((DEMO / name).read_text(encoding="utf-8"))
    talk = Conversation.start(dictation)
    [telling] = tellings(talk)
    shown = "".join(run.text for run in telling.runs)
    timed = dictation.kind in ("timed", "webvtt", "subrip")
    assert shown == (dictation.spoken if timed else dictation.text)


def test_words_point_at_their_rows_and_back():
    talk = Conversation.start("80 g oats and 20 g butter. Stir the oats for 3 minutes.")
    talk.say("the oats were 90 g")
    found = tellings(talk)
    assert [telling.version for telling in found] == [1, 2]
    oats = element("i", next(key for key, row in talk.rows.items() if row.name == "oats"))
    pointing = [run.text for telling in found for run in telling.runs if oats in run.rows]
    assert pointing[0] == "80 g oats" and any("90 g" in text for text in pointing)
    begun = [run.anchor for telling in found for run in telling.runs if run.anchor]
    assert len(begun) == len(set(begun))  # ids are unique in a page
    assert set(begun) <= anchors(found)


def test_an_import_points_at_no_words(store, service):
    heard = (Heard(start=0, end=8, text="80 g oat"),)
    events = (
        ev.Named(key="r1", name="oats", heard=heard),
        ev.Stepped(key="s1", verb="stir", text="Stir", heard=heard),
    )
    number = store.create(Draft("said", "imported from a file", events))
    talk = Conversation.resume(store, number)
    assert anchors(tellings(talk)) == frozenset()
    page = service.get(f"/recipes/{number}", headers={"Accept": "text/html"})
    assert page.status_code == 200 and 'class="back"' not in page.text
