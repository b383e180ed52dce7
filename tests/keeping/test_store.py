"""The store: durable, refuses stale writers, says clearly what is wrong."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from sqlalchemy import text

from hobnote.following import events as ev
from hobnote.keeping import Draft, KeepingError, NoSuchRecipe, StaleRecipe
from hobnote.keeping.engine import open_engine
from hobnote.keeping.migrate import HEAD
from hobnote.keeping.store import Store

NOTE = Draft("said", "a glug of oil", (ev.Titled(title="pan"),))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "recipes.sqlite3"


def test_what_is_kept_comes_back_whole(file: Path) -> None:
    store = Store.open(str(file))
    recipe = store.create(NOTE, title="pan", measures="uk", warnings=["one"])
    store.append(recipe, Draft("undo", "undo", who="mate", count=1), after=1, title="pan")
    store.close()
    again = Store.open(f"sqlite:///{file}")
    first, second = again.turns(recipe)
    assert (first.text, first.events) == (NOTE.text, NOTE.events)
    assert (second.kind, second.who, second.count, second.version) == ("undo", "mate", 1, 2)
    kept = again.find(recipe)
    assert (kept.title, kept.measures, kept.warnings, kept.version) == ("pan", "uk", ("one",), 2)
    assert again.begun_with(NOTE.text) == recipe and again.begun_with("other") is None


def test_a_stale_writer_is_told_what_came_first_and_writes_nothing(file: Path) -> None:
    store = Store.open(str(file))
    recipe = store.create(NOTE)
    store.append(recipe, Draft("said", "two spoons", who="mate"), after=1)
    with pytest.raises(StaleRecipe, match="mate: two spoons") as told:
        store.append(recipe, Draft("said", "three spoons"), after=1)
    assert [t.text for t in told.value.since] == ["two spoons"]
    assert [t.text for t in store.turns(recipe)] == [NOTE.text, "two spoons"]


def test_of_many_writers_at_once_one_wins_each_version(file: Path) -> None:
    recipe = Store.open(str(file)).create(NOTE)
    won: list[str] = []
    lost: list[str] = []

    def write(name: str) -> None:
        store = Store.open(str(file))
        try:
            store.append(recipe, Draft("said", name, who=name), after=1)
            won.append(name)
        except StaleRecipe:
            lost.append(name)
        finally:
            store.close()

    threads = [threading.Thread(target=write, args=(f"w{n}",)) for n in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(won) == 1 and len(lost) == 5
    assert [t.text for t in Store.open(str(file)).turns(recipe)] == [NOTE.text, won[0]]


def test_the_list_has_the_last_changed_first(file: Path) -> None:
    store = Store.open(str(file))
    one, two = store.create(NOTE, title="one"), store.create(NOTE, title="two")
    store.append(one, Draft("said", "x"), after=1, title="one again")
    assert [(k.id, k.title) for k in store.list()] == [(one, "one again"), (two, "two")]


def test_an_unknown_recipe_is_said_so(file: Path) -> None:
    store = Store.open(str(file))
    for look in (lambda: store.turns(7), lambda: store.find(7)):
        with pytest.raises(NoSuchRecipe, match="no recipe 7"):
            look()
    with pytest.raises(NoSuchRecipe):
        store.append(7, NOTE, after=0)


def test_the_log_is_in_wal_mode_and_at_the_newest_migration(file: Path) -> None:
    store = Store.open(str(file))
    with store.engine.connect() as connection:
        assert connection.execute(text("PRAGMA journal_mode")).scalar() == "wal"
        assert connection.execute(text("SELECT version_num FROM alembic_version")).scalar() == HEAD
    files = Path(__file__).parents[2] / "src/hobnote/keeping/migrations/versions"
    assert max(f.name[:4] for f in files.glob("0*.py")) == HEAD


def test_a_newer_database_is_refused(file: Path) -> None:
    store = Store.open(str(file))
    with store.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(KeepingError, match="newer Hobnote"):
        Store.open(str(file))


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"no database at all " * 200, "damaged"), (b"SQLite format 3\0" + b"x" * 4000, "damaged")],
)
def test_a_damaged_file_is_said_so_and_left_alone(
    tmp_path: Path, content: bytes, says: str
) -> None:
    file = tmp_path / "r.sqlite3"
    file.write_bytes(content)
    with pytest.raises(KeepingError, match=says):
        Store.open(str(file))
    assert file.read_bytes() == content


def test_a_folder_that_cannot_be_made_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(KeepingError, match="cannot be made"):
        Store.open(str(tmp_path / "file" / "recipes.sqlite3"))
    with pytest.raises(KeepingError, match="cannot be written"):
        Store.open(str(tmp_path))  # a directory, not a file


@pytest.mark.parametrize("url", ["nonsense://x", "postgresql+nosuchdriver://a@b/c"])
def test_an_address_that_is_none_is_said_so(url: str) -> None:
    with pytest.raises(KeepingError, match=r"not a database address|driver"):
        open_engine(url)
