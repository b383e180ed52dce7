"""What the two fuzzers share: seeds, a dictionary, and findings that do not end the run.

Each fuzzer starts itself again as a child that is fuzzed; whatever the child
finds is kept in ``findings/``, one file a place in the code, and told at the end.
To keep a finding as a test, mend the fault and move the file to
tests/reading/data/found/.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import random
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Callable
from pathlib import Path

from laws import Broken

ROOT = Path(__file__).resolve().parents[1]
FINDINGS = ROOT / "findings"
KEPT = ROOT / "tests" / "reading" / "data" / "found"
SLOWEST = 300
"""Seconds of the clock after which one input counts as a hang."""
WORDS = (
    "WEBVTT\\x0a\\x0a", "00:01.000 --> 00:04.000\\x0a", "00:00:01,000 --> 00:00:04,000\\x0a",
    " --> ", "NOTE ", "STYLE", "<v cook>", "</v>", "<00:01.500>", "&amp;", "&#0;", "[00:12] ",
    "(1:02:03)", "[12/03/2025, 18:04:11] ", "18:04 cook: ", "\\x0d\\x0a", "\\x0a\\x0a", "- ", "1. ",
    "\\xef\\xbb\\xbf", "\\xff\\xfe", "\\xe2\\x80\\xa8", "\\xc2\\xa0", "\\xc2\\xbd",
    "\\xe2\\x81\\x84", "\\xe2\\x80\\x99", "e\\xcc\\x81", " grams of ", " or ", " half ",
    " no, ", " minutes", " times ", " percent", " to ", "-", "/", ".5", "000000", "1e9",
    " dozen ", " instead of ", " per portion",
)  # fmt: skip


def notes() -> list[bytes]:
    """The corpus's notes."""
    return [
        path.read_bytes()
        for part in ("train", "dev", "demo")
        for path in sorted((ROOT / "corpus" / part).iterdir())
        if ".gold." not in path.name
    ]


def cut(data: bytes, length: int) -> list[bytes]:
    """A note in pieces of about ``length`` bytes, cut at white space."""
    found, at = [], 0
    while at < len(data):
        end = data.find(b" ", min(at + length, len(data)))
        end = len(data) if end < 0 else end + 1
        found.append(data[at:end])
        at = end
    return found


def check(one: Callable[[bytes], None]) -> Callable[[bytes], None]:
    """``one``, with its faults kept instead of raised."""

    def guarded(data: bytes) -> None:
        try:
            one(data)
        except Exception as problem:
            _keep(data, problem)

    return guarded


def _keep(data: bytes, problem: Exception) -> None:
    frames = traceback.extract_tb(problem.__traceback__)
    ours = [f for f in frames if f"{os.sep}hobnote{os.sep}" in f.filename] or frames
    where = f"{Path(ours[-1].filename).stem}-{ours[-1].lineno}"
    if isinstance(problem, Broken):
        where = "law-" + "".join(c for c in str(problem).split(":")[0] if c.isalpha())[:40]
    path = FINDINGS / f"{type(problem).__name__}-{where}"
    if not path.exists() or path.stat().st_size > len(data):  # the shortest one is kept
        path.write_bytes(data)
        path.with_suffix(".why").write_text("".join(traceback.format_exception(problem)))


def run(one: Callable[[bytes], None], *, seeds: list[bytes], longest: int,
        mutate: Callable[[bytes, int, random.Random], bytes] | None = None) -> None:  # fmt: skip
    """Fuzz ``one`` for as long as the command line says, then tell what was found."""
    if "--child" in sys.argv:
        _child(one, mutate)
    parser = argparse.ArgumentParser(description=sys.modules["__main__"].__doc__)
    parser.add_argument("--seconds", type=int, default=1200)
    parser.add_argument("--again", action="store_true", help="only run what was found before")
    asked = parser.parse_args()
    FINDINGS.mkdir(exist_ok=True)
    if asked.again:
        for path in sorted(p for p in FINDINGS.iterdir() if p.suffix != ".why"):
            print(path.name, flush=True)
            one(path.read_bytes())
        return
    before = {path.name for path in FINDINGS.iterdir()}
    with tempfile.TemporaryDirectory() as folder:
        for seed in [*seeds, *(p.read_bytes() for p in sorted(KEPT.glob("*")))]:
            Path(folder, hashlib.sha256(seed).hexdigest()[:16]).write_bytes(seed)
        words = Path(folder + ".words")
        words.write_text("".join(f'"{word}"\n' for word in WORDS))
        done = subprocess.run(
            [sys.executable, sys.argv[0], "--child", folder, f"-max_total_time={asked.seconds}",
             f"-max_len={longest}", f"-dict={words}", f"-timeout={SLOWEST}", "-rss_limit_mb=3000",
             f"-report_slow_units={SLOWEST}",
             f"-artifact_prefix={FINDINGS}/hang-", "-print_final_stats=1", "-verbosity=1",
             "-seed=9"],
            check=False, env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        )  # fmt: skip
        words.unlink()
    found = sorted({path.name for path in FINDINGS.iterdir()} - before)
    for name in found:
        print(f"found: findings/{name}", file=sys.stderr)
    print(f"{len(seeds)} seeds, {asked.seconds} s, {len(found)} new findings", file=sys.stderr)
    raise SystemExit(1 if found or done.returncode else 0)


def _child(
    one: Callable[[bytes], None], mutate: Callable[[bytes, int, random.Random], bytes] | None
) -> None:
    import atheris

    sys.argv.remove("--child")
    more = {}
    if mutate is not None:
        change = mutate

        def custom(data: bytes, most: int, seed: int) -> bytes:
            chance = random.Random(seed)
            if chance.random() < 0.4:
                return bytes(atheris.Mutate(data, most))
            return change(data, most, chance)

        more["custom_mutator"] = custom
    atheris.Setup(sys.argv, check(one), **more)
    atheris.Fuzz()
