"""How fast, how large and how linear: every figure of docs/benchmarks.md in one run.

    python scripts/bench.py [--write] [--only PART ...] [--data DIRECTORY]

Each part runs in a process of its own with one thread. Times are processor
time, so that other programs on the machine count little, and medians of
interleaved rounds. --write renews docs/benchmarks.md.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import statistics
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import bench_parts

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "benchmarks.md"
THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True)
class Row:
    """One line of the table. ``ratio`` should not exceed ``aim`` (``more``: not fall below)."""

    what: str
    ours: str
    other: str
    ratio: float | None = None
    aim: float | None = None
    more: bool = False
    unit: str = "x"

    def verdict(self) -> str:
        """Whether the aim is met; empty where there is none."""
        if self.ratio is None or self.aim is None:
            return ""
        met = self.ratio >= self.aim if self.more else self.ratio <= self.aim
        return "met" if met else "short"

    def cells(self) -> tuple[str, ...]:
        """The cells of the table."""
        sign = "at least" if self.more else "at most"
        ratio = "" if self.ratio is None else f"{self.ratio:,.3g} {self.unit}".strip()
        aim = "" if self.aim is None else f"{sign} {self.aim:,g}"
        return ratio, aim, self.verdict(), self.what, self.ours, self.other


HEADINGS = ("Ratio", "Aim", "", "What", "Hobnote", "Beside it")

Rounds = list[dict[str, float]]


def middle(rounds: Rounds, key: str) -> float:
    """The median of one figure over the rounds."""
    return statistics.median(r[key] for r in rounds)


def between(rounds: Rounds, ours: str, other: str) -> float:
    """The median of the rounds' ratios."""
    return statistics.median(r[ours] / r[other] for r in rounds)


def reading_rows(rounds: Rounds) -> list[Row]:
    """Whole reading against the two general parts."""
    words = rounds[0]["words"]
    ours = f"{words / middle(rounds, 'ours'):,.0f} words/s"
    return [
        Row("Whole reading with nutrition, beside the full small English pipeline", ours,
            f"{words / middle(rounds, 'full'):,.0f} words/s", between(rounds, "ours", "full"), 1.0),
        Row("Whole reading with nutrition, beside quantulum3 by sentence", ours,
            f"{words / middle(rounds, 'quantulum'):,.0f} words/s",
            between(rounds, "ours", "quantulum"), 1.4),
    ]  # fmt: skip


def start_rows(rounds: Rounds) -> list[Row]:
    """Cold start, in processor time and by the clock."""
    return [
        Row("Cold start of `hobnote read FILE --format json`, beside importing and loading the "
            "small pipeline", f"{middle(rounds, 'ours'):.2f} s", f"{middle(rounds, 'bare'):.2f} s",
            between(rounds, "ours", "bare"), 1.25),
        Row("The same by the clock", f"{middle(rounds, 'ours_clock'):.2f} s",
            f"{middle(rounds, 'bare_clock'):.2f} s", between(rounds, "ours_clock", "bare_clock")),
    ]  # fmt: skip


def growth_rows(rounds: Rounds) -> list[Row]:
    """The same words as 64 notes, 16, 4, and one."""
    words = rounds[0]["words"]
    return [
        Row(f"A word's cost in a note of {n * words / 64:,.0f} words, beside one of "
            f"{words / 64:,.0f}", f"{middle(rounds, str(n)) / words * 1e6:.0f} µs/word",
            f"{middle(rounds, '1') / words * 1e6:.0f} µs/word", between(rounds, str(n), "1"),
            1.1 if n == 64 else None)
        for n in (4, 16, 64)
    ]  # fmt: skip


def memory_rows(rounds: Rounds) -> list[Row]:
    """Peak memory of a process that has read everything."""
    (found,) = rounds
    return [
        Row(f"Most memory of a process that read {found['notes']:.0f} notes",
            f"{found['ours']:.0f} MB", f"small pipeline on the same: {found['bare']:.0f} MB",
            found["ours"] / 400, 1.0, unit="of 400 MB"),
        Row(f"The same after one note of {found['words']:,.0f} words besides",
            f"{found['long']:.0f} MB", "", found["long"] / 400, 1.0, unit="of 400 MB"),
    ]  # fmt: skip


def answer_rows(rounds: Rounds) -> list[Row]:
    """An answer in a chat."""
    return [
        Row(f"An answer in a chat about a {r['kind']} note of 2,000 words, beside reading it again",
            f"{r['answer'] * 1e3:.0f} ms, slowest {r['slowest'] * 1e3:.0f} ms",
            f"{r['reading'] * 1e3:.0f} ms", r["answer"] / r["reading"])
        for r in rounds
    ]  # fmt: skip


def name_rows(rounds: Rounds) -> list[Row]:
    """Names against extractOne."""
    (r,) = rounds
    return [
        Row(f"{r['names']:,.0f} food names matched, times faster than rapidfuzz's extractOne "
            f"(timed on {r['sample']:.0f}, scaled up)", f"{r['ours']:.2f} s", f"{r['other']:.0f} s",
            r["other"] / r["ours"])
    ]  # fmt: skip


def store_rows(rounds: Rounds) -> list[Row]:
    """Writes that are on the disk when the call returns."""
    return [
        Row("A recipe kept on the disk (SQLite, fully synchronous), by the clock",
            f"{middle(rounds, 'create') * 1e3:.1f} ms", ""),
        Row("A message added to it", f"{middle(rounds, 'append') * 1e3:.1f} ms", ""),
    ]  # fmt: skip


def batch_rows(rounds: Rounds) -> list[Row]:
    """Many notes on one and two processes, start included."""
    (r,) = rounds
    return [
        Row(f"`hobnote batch` of {r['notes']:.0f} notes on 2 processes, times faster than on 1 "
            f"({r['cores']:.0f} cores; by the clock, start included)",
            f"{r['notes'] / r['two']:.1f} notes/s", f"{r['notes'] / r['one']:.1f} notes/s",
            r["one"] / r["two"])
    ]  # fmt: skip


def risec_rows(rounds: Rounds) -> list[Row]:
    """F1 on an outside corpus of written recipes."""
    aims = {"DUR": 0.97, "TEMPERATURE": 0.93}
    return [
        Row(f"RISeC dev, {r['label']}, F1 by any overlap ({r['gold']} spans)", "",
            f"quantulum3 {r['quantulum3']:.3f}, small pipeline {r['small pipeline']:.3f}",
            r["ours"], aims[str(r["label"])], more=True, unit="")
        for r in rounds
    ]  # fmt: skip


@dataclass(frozen=True)
class Part:
    """A part of the bench: ``rounds`` processes that measure, and the rows that they make."""

    measure: Callable[[], list[dict[str, float]]]
    rows: Callable[[Rounds], list[Row]]
    rounds: int = 1


PARTS: dict[str, Part] = {
    "reading": Part(bench_parts.reading, reading_rows, 3),
    "start": Part(bench_parts.start, start_rows),
    "growth": Part(bench_parts.growth, growth_rows),
    "memory": Part(bench_parts.memory, memory_rows),
    "answers": Part(bench_parts.answers, answer_rows),
    "names": Part(bench_parts.names, name_rows),
    "risec": Part(bench_parts.risec, risec_rows),
    "store": Part(bench_parts.store, store_rows),
    "batch": Part(bench_parts.batch, batch_rows),
}


def machine() -> str:
    """The machine in words, without its name."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 1e9
    return (
        f"{cores} cores ({platform.machine()}), {memory:.0f} GB of memory, {platform.system()}, "
        f"Python {platform.python_version()}"
    )


def table(rows: Sequence[Row]) -> str:
    """The rows as a Markdown table."""
    lines = [HEADINGS, tuple("---:" if h == "Ratio" else "---" for h in HEADINGS)]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in [*lines, *(r.cells() for r in rows)])


def page(rows: Sequence[Row], load: float) -> str:
    """The whole of docs/benchmarks.md."""
    return f"""# Benchmarks

Made by `make bench` on {machine()}.
Other programs kept {load:.1f} processes busy when it began. Ratios carry over to other
machines, seconds do not.

{table(rows)}

- Text: the notes of corpus/demo and corpus/train. In "whole reading" every note is new to a
  process that has read others (corpus/dev); the median of three processes. The pipelines get the
  text in the way that is faster for them, whole notes or passages of some 80 words.
- Times are processor time of one thread unless "by the clock" is said.
- Growth: the same {bench_parts.PIECES} pieces of the corpus, read one by one and joined into
  ever longer notes, all seen before.
- Cold start is the whole process with its end, median of nine interleaved pairs.
- RISeC (Jiang et al. 2020) is written text; its gold heat levels are among the temperatures.
"""


def run(name: str, data: Path | None) -> Rounds:
    """Measure one part, each round in a fresh process."""
    environment = {**os.environ, **dict.fromkeys(THREADS, "1"), "PYTHONHASHSEED": "0"}
    command = [sys.executable, str(Path(__file__)), "--part", name]
    if data:
        command += ["--data", str(data)]
    found: Rounds = []
    for _ in range(PARTS[name].rounds):
        done = subprocess.run(
            command, env=environment, stdout=subprocess.PIPE, check=True, cwd=ROOT
        )
        found += json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    raw = argparse.RawTextHelpFormatter
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=raw)
    parser.add_argument("--write", action="store_true", help="renew docs/benchmarks.md")
    parser.add_argument("--only", nargs="+", choices=tuple(PARTS), help="some parts only")
    parser.add_argument("--data", type=Path, help="the folder that holds risec/")
    parser.add_argument("--json", action="store_true", help="print the rows as JSON lines besides")
    parser.add_argument("--part", choices=tuple(PARTS), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    bench_parts.DATA = asked.data or bench_parts.DATA
    if asked.part:
        print(json.dumps(PARTS[asked.part].measure()))
        return
    load = os.getloadavg()[0]
    rows: list[Row] = []
    for name in asked.only or PARTS:
        print(f"{name} …", file=sys.stderr, flush=True)
        found = run(name, asked.data)
        made = PARTS[name].rows(found) if found else []
        if not made:
            print(f"{name}: left out, its data are not there", file=sys.stderr)
        rows += made
        for row in made:
            print("  " + " | ".join(c for c in row.cells() if c), file=sys.stderr, flush=True)
    print(table(rows))
    if asked.json:
        for row in rows:
            print(json.dumps(asdict(row)))
    if asked.write:
        PAGE.write_text(page(rows, load), encoding="utf-8")


if __name__ == "__main__":
    main()
