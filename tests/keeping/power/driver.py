"""Talks to a store while cut.so looks on; run with LD_PRELOAD, see test_power_cut.py.

    driver.py kill FOLDER          a child for each change, killed there; says what it found
    driver.py record FOLDER LOG    one child, never killed, its changes written down
    driver.py restore FOLDER       as kill, with a backup put in the place of a store
"""

from __future__ import annotations

import ctypes
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sqlalchemy import text

from hobnote.asking.conversation import Conversation
from hobnote.keeping import Draft, Turn
from hobnote.keeping.backup import back_up, restore
from hobnote.keeping.memory import InMemory
from hobnote.keeping.store import Store

NOTE = "Put a glug of oil in the pan and fry 2 onions for 5 minutes. Serves two."
MESSAGES = ["a tablespoon", "undo", "add 10 g of butter"]
CUT = ctypes.CDLL(None)  # the process itself: what LD_PRELOAD put before it


class _Noted(InMemory):
    """Notes what a conversation keeps."""

    def __init__(self) -> None:
        super().__init__()
        self.drafts: list[Draft] = []

    def create(self, first: Draft, **more: Any) -> int:
        self.drafts.append(first)
        return super().create(first, **more)

    def append(self, recipe: int, draft: Draft, **more: Any) -> Turn:
        self.drafts.append(draft)
        return super().append(recipe, draft, **more)


def conversation() -> list[Draft]:
    """What a short conversation keeps, worked out once."""
    noted = _Noted()
    talk = Conversation.start(NOTE, noted)
    for message in MESSAGES:
        talk.say(message)
    assert len(noted.drafts) == len(MESSAGES) + 1
    return noted.drafts


def keep(folder: Path, drafts: list[Draft], acknowledged: Callable[[int], None]) -> None:
    """Keep a conversation from an empty folder on; ``acknowledged`` hears of each version."""
    store = Store.open(str(folder / "recipes.sqlite3"))
    recipe = store.create(drafts[0])
    acknowledged(1)
    for version, draft in enumerate(drafts[1:], 1):
        acknowledged(store.append(recipe, draft, after=version).version)
    store.close()


def cut(folder: Path, n: int, torn: bool, do: Callable[[Callable[[int], None]], None]) -> int:
    """What a child acknowledged that is killed at its ``n``-th change; ~that if it was not."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            CUT.cut_at(str(folder).encode(), ctypes.c_long(n), int(torn))
            do(lambda version: os.write(writing, bytes([version])) and None)
            status = 0
        finally:
            os._exit(status)
    os.close(writing)
    _, status = os.waitpid(child, 0)
    told = os.read(reading, 1_000)
    os.close(reading)
    last = told[-1] if told else 0
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return last
    assert status == 0, f"the child failed at change {n}"
    return ~last


def whole(file: Path, last: int) -> None:
    """The store opens, its pages are right, nothing acknowledged is lost, it goes on."""
    store = Store.open(str(file))
    with store.engine.connect() as connection:
        assert connection.execute(text("PRAGMA integrity_check")).scalar() == "ok"
    kept = store.list()
    turns = store.turns(kept[0].id) if kept else []
    assert [turn.version for turn in turns] == list(range(1, len(turns) + 1))
    assert len(kept) <= 1 and len(turns) in (last, last + 1), (len(turns), last)
    assert [turn.text for turn in turns] == [NOTE, *MESSAGES][: len(turns)]
    if kept:
        store.append(kept[0].id, Draft("asked", "what is left?"), after=len(turns))
    store.close()


def kill(folder: Path) -> int:
    """Every change of the conversation in turn; gives how many there were."""
    drafts = conversation()
    keep(folder, drafts, lambda told: None)  # loads everything before the first fork
    n = 0
    while True:
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        last = cut(folder, n, n % 2 == 1, lambda told: keep(folder, drafts, told))
        if last < 0:
            return n
        whole(folder / "recipes.sqlite3", last)
        n += 1


def restored(folder: Path) -> int:
    """Every change of a restore: afterwards the store is the old one or the new one, whole."""
    aside = folder.with_name("aside")
    aside.mkdir()
    old, new = (Store.open(str(aside / f"{name}.sqlite3")) for name in ("old", "new"))
    for store, title in ((old, "old dish"), (new, "new dish")):
        store.create(Draft("said", f"a note of the {title}"), title=title)
    back_up(aside / "backup.sqlite3", str(aside / "new.sqlite3"))
    n = 0
    file = folder / "recipes.sqlite3"
    while True:
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        for suffix in ("", "-wal"):  # as a killed writer leaves it: with a log (old is open)
            shutil.copy(aside / f"old.sqlite3{suffix}", f"{file}{suffix}")
        last = cut(
            folder, n, n % 2 == 1,
            lambda told: (restore(aside / "backup.sqlite3", str(file), replace=True), told(1))[1],
        )  # fmt: skip
        titles = titles_of(file)
        assert titles in (["old dish"], ["new dish"]), titles
        assert last in (0, ~1) and (titles == ["new dish"] or last == 0)
        if titles == ["new dish"]:
            [before] = folder.glob("recipes.before-restore-*")
            assert titles_of(before) == ["old dish"]
        if last < 0:
            assert not list(folder.glob(".*.part*")), "something was left behind"
            return n
        n += 1


def titles_of(file: Path) -> list[str | None]:
    store = Store.open(str(file))
    found = [kept.title for kept in store.list()]
    for kept in store.list():
        assert store.turns(kept.id)
    store.close()
    return found


def record(folder: Path, log: Path) -> int:
    """The conversation, written down; each acknowledgement is a mark."""
    drafts = conversation()
    CUT.cut_record(str(folder).encode(), str(log).encode())
    keep(folder, drafts, lambda version: CUT.cut_mark(ctypes.c_int64(version)))
    return len(MESSAGES) + 1


if __name__ == "__main__":
    what, folder = sys.argv[1], Path(sys.argv[2])
    if what == "record":
        found = record(folder, Path(sys.argv[3]))
    else:
        found = {"kill": kill, "restore": restored}[what](folder)
    print(json.dumps(found))
