"""The store after a kill or a power cut at any change of its files.

``power/cut.c`` sees every write, sync, truncation and name that a process makes in a
folder, and kills it there or writes it down. A kill leaves all that was written; a
power cut leaves what was synced and any part of the rest, so that is played through
from the record: HOBNOTE_CUTS says how many random parts are tried at each change.
"""

from __future__ import annotations

import importlib.util
import json
import os
import random
import shutil
import struct
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType

import pytest

CUTS = int(os.environ.get("HOBNOTE_CUTS", "3"))
HERE = Path(__file__).parent / "power"
SECTOR = 512
MARK, WRITE, TRUNCATE, SYNC, CREATE, UNLINK, RENAME, LINK = range(8)


@pytest.fixture(scope="module")
def cut(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library to put before a process."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    if sys.platform != "linux" or compiler is None:
        pytest.skip("needs Linux and a C compiler")
    made = tmp_path_factory.mktemp("cut") / "cut.so"
    subprocess.run(
        [compiler, "-O1", "-Wall", "-shared", "-fPIC", "-o", made, HERE / "cut.c"], check=True
    )
    return made


@pytest.fixture(scope="module")
def driver() -> ModuleType:
    spec = importlib.util.spec_from_file_location("power_driver", HERE / "driver.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """In memory where that is possible: a kill does not care, and nothing waits for a disk."""
    memory = Path("/dev/shm")
    if not os.access(memory, os.W_OK):
        yield tmp_path / "kept"
        return
    made = Path(tempfile.mkdtemp(dir=memory))
    yield made / "kept"
    shutil.rmtree(made)


def drive(cut: Path, *words: str | Path) -> int:
    done = subprocess.run(
        [sys.executable, HERE / "driver.py", *words],
        env={**os.environ, "LD_PRELOAD": str(cut)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return int(json.loads(done.stdout))


def test_killed_at_any_change_nothing_acknowledged_is_lost(cut: Path, folder: Path) -> None:
    assert drive(cut, "kill", folder) > 60


def test_a_restore_killed_at_any_change_leaves_the_old_store_or_the_new(
    cut: Path, folder: Path
) -> None:
    assert drive(cut, "restore", folder) > 20


def test_after_a_power_cut_at_any_change_nothing_acknowledged_is_lost(
    cut: Path, driver: ModuleType, folder: Path, tmp_path: Path
) -> None:
    folder.mkdir()
    log = tmp_path / "changes"
    drive(cut, "record", folder, log)
    shutil.rmtree(folder)
    disk, last, seen = Disk(), 0, set()
    choose = random.Random(40)
    for change in changes(log.read_bytes()):
        if change.kind == MARK:
            last = change.offset
            continue
        disk.take(change)
        for part in range(CUTS + 1):
            files = disk.after_a_cut(choose if part else None)
            state = (last, tuple(sorted(files.items())))
            if state in seen:
                continue
            seen.add(state)
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            for path, content in files.items():
                Path(path).write_bytes(content)
            driver.whole(folder / "recipes.sqlite3", last)
    assert last == len(driver.MESSAGES) + 1
    assert len(seen) > 60


@dataclass(frozen=True, slots=True)
class Change:
    kind: int
    path: str
    offset: int
    data: bytes


def changes(log: bytes) -> Iterator[Change]:
    """What cut.c wrote down."""
    at = 0
    while at < len(log):
        kind, path, other, offset, length = struct.unpack_from("<5q", log, at)
        at += 40
        name = log[at : at + path].decode()
        at += path + other
        data = log[at : at + length] if kind == WRITE else b""
        at += len(data)
        assert kind not in (RENAME, LINK), "the store does not rename"
        if not name.endswith("-shm"):  # it is made anew from the log
            yield Change(kind, name, offset, data)


@dataclass(slots=True)
class _File:
    synced: bytearray = field(default_factory=bytearray)
    waiting: list[Change] = field(default_factory=list)


@dataclass(slots=True)
class Disk:
    """Files as a disk without favours has them: content is safe when the file was synced,
    a name when its folder was."""

    synced: dict[str, _File] = field(default_factory=dict)
    now: dict[str, _File] = field(default_factory=dict)
    names: list[tuple[Change, _File]] = field(default_factory=list)

    def take(self, change: Change) -> None:
        if change.kind == CREATE:
            self.now[change.path] = _File()
            self.names.append((change, self.now[change.path]))
        elif change.kind == UNLINK:
            self.names.append((change, self.now.pop(change.path)))
        elif change.kind in (WRITE, TRUNCATE):
            self.now[change.path].waiting.append(change)
        elif change.path in self.now:
            file = self.now[change.path]
            for one in file.waiting:
                _apply(file.synced, one)
            file.waiting.clear()
        else:  # the folder
            for one in self.names:
                _rename(self.synced, *one)
            self.names.clear()

    def after_a_cut(self, choose: random.Random | None) -> dict[str, bytes]:
        """What is on the disk: the synced alone, or with any part of the rest."""
        named = dict(self.synced)
        for one in self.names:
            if choose and choose.random() < 0.5:
                _rename(named, *one)
        found = {}
        for path, file in named.items():
            content = bytearray(file.synced)
            for change in file.waiting:
                if choose and choose.random() < 0.7:
                    _apply(content, change, choose)
            found[path] = bytes(content)
        return found


def _rename(names: dict[str, _File], change: Change, file: _File) -> None:
    if change.kind == CREATE:
        names[change.path] = file
    else:
        names.pop(change.path, None)


def _apply(content: bytearray, change: Change, choose: random.Random | None = None) -> None:
    """A write as a whole, or each sector of it by chance."""
    if change.kind == TRUNCATE:
        del content[change.offset :]
        content.extend(bytes(change.offset - len(content)))
        return
    for start in range(0, len(change.data), SECTOR):
        if choose and choose.random() < 0.2:
            continue
        piece, at = change.data[start : start + SECTOR], change.offset + start
        content.extend(bytes(max(0, at + len(piece) - len(content))))
        content[at : at + len(piece)] = piece
