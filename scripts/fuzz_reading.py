"""Coverage-guided fuzzing of the whole reading: any note gives a lawful record.

    python scripts/fuzz_reading.py [--seconds 1200] [--again]

Half of the inputs are made by moving words of the corpus about, so that they
stay near to speech. Needs atheris (hobnote[fuzz]).
"""

from __future__ import annotations

import random
import sys

if "--child" in sys.argv:
    import atheris

    with atheris.instrument_imports(include=["hobnote"]):
        import hobnote.job  # noqa: F401

import fuzzing
import laws

from hobnote.job import read_dictation

EVERY = 60
"""How many inputs share one check of growth."""
_VOCABULARY = sorted({word for note in fuzzing.notes() for word in note.split()})


def read(data: bytes) -> None:
    """Read one note and check its record."""
    dictation = laws.lawful(data)
    if dictation is not None:
        laws.lawful_record(read_dictation(dictation), dictation.text)


def one(data: bytes) -> None:
    """One input, and now and then its growth."""
    read(data)
    if data and sum(data) % EVERY == 0:
        laws.linear(read, data)


def mutate(data: bytes, most: int, chance: random.Random) -> bytes:
    """Words dropped, doubled, swapped, and put in from the rest of the corpus."""
    words = data.split(b" ")
    for _ in range(chance.choice((1, 1, 2, 4))):
        at, to = chance.randrange(len(words)), chance.randrange(len(words))
        what = chance.randrange(6)
        if what == 0 and len(words) > 1:
            del words[at]
        elif what == 1:
            words[at], words[to] = words[to], words[at]
        elif what == 2:
            words[at:at] = words[to : to + chance.randrange(1, 8)]
        elif what == 3:
            words.insert(at, chance.choice(_VOCABULARY))
        elif what == 4:
            words[at] = chance.choice(_VOCABULARY)
        else:
            words[at] = words[at] + chance.choice((b".", b",", b"\n", b"\n\n", b"?", b" -", b"..."))
    return b" ".join(words)[:most]


if __name__ == "__main__":
    seeds = [piece for note in fuzzing.notes() for piece in fuzzing.cut(note, 350)]
    fuzzing.run(one, seeds=seeds, longest=700, mutate=mutate)
