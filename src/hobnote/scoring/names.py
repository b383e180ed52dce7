"""When two names of a food, a part of a dish or an action count as the same."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from importlib.resources import files

from rapidfuzz import fuzz

NEARLY = 80.0
"""Least likeness (0 to 100) of a longer and a shorter name with the same head noun."""

SPELLING = 85.0
"""Least likeness (0 to 100) of two spellings of one word of four letters or more."""

_DROPPED = frozenset({"a", "an", "the", "of", "some", "and"})


@cache
def _rows(name: str) -> tuple[str, ...]:
    text = files("hobnote.scoring").joinpath("data", name).read_text(encoding="utf-8")
    return tuple(x.strip() for x in text.splitlines() if x.strip() and not x.startswith("#"))


@cache
def _neutral() -> frozenset[str]:
    return frozenset(singular(word) for word in _rows("neutral_words.txt"))


def singular(word: str) -> str:
    """A key that is the same for a word and its plural (it need not be English).

    "tomatoes" and "tomato" give "tomato"; "cookies" and "cookie" give "cooky".
    """
    if len(word) <= 3 or word.endswith("ss"):
        return word
    if word.endswith(("ies", "ie")):
        return re.sub(r"ies?$", "y", word)
    if word in {"leaves", "loaves", "halves", "knives", "calves"}:
        return word[:-3] + "f"
    if re.search(r"(o|sh|ch|x|ss)es$", word):
        return word[:-2]
    return word[:-1] if word.endswith("s") else word


@cache
def words(name: str) -> tuple[str, ...]:
    """The words of a name: lower case, no accents, singular, hyphens opened, articles dropped."""
    plain = unicodedata.normalize("NFKD", name.lower())
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    found = re.findall(r"[a-z0-9%]+", plain.replace("'", "").replace("’", ""))
    return tuple(singular(w) for w in found if w not in _DROPPED)


def _same_word(a: str, b: str) -> bool:
    return a == b or (min(len(a), len(b)) >= 4 and fuzz.ratio(a, b) >= SPELLING)


def _within(short: tuple[str, ...], long: tuple[str, ...]) -> bool:
    return all(any(_same_word(a, b) for b in long) for a in short)


@cache
def likeness(a: str, b: str) -> float:
    """How alike two food names are: 1 the same, 0 not the same food.

    The same: equal sets of words (spellings may differ a little), also when a
    compound is written apart, also without the neutral words of the data file.
    Nearly the same: one holds all words of the other, they share the last word
    (the head noun) and are at least ``NEARLY`` alike letter by letter.
    """
    wa, wb = words(a), words(b)
    if not wa or not wb:
        return 0.0
    if set(wa) == set(wb) or "".join(wa) == "".join(wb):
        return 1.0
    ca = tuple(w for w in wa if w not in _neutral()) or wa
    cb = tuple(w for w in wb if w not in _neutral()) or wb
    if _within(ca, cb) and _within(cb, ca):
        return 0.98
    alike = fuzz.ratio(" ".join(ca), " ".join(cb))
    nested = _within(ca, cb) or _within(cb, ca)
    if nested and _same_word(ca[-1], cb[-1]) and alike >= NEARLY:
        return alike / 100 * 0.95
    return 0.0


def best_likeness(name: str, accepted: list[str]) -> float:
    """The best likeness of ``name`` to any accepted name; the first one wins a tie."""
    scores = [likeness(name, other) - 0.01 * (i > 0) for i, other in enumerate(accepted)]
    return max(0.0, max(scores, default=0.0))


@cache
def _part_groups() -> tuple[frozenset[str], ...]:
    rows = _rows("component_names.txt")
    return tuple(frozenset(" ".join(words(n)) for n in row.split(",")) for row in rows)


def same_part(a: str, b: str) -> bool:
    """Do two names mean the same part of a dish? The head noun or a synonym decides."""
    wa, wb = words(a), words(b)
    if not wa or not wb:
        return wa == wb
    if set(wa) == set(wb) or _same_word(wa[-1], wb[-1]):
        return True
    heads_a, heads_b = {wa[-1], " ".join(wa)}, {wb[-1], " ".join(wb)}
    return any(heads_a & group and heads_b & group for group in _part_groups())


def same_verb(verb: str, accepted: list[str]) -> bool:
    """Is ``verb`` one of the accepted ones? "stir in" is "stir"; "bring to the boil" is "boil"."""
    mine = re.findall(r"[a-z]+", verb.lower().replace("-", ""))
    for other in accepted:
        theirs = re.findall(r"[a-z]+", other.lower().replace("-", ""))
        if not mine or not theirs:
            continue
        if mine == theirs or mine[0] == theirs[0] or mine[-1] == theirs[-1]:
            return True
    return False
