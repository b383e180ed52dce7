"""Coverage-guided fuzzing of the readers: any bytes give a lawful dictation or one sentence.

    python scripts/fuzz_readers.py [--seconds 1200] [--again]

Needs atheris (hobnote[fuzz]).
"""

from __future__ import annotations

import random
import sys

if "--child" in sys.argv:
    import atheris

    with atheris.instrument_imports(include=["hobnote", "webvtt", "srt"]):
        import hobnote.reading.captions
        import hobnote.reading.detect
        import hobnote.reading.lines
        import hobnote.reading.timed  # noqa: F401

import fuzzing
import laws

EVERY = 150
"""How many inputs share one check of growth."""
TOKENS = tuple(w.encode().decode("unicode_escape").encode("latin-1") for w in fuzzing.WORDS)


def one(data: bytes) -> None:
    """One input, under both names that matter, and now and then its growth."""
    laws.lawful(data, "note.txt")
    laws.lawful(data, "note.vtt")
    if data and sum(data) % EVERY == 0:
        laws.linear(laws.lawful, data, 20)


def mutate(data: bytes, most: int, chance: random.Random) -> bytes:
    """Lines dropped, doubled, moved and joined, with tokens of the kinds put in."""
    lines = data.splitlines(keepends=True) or [b""]
    for _ in range(chance.choice((1, 1, 2, 4))):
        at, to = chance.randrange(len(lines)), chance.randrange(len(lines))
        what = chance.randrange(6)
        if what == 0 and len(lines) > 1:
            del lines[at]
        elif what == 1:
            lines[at], lines[to] = lines[to], lines[at]
        elif what == 2:
            lines[at:at] = lines[to : to + chance.randrange(1, 6)]
        elif what == 3:
            lines[at] = lines[at].rstrip(b"\r\n") + chance.choice((b"", b" ", b"\r\n", b"\r"))
        else:
            token, line = chance.choice(TOKENS), lines[at]
            place = chance.choice((0, len(line), chance.randrange(len(line) + 1)))
            lines[at] = line[:place] + token + line[place:]
        lines = lines or [b""]
    return b"".join(lines)[:most]


if __name__ == "__main__":
    pieces = [piece for note in fuzzing.notes() for piece in (note, *fuzzing.cut(note, 400)[:2])]
    encoded = [note[:600].decode("utf-8", "ignore").encode("utf-16") for note in pieces[::9]]
    fuzzing.run(one, seeds=[*pieces, *encoded], longest=4096, mutate=mutate)
