"""How long an answer takes against reading the whole note again (a note of 2,000 words).

    python scripts/bench_answers.py

One run: the note is read three times and twelve answers are taken; medians are
printed. Nothing here is a test: times depend on the machine.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from hobnote.asking.conversation import Conversation
from hobnote.job import events_of, record_of
from hobnote.reading import read_file, read_text

ROOT = Path(__file__).parent.parent
WORDS = 2000
ANSWERS = ("about a teaspoon", "skip", "7 g", "none", "the second one", "I don't know",
           "undo", "make it serve four", "two tablespoons", "half a teaspoon", "skip", "5 g")


NARRATED = ("shakshuka-two-pans.vtt", "regatta-porridge.txt", "pumpkin-scones.txt",
            "salmon-rice-tray.txt")


def long_note(names: Sequence[str]) -> str:
    """2,000 words of demo notes, one after another, over again where they are too short."""
    words: list[str] = []
    while len(words) < WORDS:
        for name in names:
            words += read_file(ROOT / "corpus" / "demo" / name).spoken.split()
    return " ".join(words[:WORDS])


def figures() -> Iterator[tuple[str, float, float, float]]:
    """(kind, seconds of reading again, of an answer, of the slowest) for both kinds of note."""
    Conversation.start("Two eggs and a glug of oil.").say("a teaspoon")  # load everything
    yield measure("narrated", long_note(NARRATED))
    texts = sorted(f.name for f in (ROOT / "corpus" / "demo").glob("*.txt"))
    yield measure("dense", long_note(texts))


def main() -> None:
    """Print both medians and their ratio, for narrated notes and for the densest lists."""
    for kind, reading, answering, slowest in figures():
        print(f"{kind}: reading again: {reading * 1000:.0f} ms; an answer: {answering * 1000:.0f} "
              f"ms ({answering / reading:.2f} of it; slowest {slowest * 1000:.0f} ms)")


def measure(kind: str, note: str) -> tuple[str, float, float, float]:
    """Time one note; medians of three readings and of twelve answers."""
    whole = []
    for _ in range(3):
        start = time.perf_counter()
        record_of(events_of(read_text(note)))
        whole.append(time.perf_counter() - start)
    talk = Conversation.start(note)
    _ = talk.record
    taken = []
    for answer in ANSWERS:
        start = time.perf_counter()
        talk.say(answer)
        taken.append(time.perf_counter() - start)
    return kind, statistics.median(whole), statistics.median(taken), max(taken)


if __name__ == "__main__":
    main()
