"""How fast names are matched, against rapidfuzz's plain ``extractOne`` over the same names.

Run ``python -m hobnote.pantry.bench``. Half of the 10,000 names are as the names files have
them, half carry a slip, a preparation or a container. Every name is new to the pantry's cache
once and most come again, as in real notes; ``extractOne`` is timed on a sample and scaled up.
"""

from __future__ import annotations

import argparse
import random
import time

from rapidfuzz import process

from hobnote.pantry import open_pantry

COUNT = 10_000
SAMPLE = 200
_BEFORE = ("chopped", "fresh", "a tin of", "finely diced", "some", "organic")
_AFTER = ("chopped", "drained", "roughly torn", "to serve")


def _noisy(name: str, dice: random.Random) -> str:
    way = dice.randrange(4)
    if way == 0:
        return f"{dice.choice(_BEFORE)} {name}"
    if way == 1:
        return f"{name} {dice.choice(_AFTER)}"
    at = dice.randrange(len(name))
    if way == 2:
        return name[:at] + name[at + 1 :]
    return name[:at] + dice.choice("aeioutrsln") + name[at:]


def make_names(count: int = COUNT, seed: int = 8) -> list[str]:
    """Names to match, half of them noisy; the same for the same seed."""
    dice = random.Random(seed)
    known = sorted(open_pantry("uk").vocabulary())
    chosen = [dice.choice(known) for _ in range(count)]
    return [name if i % 2 else _noisy(name, dice) for i, name in enumerate(chosen)]


def main(argv: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--count", type=int, default=COUNT, help="how many names (10000)")
    count = parser.parse_args(argv).count
    begun = time.perf_counter()
    pantry = open_pantry("uk")
    opened = time.perf_counter() - begun
    names = make_names(count)

    begun = time.perf_counter()
    for name in names:
        pantry.match(name)
    ours = time.perf_counter() - begun

    rows = list(pantry.vocabulary())
    begun = time.perf_counter()
    for name in names[:SAMPLE]:
        process.extractOne(name, rows)
    theirs = (time.perf_counter() - begun) * count / min(SAMPLE, count)
    print(f"opening: {opened * 1e3:.0f} ms")
    print(f"{count} names, pantry.match: {ours:.2f} s")
    print(f"{count} names, extractOne over {len(rows)} names: {theirs:.0f} s (scaled up)")
    print(f"ratio: {theirs / ours:.0f} times faster")


if __name__ == "__main__":
    main()
