"""Kept recipes on the planner's shelf."""

from __future__ import annotations

import pytest

from hobnote.following.events import Named, Portioned, Titled
from hobnote.keeping.store import Store
from hobnote.keeping.turns import Draft
from hobnote.planning.entry import entry
from hobnote.planning.feed import feed
from hobnote.planning.shelf import StoreShelf


@pytest.fixture
def store(tmp_path):
    held = Store.open(str(tmp_path / "recipes.sqlite3"))
    yield held
    held.close()


def keep(store, title, *more):
    events = (Titled(title=title), Named(key="a", name="pearl barley"), *more)
    return store.create(Draft("said", title, events), title=title)


def test_a_change_reaches_the_feed_and_the_rest_is_not_worked_out_again(store):
    shelf = StoreShelf(store)
    soup = keep(store, "barley soup")
    keep(store, "barley salad")
    before = {one.id: one for one in shelf.recipes()}
    assert {one.record.title for one in before.values()} == {"barley soup", "barley salad"}
    store.append(
        soup,
        Draft("said", "for four", (Portioned(low=4, best=4, high=4),)),
        after=1,
        title="barley soup",
    )
    after = {one.id: one for one in shelf.recipes()}
    assert (after[soup].version, after[soup].record.portions.best) == (2, 4)
    assert after[soup].changed > before[soup].changed
    other = next(key for key in after if key != soup)
    assert after[other] is before[other]
    assert feed(shelf.recipes()).ids == tuple(sorted(after))


def test_an_undone_turn_no_longer_counts(store):
    soup = keep(store, "barley soup", Portioned(low=4, best=4, high=4))
    store.append(
        soup,
        Draft("said", "for nine", (Portioned(low=9, best=9, high=9),)),
        after=1,
        title="barley soup",
    )
    store.append(soup, Draft("undo", "undo", count=1), after=2, title="barley soup")
    (kept,) = StoreShelf(store).recipes()
    assert (kept.version, entry(kept).portions.best) == (3, 4)
