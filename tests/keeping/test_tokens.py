"""Tokens are kept as digests; requests that come twice make one recipe; pages of recipes."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from sqlalchemy import text

from hobnote.keeping import Draft, KeepingError
from hobnote.keeping.errors import AlreadyMade
from hobnote.keeping.shelves import page
from hobnote.keeping.store import Once, Store
from hobnote.keeping.tokens import Tokens


@pytest.fixture
def file(tmp_path: Path) -> str:
    return str(tmp_path / "recipes.sqlite3")


def test_a_token_is_good_until_it_is_revoked(file: str) -> None:
    tokens = Tokens.open(file)
    assert not tokens.any()
    secret = tokens.create("galley tablet", "write")
    found = tokens.find(secret)
    assert found is not None and (found.name, found.scope) == ("galley tablet", "write")
    assert tokens.find(secret[:-1]) is None and tokens.find("hob_é") is None
    assert tokens.any() and [t.name for t in tokens.list()] == ["galley tablet"]
    tokens.revoke("galley tablet")
    assert tokens.find(secret) is None and not tokens.any()
    with pytest.raises(KeepingError, match="no token"):
        tokens.revoke("galley tablet")
    with pytest.raises(KeepingError, match="already"):
        tokens.create("galley tablet", "read")
    with pytest.raises(KeepingError, match="name"):
        tokens.create("two\nlines", "read")


def test_the_secret_is_nowhere_in_the_database(file: str) -> None:
    tokens = Tokens.open(file)
    secret = tokens.create("planner", "read")
    with tokens.engine.connect() as connection:
        rows = connection.execute(text("SELECT * FROM tokens")).all()
    tokens.close()
    assert secret not in str(rows)
    assert secret.removeprefix("hob_") not in str(rows)


def test_a_request_sent_twice_makes_one_recipe_even_at_once(file: str) -> None:
    Store.open(file).close()
    made: list[int] = []
    told: list[int] = []

    def ask() -> None:
        store = Store.open(file)
        try:
            made.append(store.create(Draft("said", "a glug of oil"), once=Once("k", "body")))
        except AlreadyMade as problem:
            told.append(problem.recipe)

    threads = [threading.Thread(target=ask) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    store = Store.open(file)
    assert len(made) == 1 and told == made * 5
    assert len(store.list()) == 1
    assert store.made(Once("k", "body")) == made[0] and store.made(Once("other", "body")) is None
    with pytest.raises(ValueError, match="another note"):
        store.create(Draft("said", "two glugs"), once=Once("k", "different"))
    assert len(store.list()) == 1


def test_pages_hold_every_recipe_once_and_words_narrow_them(file: str) -> None:
    store = Store.open(file)
    for n in range(7):
        store.create(Draft("said", f"Oats {n}, 100% milk"), title=f"Breakfast {n}")
    store.create(Draft("said", "a glug of oil"), title=None)
    seen: list[int] = []
    before = None
    while True:
        found = page(store, before=before, limit=3)
        seen += [kept.id for kept in found.recipes]
        if not found.more:
            break
        before = seen[-1]
    assert seen == [8, 7, 6, 5, 4, 3, 2, 1]
    assert [k.id for k in page(store, words=["GLUG"]).recipes] == [8]
    assert [k.id for k in page(store, words=["breakfast", "oats 3"]).recipes] == [4]
    assert len(page(store, words=["100%"]).recipes) == 7
    assert page(store, words=["1_0"]).recipes == ()
