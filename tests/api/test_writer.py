"""Many who write at once: together on the disk, each with its own answer."""

from __future__ import annotations

import threading

import pytest

from hobnote.keeping import Draft, NoSuchRecipe, StaleRecipe
from hobnote.keeping.store import Append
from hobnote_api.writer import Writer


@pytest.fixture
def recipes(store):
    return [store.create(Draft("said", f"note {n}", ())) for n in range(6)]


def test_those_who_wait_are_written_together(store, recipes, monkeypatch):
    writer, batches = Writer(store), []
    append_all = store.append_all

    def counted(wanted):
        batches.append(len(wanted))
        return append_all(wanted)

    monkeypatch.setattr(store, "append_all", counted)
    found = {}

    def write(recipe):
        found[recipe] = writer.append(Append(recipe, Draft("said", "more", ()), 1))

    threads = [threading.Thread(target=write, args=(recipe,)) for recipe in recipes]
    with writer.alone:  # the disk is busy
        for thread in threads:
            thread.start()
        while len(writer._queue) < len(recipes):
            threading.Event().wait(0.001)
    for thread in threads:
        thread.join()
    assert batches == [len(recipes)]
    assert {turn.version for turn in found.values()} == {2}
    assert [store.find(recipe).version for recipe in recipes] == [2] * len(recipes)


def test_one_who_is_too_late_stops_nobody_else(store, recipes):
    first, second, *_ = recipes
    more = Draft("said", "more", ())
    store.append(first, more, after=1)
    found = store.append_all(
        [Append(second, more, 1, "title"), Append(first, more, 1), Append(999, more, 1)]
    )
    assert found[0].version == 2
    assert isinstance(found[1], StaleRecipe) and [t.text for t in found[1].since] == ["more"]
    assert isinstance(found[2], NoSuchRecipe)
    assert (store.find(first).version, store.find(second).title) == (2, "title")


def test_a_store_that_fails_is_told_to_all(store, recipes, monkeypatch):
    writer = Writer(store)
    broken = RuntimeError("no disk")
    monkeypatch.setattr(store, "append_all", lambda wanted: (_ for _ in ()).throw(broken))
    with pytest.raises(RuntimeError):
        writer.append(Append(recipes[0], Draft("said", "more", ()), 1))
    monkeypatch.undo()
    assert writer.append(Append(recipes[0], Draft("said", "more", ()), 1)).version == 2
