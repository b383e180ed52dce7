"""How long an answer takes against reading the whole note again (a note of 2,000 words).

    python scripts/bench_answers.py

One run: the note is read three times and twelve answers are taken; medians are
printed. Nothing here is a test: times depend on the machine.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Sequence
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


def main() -> None:
    """Print both medians and their ratio, for narrated notes and for the densest lists."""
    Conversation.start("Two eggs and a glug of oil.").say("a teaspoon")  # load everything
    measure("narrated", long_note(NARRATED))
    texts = sorted(f.name for f in (ROOT / "corpus" / "demo").glob("*.txt"))
    measure("dense", long_note(texts))


def measure(kind: str, note: str) -> None:
    """Time one note."""
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
    reading, answering = statistics.median(whole), statistics.median(taken)
    rows = sum(len(part.ingredients) for part in talk.record.components)
    print(f"{kind}: {len(note.split())} words, {rows} rows, {len(talk.events)} events")
    print(f"reading again: {reading * 1000:.0f} ms; an answer: {answering * 1000:.0f} ms "
          f"({answering / reading:.2f} of it; slowest {max(taken) * 1000:.0f} ms)")


if __name__ == "__main__":
    main()
