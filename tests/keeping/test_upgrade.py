"""What an older Hobnote kept is read by this one, row by row.

``data/NNNN.sql`` are stores as the programs of their time wrote them (0001 and 0002 by
the code of those days, see ``data/make.py``); they are never made anew.
"""

from __future__ import annotations

import os
import sqlite3
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import MetaData, create_engine, inspect, text
from sqlalchemy.engine import URL, make_url

from hobnote.asking.conversation import Conversation
from hobnote.keeping import Draft, KeepingError
from hobnote.keeping.backup import back_up, restore
from hobnote.keeping.engine import open_engine, writing
from hobnote.keeping.errors import StoreNewer
from hobnote.keeping.foods import OwnFoods
from hobnote.keeping.migrate import HEAD, revisions, upgrade
from hobnote.keeping.schema import metadata
from hobnote.keeping.store import Once, Store
from hobnote.keeping.tokens import Tokens

POSTGRES = os.environ.get("HOBNOTE_TEST_POSTGRES")
DATA = Path(__file__).parent / "data"
KEPT = sorted(file.stem for file in DATA.glob("0*.sql"))


def store_of(layout: str, file: Path) -> dict[str, list[tuple[object, ...]]]:
    """A store of that layout at ``file``, and its rows by table."""
    newest = max(stem for stem in KEPT if stem <= layout)
    kept = sqlite3.connect(file)
    kept.executescript((DATA / f"{newest}.sql").read_text(encoding="utf-8"))
    kept.close()
    if newest < layout:
        engine = open_engine(str(file))
        with writing(engine) as connection:
            upgrade(connection, layout)
        engine.dispose()
    return rows_of(file)


def rows_of(file: Path) -> dict[str, list[tuple[object, ...]]]:
    kept = sqlite3.connect(file)
    tables = [row[0] for row in kept.execute("SELECT name FROM sqlite_master WHERE type='table'")]
    found = {}
    for table in tables:
        columns = [row[1] for row in kept.execute(f'PRAGMA table_info("{table}")')]
        found[table] = [
            tuple(sorted(zip(columns, row, strict=True)))
            for row in kept.execute(f'SELECT * FROM "{table}" ORDER BY 1')
        ]
    kept.close()
    found.pop("alembic_version", None)
    return found


@pytest.mark.parametrize("layout", revisions())
def test_every_older_layout_is_brought_up_to_date_with_its_rows(
    layout: str, tmp_path: Path
) -> None:
    file = tmp_path / "recipes.sqlite3"
    before = store_of(layout, file)
    assert before["recipes"] and before["turns"]
    store = Store.open(str(file))
    with store.engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).scalar() == HEAD
        assert connection.execute(text("PRAGMA integrity_check")).scalar() == "ok"
        assert connection.execute(text("PRAGMA foreign_key_check")).first() is None
    after = rows_of(file)
    for table, rows in before.items():
        for old, new in zip(rows, after[table], strict=True):
            assert set(old) <= set(new), f"{table}: a value was lost"
    for kept in store.list():
        turns = store.turns(kept.id)
        assert [turn.version for turn in turns] == list(range(1, kept.version + 1))
    talk = Conversation.resume(store, 1)
    names = {row.name for part in talk.record.components for row in part.ingredients}
    assert {"honey", "milk"} <= names
    assert talk.say("add 20 g of almonds").changed
    store.close()


@pytest.fixture
def server() -> Iterator[URL]:
    """A new database on a PostgreSQL server."""
    if POSTGRES is None:
        pytest.skip("HOBNOTE_TEST_POSTGRES names no server")
    admin = create_engine(POSTGRES, isolation_level="AUTOCOMMIT")
    name = f"hobnote_{uuid.uuid4().hex}"
    with admin.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    yield make_url(POSTGRES).set(database=name)
    with admin.connect() as connection:
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    admin.dispose()


@pytest.mark.parametrize("layout", KEPT)
def test_every_older_layout_on_a_server_as_well(
    layout: str, server: URL, tmp_path: Path
) -> None:
    kept = store_of(layout, tmp_path / "recipes.sqlite3")
    address = server.render_as_string(hide_password=False)
    engine = open_engine(address)
    with writing(engine) as connection:
        upgrade(connection, layout)
        tables = MetaData()
        tables.reflect(connection)
        for table in tables.sorted_tables:
            for row in kept.get(table.name, []):
                connection.execute(table.insert().values(dict(row)))
            if kept.get(table.name) and "id" in table.columns:
                connection.execute(text(
                    f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'), max(id))"
                    f" FROM {table.name}"
                ))  # fmt: skip
    engine.dispose()
    store = Store.open(address)
    said = [dict(row) for row in kept["turns"]]
    for one in store.list():
        texts = [turn.text for turn in store.turns(one.id)]
        assert texts == [turn["text"] for turn in said if turn["recipe"] == one.id]
    assert len(store.list()) == len(kept["recipes"])
    assert Conversation.resume(store, 1).say("add 20 g of almonds").changed
    store.create(Draft("said", "Tea again."))
    with writing(store.engine) as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '0999'"))
    with pytest.raises(StoreNewer):
        Store(store.engine)
    store.close()


@pytest.mark.parametrize("layout", [layout for layout in KEPT if layout >= "0002"])
def test_own_foods_and_tokens_are_still_good(layout: str, tmp_path: Path) -> None:
    file = tmp_path / "recipes.sqlite3"
    store_of(layout, file)
    foods = OwnFoods.open(str(file))
    assert foods.get("club bar").figures["energy_kcal"] == 412.5
    foods.close()
    tokens = Tokens.open(str(file))
    assert [token.name for token in tokens.list()] == (["planner"] if layout >= "0003" else [])
    tokens.close()
    store = Store.open(str(file))
    assert store.made(Once("k" * 64, "d" * 64)) == (3 if layout >= "0003" else None)
    store.close()


@pytest.mark.parametrize("layout", KEPT)
def test_a_backup_of_an_older_layout_can_be_restored(layout: str, tmp_path: Path) -> None:
    old = tmp_path / "old.sqlite3"
    store_of(layout, old)
    made = back_up(tmp_path / "copy.sqlite3", str(old))
    assert (made.contents is None) == (layout != HEAD)
    assert rows_of(made.file) == rows_of(old), "a backup stays as the old program wrote it"
    done = restore(made.file, str(tmp_path / "new.sqlite3"))
    assert done.contents.recipes == len(rows_of(old)["recipes"])
    assert rows_of(made.file) == rows_of(old)


def test_an_upgrade_that_fails_half_way_leaves_the_old_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "recipes.sqlite3"
    before = store_of("0001", file)

    def broken(connection: object, revision: str = "head") -> None:
        upgrade(connection, "0002")  # type: ignore[arg-type]
        raise KeepingError("the machine gave up")

    with monkeypatch.context() as patched:
        patched.setattr("hobnote.keeping.migrate.upgrade", broken)
        with pytest.raises(KeepingError, match="gave up"):
            Store.open(str(file))
    assert rows_of(file) == before
    Store.open(str(file)).close()


def test_the_migrations_make_the_tables_that_the_code_knows(tmp_path: Path) -> None:
    store = Store.open(str(tmp_path / "recipes.sqlite3"))
    seen = inspect(store.engine)
    assert set(seen.get_table_names()) == {*metadata.tables, "alembic_version"}
    for table in metadata.sorted_tables:
        made = {column["name"]: column["nullable"] for column in seen.get_columns(table.name)}
        assert made == {column.name: column.nullable for column in table.columns}
    assert revisions()[-1] == HEAD


def test_a_store_of_a_newer_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "recipes.sqlite3"
    store_of(HEAD, file)
    with sqlite3.connect(file) as kept:
        kept.execute("UPDATE alembic_version SET version_num = '0999'")
        kept.execute("ALTER TABLE recipes ADD COLUMN mood TEXT DEFAULT 'fine'")
    kept.close()
    before = rows_of(file)
    for openers in (Store, OwnFoods, Tokens):
        with pytest.raises(StoreNewer, match=r"newer Hobnote \(layout 0999.*up to") as told:
            openers.open(str(file))
        assert str(file) in str(told.value)
    assert rows_of(file) == before
    with pytest.raises(StoreNewer):
        restore(file, str(tmp_path / "other.sqlite3"))


def test_a_store_that_lost_its_layout_is_damaged(tmp_path: Path) -> None:
    file = tmp_path / "recipes.sqlite3"
    store_of(HEAD, file)
    with sqlite3.connect(file) as kept:
        kept.execute("DELETE FROM alembic_version")
    kept.close()
    with pytest.raises(KeepingError, match="does not say which layout"):
        Store.open(str(file)).create(Draft("said", "oats"))
