"""The bar on a terminal, and plain lines where there is none."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

TEXT = "Two hundred grams of oats and half a litre of milk, simmer for ten minutes."


def command(folder: Path) -> list[str]:
    for n in range(60):
        (folder / f"{n}.txt").write_text(TEXT)
    (folder / "sound.txt").write_bytes(b"ID3\x04")
    return [sys.executable, "-m", "hobnote.cli", "batch", str(folder),
            "--out", str(folder.parent / "out.ndjson"), "--jobs", "1"]  # fmt: skip


def test_a_terminal_shows_rate_and_time_left(tmp_path: Path) -> None:
    pty = pytest.importorskip("pty")
    (tmp_path / "notes").mkdir()
    ours, theirs = pty.openpty()
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "100"}
    running = subprocess.Popen(command(tmp_path / "notes"), stderr=theirs, env=environment)
    os.close(theirs)
    shown = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end was closed
            break
        if not part:
            break
        shown += part
    os.close(ours)
    assert running.wait(60) == 3
    words = re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", shown.decode())
    bar = r"Reading .*\d+/61 +\d+\.\d a second(, 1 not read)? +(-:--:--|0:00:\d\d)"
    assert re.search(bar, words)
    assert "60 read; 1 not read" in words
    assert "sound.txt: line 1: this is a sound file" in words


def test_a_pipe_gets_plain_lines(tmp_path: Path) -> None:
    (tmp_path / "notes").mkdir()
    asked = command(tmp_path / "notes")
    done = subprocess.run(asked, capture_output=True, check=False, timeout=120)
    assert done.returncode == 3
    assert b"\x1b" not in done.stderr and b"Reading" not in done.stderr
    assert len(done.stderr.splitlines()) == 2
    assert done.stdout == b""
    lines = (tmp_path / "out.ndjson").read_text().splitlines()
    assert len({json.loads(line)["note"] for line in lines}) == 60
