"""A folder or a file that may not be written: one sentence, nothing changed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from hobnote.keeping import Draft
from hobnote.keeping.store import Store

pytestmark = pytest.mark.skipif(
    sys.platform != "linux" and (not hasattr(os, "geteuid") or os.geteuid() == 0),
    reason="needs permissions that bind this user",
)

TRY = """
import ctypes, os, sys
if os.geteuid() == 0:  # permissions bind root only without its capabilities
    version, none = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
    assert ctypes.CDLL(None).capset(version, none) == 0
from hobnote.keeping.errors import KeepingError
from hobnote.keeping import Draft
from hobnote.keeping.store import Store
try:
    store = Store.open(sys.argv[1])
    print(len(store.list()), "to read")
    store.append(1, Draft("said", "salt"), after=1)
except KeepingError as problem:
    print(type(problem).__name__, problem)
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    found = tmp_path / "kept" / "recipes.sqlite3"
    store = Store.open(str(found))
    store.create(Draft("said", "a glug of oil"))
    store.close()
    return found


def tried(file: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-c", TRY, str(file)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("what", ["folder", "file", "both"])
def test_what_may_not_be_written_is_said_and_left_alone(file: Path, what: str) -> None:
    file.chmod(0o444 if what != "folder" else 0o666)
    file.parent.chmod(0o777 if what == "file" else 0o555)
    content = file.read_bytes()
    try:
        said = tried(file).splitlines()[-1]
    finally:
        file.parent.chmod(0o755)
        file.chmod(0o644)
    assert said.startswith("StoreReadOnly the recipes in")
    assert "cannot be written" in said and "permissions" in said
    assert file.read_bytes() == content
    again = Store.open(str(file))
    assert again.append(1, Draft("said", "salt"), after=1).version == 2


def test_what_may_not_even_be_read_is_said(file: Path) -> None:
    file.chmod(0)
    try:
        said = tried(file)
    finally:
        file.chmod(0o644)
    assert said.startswith("StoreReadOnly") and "permissions" in said


def test_a_folder_where_no_store_can_be_begun_is_said(file: Path) -> None:
    file.parent.chmod(0o555)
    try:
        said = tried(file.parent / "other.sqlite3")
        below = tried(file.parent / "new" / "other.sqlite3")
    finally:
        file.parent.chmod(0o755)
    assert said.startswith("StoreReadOnly") and "--database" in said
    assert below.startswith("KeepingError the folder") and "cannot be made" in below
    assert [p.name for p in file.parent.iterdir()] == ["recipes.sqlite3"]
