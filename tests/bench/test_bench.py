"""The bench prints what it was given, judges by the aims, and names no machine. No clock here."""

from __future__ import annotations

import importlib.util
import os
import platform
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
SCRIPTS = ROOT / "scripts"


@pytest.fixture(scope="module")
def bench() -> ModuleType:
    sys.path.insert(0, str(SCRIPTS))
    try:
        spec = importlib.util.spec_from_file_location("bench", SCRIPTS / "bench.py")
        assert spec is not None and spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules["bench"] = module
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(SCRIPTS))
    return module


def test_ratios_are_medians_of_rounds(bench: ModuleType) -> None:
    rounds = [
        {"words": 1000.0, "ours": 2.0, "full": 2.0, "quantulum": 1.0},
        {"words": 1000.0, "ours": 1.0, "full": 2.0, "quantulum": 1.0},
        {"words": 1000.0, "ours": 9.0, "full": 9.0, "quantulum": 1.0},
    ]
    pipeline, quantulum = bench.reading_rows(rounds)
    assert (pipeline.ratio, pipeline.verdict()) == (1.0, "met")
    assert pipeline.ours == "500 words/s"
    assert (quantulum.ratio, quantulum.verdict()) == (2.0, "short")


@pytest.mark.parametrize(
    ("ratio", "aim", "more", "verdict"),
    [(1.1, 1.1, False, "met"), (1.11, 1.1, False, "short"), (0.97, 0.97, True, "met"),
     (0.96, 0.97, True, "short"), (3.0, None, False, "")],
)  # fmt: skip
def test_verdicts(
    bench: ModuleType, ratio: float, aim: float | None, more: bool, verdict: str
) -> None:
    assert bench.Row("x", "", "", ratio, aim, more).verdict() == verdict


def test_the_page_names_no_machine(bench: ModuleType) -> None:
    page = bench.page([bench.Row("reading", "1 s", "2 s", 0.5, 1.0)], 0.3)
    assert "| 0.5 x | at most 1 | met | reading | 1 s | 2 s |" in page
    assert platform.python_version() in page
    assert platform.node() not in page or not platform.node()
    assert str(ROOT) not in page and os.path.expanduser("~") not in page  # noqa: PTH111


def test_the_kept_page_has_every_part(bench: ModuleType) -> None:
    """docs/benchmarks.md is the command's own: the same columns, and no row by hand."""
    kept = bench.PAGE.read_text(encoding="utf-8")
    lines = [line for line in kept.splitlines() if line.startswith("|")]
    assert lines[0] == f"| {' | '.join(bench.HEADINGS)} |"
    for words in ("Whole reading", "Cold start", "A word's cost", "Most memory", "An answer",
                  "food names", "A recipe kept", "`hobnote batch`"):  # fmt: skip
        assert any(words in line for line in lines), words


def test_growth_pieces_hold_the_same_words(bench: ModuleType) -> None:
    parts = sys.modules["bench_parts"]
    joined = {times: parts._joined(times) for times in (1, 4, 16, 64)}
    assert {times: len(texts) for times, texts in joined.items()} == {1: 64, 4: 16, 16: 4, 64: 1}
    counts = [sum(len(t.split()) for t in texts) for texts in joined.values()]
    assert max(counts) - min(counts) < 64 * 8
