"""Endless notes made from the corpus: the same kitchens, other words.

``varied(n)`` is the n-th note, always the same one: a note of the corpus with
some words swapped for others of the corpus, some misspelt, some that exist
nowhere, figures changed, and sentences moved or left out. Marks of time stay.
"""

from __future__ import annotations

import random
import re
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
_WORD = re.compile(r"[^\W\d_]{3,}|\d+")
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_SYLLABLES = tuple(c + v + e for c in "bdfgklmnprstvz" for v in "aeiou" for e in ("", "n", "r"))


@cache
def corpus() -> tuple[tuple[str, str], ...]:
    """(suffix, text) of every note for everybody's eyes."""
    return tuple(
        (path.suffix, path.read_text(encoding="utf-8"))
        for part in ("train", "dev", "demo")
        for path in sorted((ROOT / "corpus" / part).iterdir())
        if ".gold." not in path.name
    )


@cache
def _vocabulary() -> tuple[str, ...]:
    return tuple(sorted({w for _, text in corpus() for w in _WORD.findall(text) if w.isalpha()}))


def varied(number: int) -> tuple[str, str]:
    """(name, text) of the ``number``-th note."""
    chance = random.Random(number)
    suffix, text = corpus()[number % len(corpus())]
    lines = text.split("\n") if suffix != ".txt" else [text]
    lines = [line if "-->" in line or line.isdigit() else _changed(line, chance) for line in lines]
    text = "\n".join(lines)
    if suffix == ".txt" and chance.random() < 0.3:
        sentences = re.split(r"(?<=[.?!]) ", text)
        chance.shuffle(sentences)
        text = " ".join(sentences[: max(1, int(len(sentences) * chance.uniform(0.4, 1.0)))])
    return f"note {number}{suffix}", text


def _changed(line: str, chance: random.Random) -> str:
    return _WORD.sub(lambda found: _word(found[0], chance), line)


def _word(word: str, chance: random.Random) -> str:
    what = chance.random()
    if word.isdigit():
        return str(max(1, int(int(word[:6]) * chance.uniform(0.5, 2)))) if what < 0.3 else word
    if what < 0.03:
        return chance.choice(_vocabulary())
    if what < 0.05:  # a slip of the finger
        at = chance.randrange(len(word))
        return word[:at] + chance.choice(_LETTERS) + word[at + chance.randrange(2) :]
    if what < 0.06:  # a word that nobody has said before
        return "".join(chance.choices(_SYLLABLES, k=chance.randrange(2, 5)))
    return word
