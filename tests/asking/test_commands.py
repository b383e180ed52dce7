"""The chat through a pipe, and the commands that look at what was kept."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

NOTE = "Put a glug of oil in the pan and fry 2 onions for 5 minutes. Serves two."


def hobnote(
    *arguments: str, typed: str = "", store: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """Run the command; the recipes are in ``store``."""
    database = ["--database", str(store)] if store else []
    return subprocess.run(
        [sys.executable, "-m", "hobnote.cli", *arguments, *database],
        input=typed, capture_output=True, text=True, encoding="utf-8", timeout=120, check=False,
    )  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return tmp_path / "recipes.sqlite3"


def test_a_piped_chat_answers_line_by_line_and_is_taken_up_where_it_stopped(
    tmp_path: Path, store: Path
) -> None:
    note = tmp_path / "note.txt"
    note.write_text(NOTE, encoding="utf-8")
    first = hobnote("chat", str(note), typed="a tablespoon\ncall it shed onions\n", store=store)
    assert first.returncode == 0 and not first.stderr, first.stderr
    assert "How much oil" in first.stdout and "oil: a tablespoon" in first.stdout
    assert "\x1b" not in first.stdout
    again = hobnote("chat", str(note), typed="undo\nundo\n\nredo\n", store=store)
    assert again.returncode == 0
    assert "Recipe 1: shed onions" in again.stdout
    assert "Taken back: cook: a tablespoon" in again.stdout

    listed = hobnote("list", store=store)
    assert listed.stdout.split()[0] == "1" and listed.stdout.count("\n") == 1
    told = hobnote("history", "1", store=store).stdout.splitlines()
    assert len(told) == 6 and "call it shed onions  (undone by cook" in told[2]
    assert '"title": null' in hobnote("show", "1", "--format", "json", store=store).stdout


def test_a_chat_without_a_file_begins_with_the_first_message_that_tells_a_dish(
    store: Path,
) -> None:
    done = hobnote("chat", typed=f"hello\nhelp\n{NOTE}\nbye\nnever read\n", store=store)
    assert done.returncode == 0
    assert "Recipe 1:" in done.stdout and "never read" not in done.stdout


def test_problems_are_one_sentence_and_status_2(tmp_path: Path, store: Path) -> None:
    missing = hobnote("show", "7", store=store)
    assert missing.returncode == 2 and "there is no recipe 7" in missing.stderr
    damaged = tmp_path / "damaged"
    damaged.write_bytes(b"not a database " * 100)
    broken = hobnote("list", store=damaged)
    assert broken.returncode == 2 and "damaged" in broken.stderr
    assert all("Traceback" not in p.stderr for p in (missing, broken))
    assert len(broken.stderr.splitlines()) == 1
