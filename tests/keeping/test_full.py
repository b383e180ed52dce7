"""No room left: one sentence, nothing lost, and it goes on once room was made."""

from __future__ import annotations

import contextlib
import os
import resource
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import event

from hobnote.keeping import Draft
from hobnote.keeping.backup import back_up
from hobnote.keeping.errors import KeepingError, StoreFull
from hobnote.keeping.store import Store

NOTE = "Oats and water, as every morning. " * 200


def fill(store: Store, recipe: int, limit: int = 2_000) -> tuple[int, KeepingError]:
    """Messages until one is refused: the last version kept, and what was said."""
    last = store.find(recipe).version
    for _ in range(limit):
        try:
            last = store.append(recipe, Draft("said", NOTE), after=last).version
        except KeepingError as problem:
            return last, problem
    raise AssertionError("it never got full")


def goes_on(store: Store, recipe: int, last: int) -> None:
    """Nothing acknowledged is lost, nothing refused is there, and the next one is kept."""
    assert [turn.version for turn in store.turns(recipe)] == list(range(1, last + 1))
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
    assert store.append(recipe, Draft("said", NOTE), after=last).version == last + 1


def test_a_database_that_may_not_grow(tmp_path: Path) -> None:
    store = Store.open(str(tmp_path / "recipes.sqlite3"))
    recipe = store.create(Draft("said", NOTE))
    most = {"pages": 60}

    @event.listens_for(store.engine, "begin")
    def limited(connection: object) -> None:
        connection.exec_driver_sql(f"PRAGMA max_page_count = {most['pages']}")  # type: ignore[attr-defined]

    last, said = fill(store, recipe)
    assert isinstance(said, StoreFull)
    assert "no room left" in str(said) and "make room" in str(said)
    with pytest.raises(StoreFull):
        store.append(recipe, Draft("said", NOTE), after=last)
    with pytest.raises(StoreFull):
        store.create(Draft("said", NOTE))
    assert len(store.list()) == 1, "no half of a recipe"
    most["pages"] = 1_000_000
    goes_on(store, recipe, last)
    store.close()


LIMITED = """
    import resource, sys
    from hobnote.keeping import Draft, KeepingError
    from hobnote.keeping.store import Store

    store = Store.open(sys.argv[1])
    recipe, last, note = store.list()[0].id, 1, "Oats and water. " * 400
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, hard))
    try:
        for _ in range(1_000):
            last = store.append(recipe, Draft("said", note), after=last).version
    except KeepingError as problem:
        print(last, problem)
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    assert store.append(recipe, Draft("said", note), after=last).version == last + 1
"""


def test_a_file_that_may_not_grow(tmp_path: Path) -> None:
    """A limit of the system on one process, in a process of its own."""
    if resource.getrlimit(resource.RLIMIT_FSIZE)[1] != resource.RLIM_INFINITY:
        pytest.skip("files are limited on this machine already")
    file = str(tmp_path / "recipes.sqlite3")
    store = Store.open(file)
    recipe = store.create(Draft("said", NOTE))
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(LIMITED), file],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    last, _, said = done.stdout.partition(" ")
    assert "nothing was written" in said and "limits" in said and said.count("\n") == 1
    goes_on(store, recipe, int(last) + 1)
    store.close()


@contextlib.contextmanager
def small_disk(folder: Path, size: str) -> Iterator[Path]:
    """A disk of ``size`` in memory at ``folder``."""
    folder.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if made.returncode:
        pytest.skip(f"a small disk cannot be mounted here ({made.stderr.strip()})")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    if sys.platform != "linux":
        pytest.skip("needs Linux to mount a small disk")
    try:
        with small_disk(tmp_path / "disk", "1200k") as folder:
            yield folder
    except FileNotFoundError:
        pytest.skip("there is no 'mount' here")


def test_a_full_disk(disk: Path) -> None:
    ballast = disk / "ballast"
    ballast.write_bytes(bytes(300_000))
    file = disk / "recipes.sqlite3"
    store = Store.open(str(file))
    recipe = store.create(Draft("said", NOTE))
    last, said = fill(store, recipe)
    assert isinstance(said, StoreFull) and str(file) in str(said)
    ballast.unlink()
    goes_on(store, recipe, last)
    last, said = fill(store, recipe)
    assert isinstance(said, StoreFull)
    store.close()
    ballast.touch()
    again = Store.open(str(file))  # closing put the log into the database and gave room back
    assert again.find(recipe).version == last
    with pytest.raises(KeepingError, match=r"no room left|cannot be written"):
        for n in range(400):
            back_up(disk / f"{n}.sqlite3", str(file))
    assert not list(disk.glob(".*.part*")), "half a backup was left behind"
    assert again.find(recipe).version == last
    again.close()


def test_a_disk_that_is_full_from_the_start(disk: Path) -> None:
    file = disk / "recipes.sqlite3"
    store = Store.open(str(file))
    recipe = store.create(Draft("said", NOTE))
    store.close()
    ballast = disk / "ballast"
    with contextlib.suppress(OSError), ballast.open("wb") as full:
        while True:
            full.write(bytes(4096))
            full.flush()
    with pytest.raises(StoreFull, match="make room"):
        Store.open(str(file)).turns(recipe)
    with pytest.raises(KeepingError, match="no room left"):
        Store.open(str(disk / "new.sqlite3"))
    ballast.unlink()
    goes_on(Store.open(str(file)), recipe, 1)
    Store.open(str(disk / "new.sqlite3")).close()


def test_the_command_says_it_and_fails(disk: Path) -> None:
    file = disk / "recipes.sqlite3"
    store = Store.open(str(file))
    recipe = store.create(Draft("said", "Two onions, fried for 5 minutes. Serves two."))
    store.close()
    with contextlib.suppress(OSError), (disk / "ballast").open("wb") as full:
        while True:
            full.write(bytes(4096))
            full.flush()
    done = subprocess.run(
        [sys.executable, "-m", "hobnote.cli", "chat", "--recipe", str(recipe)],
        input="add 10 g of butter\n",
        env={**os.environ, "HOBNOTE_DATABASE": str(file)},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr.startswith("hobnote: there is no room left") and "make room" in done.stderr
    assert done.stderr.count("\n") == 1
