"""Where one spoken instruction ends and the next begins, from the words alone.

Two ways: discourse markers and instruction-like verbs (rules), and a trained
tagger over the words on both sides and their parts of speech
(``models/boundaries``).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from typing import Final

from hobnote.marking.learned import LinearModel
from hobnote.marking.tables import rows

SHORTEST: Final = 2
"""Fewest words of an utterance found without punctuation."""
LONGEST_CONDITION: Final = 6
"""Most words of a condition that is kept with its main clause."""
_CONDITIONS: Final = frozenset({"if", "unless"})
_EDGE: Final = ".,!?;:…\"'“”‘’()[]–—-"
_SIZES: Final = (3, 5, 8, 12, 17, 24, 32)
_KINDS: Final = ("subject", "opener", "tie", "verb")


@cache
def words_of(kind: str) -> frozenset[str]:
    """The words of one kind in ``data/boundary_words.csv``."""
    return frozenset(r["word"] for r in rows("boundary_words.csv") if r["kind"] == kind)


def plain(word: str) -> str:
    """``word`` as the tagger sees it: lower case, no punctuation around, one sign for digits."""
    bare = word.lower().replace("’", "'").strip(_EDGE)
    return "9" if bare[:1].isdigit() else bare


def rule_boundaries(words: Sequence[str]) -> list[int]:
    """Boundaries by discourse markers and instruction-like verbs alone."""
    said = [plain(w) for w in words]
    found: list[int] = []
    last = 0
    for i in range(1, len(said) - 1):
        if i - last <= SHORTEST or len(said) - i <= SHORTEST:
            continue
        if _opens(said, i):
            found.append(i)
            last = i
    return found


def opens_firmly(words: Sequence[str]) -> bool:
    """Whether the first of ``words`` ("okay", "next", "and then") hardly ever stands mid-clause."""
    first, *rest = words
    return first in words_of("firm") or (first == "and" and rest[:1] == ["then"])


def _opens(said: Sequence[str], i: int) -> bool:
    word, before, after = said[i], said[i - 1], said[i + 1]
    if word == "and" and after == "then":
        return True
    if before in words_of("tie"):
        return False
    if word in words_of("opener") or word in words_of("subject"):
        return True
    return word in words_of("verb") and (after in words_of("after_verb") or after == "9")


def learned_boundaries(line: Line, model: LinearModel) -> list[int]:
    """Indices of the words of ``line`` before which an utterance begins, by the trained tagger.

    A lone word is an utterance only when it opens one ("right", "okay");
    otherwise the likelier of its two gaps is kept.
    """
    found: list[int] = []
    chance = last_chance = 0.0
    last = 0
    for i in range(1, len(line)):
        chance = model.probability(line.features(i, i - last))
        if chance < model.threshold or line.holds(i):
            continue
        if i - last == 1 and not line.opens(last):
            if not found or chance <= last_chance:
                continue
            found.pop()
        found.append(i)
        last, last_chance = i, chance
    if found and found[-1] == len(line) - 1 and not line.opens(found[-1]):
        found.pop()
    return _with_conditions(line, found)


def _with_conditions(line: Line, found: list[int]) -> list[int]:
    """Keep a short condition with what it is about.

    "mustard / if you have it" belongs to what is before, "and if you fancy it /
    sixty grams of cheese" to what comes after.
    """
    kept: list[int] = []
    glued = False
    for i, end in pairwise([*found, len(line)]):
        word, following = line.words[i + 3], line.words[i + 4]
        short = end - i <= LONGEST_CONDITION
        trailing = short and word in _CONDITIONS
        if not glued and not trailing:
            kept.append(i)
        glued = short and word in words_of("link") and following in _CONDITIONS
    return kept


class Line:
    """A run of words with the features of the gap before each.

    ``words`` and their part-of-speech ``tags`` leave punctuation out;
    ``commas`` tells before which words a comma, colon or dash stood.
    """

    def __init__(self, words: Sequence[str], tags: Sequence[str], commas: Sequence[bool]) -> None:
        edge, end = ["<<"] * 3, [">>"] * 3
        self.words = [*edge, *map(plain, words), *end]
        self.kinds = [kind(w) for w in self.words]
        self.tags = [*edge, *tags, *end]
        self.commas = commas

    def __len__(self) -> int:
        return len(self.words) - 6

    def opens(self, i: int) -> bool:
        """Whether word ``i`` may be an utterance of its own."""
        return self.words[i + 3] in words_of("opener")

    def holds(self, i: int) -> bool:
        """Whether word ``i`` never begins an utterance, or the word before it never ends one."""
        return self.words[i + 3] in words_of("inner") or self.words[i + 2] in words_of("link")

    def features(self, i: int, since: int) -> list[str]:
        """Features of a boundary before word ``i``, ``since`` words after the last one."""
        z, a, b, c, d, e = self.words[i : i + 6]
        _, ka, kb, kc, kd, _ = self.kinds[i : i + 6]
        _, ta, tb, tc, td, _ = self.tags[i : i + 6]
        size = sum(since > n for n in _SIZES)
        found = [
            "*", f"b={b}", f"c={c}", f"d={d}", f"a={a}", f"z={z}", f"e={e}",
            f"bc={b} {c}", f"cd={c} {d}", f"ab={a} {b}",
            f"kbc={kb} {kc}", f"kcd={kc} {kd}", f"kabcd={ka} {kb} {kc} {kd}",
            f"bkc={b} {kc}", f"kb_c={kb} {c}", f"c_kd={c} {kd}",
            f"bs={b[-3:]}", f"cs={c[-3:]}",
            f"n={size}", f"nc={size} {c}", f"nkbc={size} {kb} {kc}", f"ntbc={size} {tb} {tc}",
            f"tbc={tb} {tc}", f"tcd={tc} {td}", f"tab={ta} {tb}", f"tbcd={tb} {tc} {td}",
            f"tabcd={ta} {tb} {tc} {td}", f"c_tb={c} {tb}", f"b_tc={b} {tc}",
        ]  # fmt: skip
        if self.commas[i]:
            found += (",", f",c={c}", f",tc={tc}")
        return found


@cache
def _kinds() -> dict[str, str]:
    table: dict[str, str] = {}
    for row in rows("food_sounds.csv"):
        for word in row["name"].split():
            table[word] = table[word + "s"] = "F"
    for row in rows("food_places.csv"):
        if row["kind"] == "measure":
            table[row["word"]] = "M"
        elif row["kind"] in ("quality", "look"):
            table[row["word"]] = "Q"
    for row in rows("boundary_words.csv"):
        if row["kind"] in _KINDS:
            table[row["word"]] = row["kind"][:1].upper()
    return table


def kind(word: str) -> str:
    """A one-letter kind of word: food, measure, quality, verb, opener, …, or its ending."""
    if word == "9":
        return "9"
    known = _kinds().get(word)
    if known is not None:
        return known
    for ending in ("ing", "ed", "ly"):
        if word.endswith(ending):
            return ending
    return "w"
