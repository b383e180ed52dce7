"""The table of licences is in line with the lock and leaves no condition unsaid."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
spec = importlib.util.spec_from_file_location("licences", ROOT / "scripts" / "licences.py")
assert spec and spec.loader
licences = importlib.util.module_from_spec(spec)
spec.loader.exec_module(licences)

PAGE = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")
ABOVE, BELOW = PAGE.split("## All")


def rows(text: str) -> dict[str, list[str]]:
    lines = (line.strip("| ").split(" | ") for line in text.splitlines() if line.startswith("| "))
    return {name: rest for name, *rest in lines if name != "Package"}


def test_the_table_has_the_packages_of_the_lock() -> None:
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert sorted(rows(BELOW)) == sorted(licences.locked(lock)), "run: make lock"


def test_every_licence_that_asks_for_something_has_its_sentence() -> None:
    asking = {name for name, rest in rows(BELOW).items() if licences.COPYLEFT.search(rest[0])}
    assert asking == set(rows(ABOVE)) and asking
    for name, (licence, _, note) in rows(ABOVE).items():
        assert len(note) > 10 and licence == rows(BELOW)[name][0]


def test_every_row_says_a_licence_and_for_what() -> None:
    for name, (licence, use) in rows(BELOW).items():
        assert re.search(r"[A-Z]{2}|Apache|License", licence), name
        assert use == "always" or use.startswith("extra `") or use.endswith(" alone"), name


def test_names_are_read_from_a_lock() -> None:
    assert licences.locked("# made by\nsrt==3.5\nfoo @ file:///x.whl\n\n") == ["srt", "foo"]
