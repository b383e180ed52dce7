"""The cook's own foods in a conversation: read, weighed with, and renewed when they change."""

from __future__ import annotations

from pathlib import Path

import pytest

from hobnote.asking.conversation import Conversation
from hobnote.asking.session import Session
from hobnote.keeping.foods import OwnFoods
from hobnote.keeping.store import Store
from hobnote.pantry.own import OwnFood
from hobnote.planning.shelf import StoreShelf
from hobnote.publishing.formats import MEDIA_TYPES, export

NOTE = "Porridge for two. 80 g zanko, 300 ml milk, stirred for 3 minutes."


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.open(str(tmp_path / "recipes.sqlite3"))


def _zanko(kcal: float) -> OwnFood:
    figures = {"energy_kcal": kcal, "protein_g": kcal / 8, "fat_g": 2, "carbohydrate_g": kcal / 9}
    return OwnFood("zanko", figures, serving_g=30)


def _energy(talk: Conversation, name: str) -> float:
    row = next(row for row in talk.rows.values() if row.name == name)
    return row.nutrition["energy_kcal"].best


def test_a_note_knows_own_foods_and_prefers_them(store: Store) -> None:
    OwnFoods(store.engine).save(_zanko(350))
    OwnFoods(store.engine).save(OwnFood("milk", {"energy_kcal": 100, "fat_g": 5}))
    talk = Conversation.start(NOTE, store)
    assert _energy(talk, "zanko") == 280
    milk = next(row for row in talk.rows.values() if row.name == "milk")
    assert milk.food is not None and milk.food.id == "own:milk"
    assert not [q for q in talk.questions if q.ingredient in ("zanko", "milk")]
    for format in MEDIA_TYPES:
        if format != "pdf":
            assert export(talk.record, format)


def test_figures_follow_the_food_and_come_back_with_the_table(store: Store) -> None:
    foods, talk = OwnFoods(store.engine), Conversation.start(NOTE, store)
    table, version = talk.record, talk.version
    foods.save(OwnFood("milk", {"energy_kcal": 100, "fat_g": 5}))
    assert talk.refresh() == []
    assert _energy(talk, "milk") > 300
    foods.save(OwnFood("milk", {"energy_kcal": 120, "fat_g": 5}))
    talk.look()
    assert _energy(talk, "milk") > 360
    foods.remove("milk")
    talk.refresh()
    assert talk.record == table
    assert Conversation.resume(store, talk.id).record == table and version == 1


def test_a_message_may_name_one(store: Store) -> None:
    OwnFoods(store.engine).save(OwnFood("crew crunch mix", {"energy_kcal": 500, "fat_g": 20}))
    talk = Conversation.start("80 g oats, 300 ml milk, stirred", store)
    talk.say("add 40 g crew crunch mix")
    assert _energy(talk, "crew crunch mix") == 200


def test_the_chat_begins_with_them(store: Store) -> None:
    OwnFoods(store.engine).save(_zanko(350))
    session = Session(store)
    session.take("80 g zanko, 300 ml milk, stirred")
    assert session.talk is not None and _energy(session.talk, "zanko") == 280


def test_the_shelf_of_the_planner_renews_them(store: Store) -> None:
    shelf = StoreShelf(store)
    Conversation.start(NOTE, store)
    [before] = shelf.recipes()
    assert shelf.recipes() == [before]
    OwnFoods(store.engine).save(OwnFood("milk", {"energy_kcal": 100, "fat_g": 5}))
    [after] = shelf.recipes()
    assert after.record != before.record


def test_what_was_answered_is_kept(store: Store) -> None:
    talk = Conversation.start(NOTE, store)
    changed = talk.say("the milk was 250 ml")
    looked = talk.say("what's the protein?")
    back = talk.undo()
    kept = [turn.reply for turn in Conversation.resume(store, talk.id).turns]
    assert kept == [
        (),
        (*changed.lines, *changed.changed),
        looked.lines,
        (*back.lines, *back.changed),
    ]
    assert all(kept[1:])
