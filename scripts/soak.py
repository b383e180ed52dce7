"""A day's work in fast time: is anything lost, wrong, or left in memory?

    python scripts/soak.py [--notes 20000] [--every 20] [--short]

One process reads ``--notes`` notes, none like another (varied.py), as a batch's
reader does, and talks about every ``--every``-th, as the service does: it answers,
corrects, undoes, and takes the recipe up again from the store. The laws are checked
all along. Memory after the first tenth (WARM) is compared with memory at the end.
20,000 notes are what one person dictates in 27 years at two a day, or a club of a
hundred in three months. --short: 300 notes, for every landing.
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import statistics
import tempfile
import time
from pathlib import Path

import alone  # noqa: F401
import laws
import varied

from hobnote.asking.conversation import Conversation
from hobnote.batch.notes import Done, Note, Refused
from hobnote.batch.work import Wishes, read_note, settle
from hobnote.keeping.store import Store
from hobnote.record import Record

FLAT = 1.05
"""How much larger the process may be at the end than when it was warm."""
WARM = 0.1
"""The share of the notes after which it is warm."""
SHORT, SHORT_WARM = 300, 0.5
"""Notes of the short form; its caches fill for longer."""
ANSWERS = ("a tablespoon", "about 20 g", "undo", "add 10 g of butter", "what's the protein?",
           "skip", "make it serve three", "why?", "no salt", "the oil was two tablespoons",
           "call it shed supper", "redo", "swap the milk for oat milk")  # fmt: skip
ASKED_EACH = 6


def resident() -> float:
    """Megabytes of this process that are in memory now."""
    if not Path("/proc/self/statm").exists():
        import psutil

        return float(psutil.Process().memory_info().rss) / 1e6
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def read(number: int) -> tuple[str, Record | None]:
    """Read one note as a batch does; None where it was refused."""
    name, text = varied.varied(number)
    found = read_note(Note(name, text.encode()), Wishes())
    if isinstance(found, Refused):
        if "inside" in found.reason:
            raise laws.Broken(f"{name}: {found.reason}")
        return text, None
    assert isinstance(found, Done)
    record = Record.model_validate_json(found.record)
    laws.lawful_record(record, text)
    return text, record


def talk(text: str, store: Store, number: int) -> int:
    """Answer and correct, then take the recipe up again; gives how many messages were taken."""
    chance = random.Random(number)
    conversation = Conversation.start(text, store)
    for message in chance.choices(ANSWERS, k=ASKED_EACH):
        laws.lawful_figures(conversation.say(message).record)
    again = Conversation.resume(store, conversation.id)
    if again.record != conversation.record:
        raise laws.Broken(f"note {number} is another once it is taken up again")
    return conversation.version


def soak(notes: int, every: int, warm: float) -> None:
    """Run it, telling of each twentieth; raises where a law or the memory breaks."""
    told = max(1, notes // 20)
    sizes: list[float] = []
    begun, turns, refused, characters = time.process_time(), 0, 0, 0
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(f"sqlite:///{folder}/soak.sqlite3")
        for number in range(notes):
            text, record = read(number)
            refused += record is None
            characters += len(text)
            if number % every == 0 and record is not None:
                turns += talk(text, store, number)
            if number == 0:
                settle()
            if (number + 1) % told == 0:
                gc.collect()
                sizes.append(resident())
                rate = (number + 1) / (time.process_time() - begun)
                print(f"{number + 1:>7,} notes, {turns:>6,} turns, {refused} refused: "
                      f"{sizes[-1]:.0f} MB, {rate:.1f} notes a second", flush=True)  # fmt: skip
        store.close()
    at = round(warm * len(sizes))
    first, last = statistics.mean(sizes[at - 1 : at + 1]), statistics.mean(sizes[-2:])
    print(f"{characters:,} characters; memory {first:.0f} MB after {warm:.0%}, {last:.0f} MB at "
          f"the end: {last / first:.3f} times, at most {FLAT}")  # fmt: skip
    if last > FLAT * first:
        raise SystemExit("memory grows")


def main() -> None:
    """Parse the command line."""
    raw = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=raw)
    parser.add_argument("--notes", type=int, default=20_000)
    parser.add_argument("--every", type=int, default=20)
    parser.add_argument("--short", action="store_true")
    asked = parser.parse_args()
    os.environ["HOBNOTE_DATABASE"] = "/nowhere/at/all.sqlite3"  # nobody's own foods
    if asked.short:
        soak(SHORT, asked.every, SHORT_WARM)
    else:
        soak(asked.notes, asked.every, WARM)


if __name__ == "__main__":
    main()
