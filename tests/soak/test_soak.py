"""The short form of the soak, and every input that fuzzing once found, by the same laws.

The long form is ``make soak``.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
FOUND = sorted((ROOT / "tests" / "reading" / "data" / "found").glob("*.txt"))


@pytest.fixture(scope="module")
def laws() -> ModuleType:
    sys.path.insert(0, str(ROOT / "scripts"))
    try:
        import laws
    finally:
        sys.path.remove(str(ROOT / "scripts"))
    return laws


def test_the_short_soak() -> None:
    """300 notes and 15 conversations in one process, which does not grow once it is warm."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "soak.py"), "--short"],
        capture_output=True, text=True, check=False, timeout=540,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    assert "    300 notes" in done.stdout


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_what_fuzzing_found(laws: ModuleType, path: Path) -> None:
    from hobnote.job import read_dictation

    dictation = laws.lawful(path.read_bytes())
    if dictation is not None:
        laws.lawful_record(read_dictation(dictation), dictation.text)


def test_the_laws_can_be_broken(laws: ModuleType) -> None:
    from hobnote.job import read
    from hobnote.record import Bounds

    text = "Fry 200 g onions in a tbsp of oil for 5 minutes."
    record = read(text)
    laws.lawful_record(record, text)
    with pytest.raises(laws.Broken, match="do not stand"):
        laws.lawful_record(record, text.upper())
    row = record.components[0].ingredients[0]
    row.grams = Bounds(low=3, best=2, high=4)
    with pytest.raises(laws.Broken, match="out of order"):
        laws.lawful_record(record, text)
    row.grams = Bounds(low=1, best=2, high=float("inf"))
    with pytest.raises(laws.Broken, match="none"):
        laws.lawful_record(record, text)
