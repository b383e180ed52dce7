"""Where in a Doc a food, a verb or a unit is expected, judged by the words around."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Final

from spacy.lang.en.stop_words import STOP_WORDS
from spacy.tokens import Doc

from hobnote.marking import marks as m
from hobnote.marking.boundaries import words_of
from hobnote.marking.tables import rows

_OBJECTS: Final = frozenset({"it", "them", "the", "that", "this", "these", "those"})
_JOINTS: Final = frozenset({"and", ",", "or", "plus", "with", "&"})


@cache
def _words(kind: str) -> frozenset[str]:
    return frozenset(r["word"] for r in rows("food_places.csv") if r["kind"] == kind)


@cache
def _described() -> frozenset[str]:
    return _words("quality") | _words("look")


_HOMES: Final = ("home", "measure", "quality", "look", "opener", "verb")
_OPENS: Final = frozenset({"and", "then", "plus", "with", "next", "now", "is", "also", "the", "so"})
_NEAR: Final = 15


def singulars(word: str) -> tuple[str, ...]:
    """The word and what it may be the plural of."""
    if not word.endswith("s") or len(word) < 4:
        return (word,)
    if word.endswith("ves"):
        return (word, word[:-1], word[:-3] + "f", word[:-3] + "fe")
    if word.endswith("ies"):
        return (word, word[:-3] + "y", word[:-1])
    if word.endswith("es"):
        return (word, word[:-1], word[:-2])
    return (word, word[:-1])


def _letters(name: str) -> str:
    """The letters of a name without accents, blanks, hyphens or a plural's s."""
    bare = "".join(c for c in unicodedata.normalize("NFD", name) if c.isalpha())
    return bare.removesuffix("s")


@lru_cache(maxsize=5_000)
def _is_verb(word: str) -> bool:
    """Whether the word is a cooking verb in any regular form."""
    stems = {word, word.removesuffix("s"), word.removesuffix("d")}
    for ending in ("ed", "ing"):
        stem = word.removesuffix(ending)
        if stem != word and len(stem) > 2:
            stems |= {stem, stem + "e", stem[:-1]}
    return any(stem in _words("verb") or stem in words_of("verb") for stem in stems)


class Places:
    """One Doc's words with the questions that mis-hearings ask about them."""

    def __init__(self, doc: Doc, vocabulary: Mapping[str, str]) -> None:
        self.doc = doc
        self.words = [t.lower_.replace("’", "'") for t in doc]
        self._vocabulary = vocabulary
        self._after_measure: dict[int, bool] = {}
        self._measured = {
            a.end
            for a in m.marks(doc, m.AMOUNT)
            if isinstance(a.value, m.AmountValue)
            and (a.value.vague or (a.value.unit and a.value.unit not in ("percent", "piece")))
        }
        self._opening = {
            a.start
            for a in m.marks(doc, m.AMOUNT)
            if isinstance(a.value, m.AmountValue)
            and (a.value.vague or a.value.unit not in (None, "percent"))
            and not a.value.article
        }
        self._foods = {
            i
            for f in m.marks(doc, m.FOOD)
            if isinstance(f.value, m.FoodValue) and f.value.known
            for i in range(f.start, f.end)
        }
        self._other = m.covered(doc, m.VESSEL, m.TIME, m.HEAT, m.TEMPERATURE, m.CLAIM, m.PORTIONS)

    def text(self, start: int, end: int) -> str:
        """The words as they stand in the text."""
        return self.doc[start:end].text

    def before(self, i: int) -> str:
        """The word before token ``i``, empty at the start."""
        return self.words[i - 1] if i else ""

    def after(self, end: int) -> str:
        """The word at ``end``, empty past the end."""
        return self.words[end] if end < len(self.words) else ""

    def run_end(self, i: int, longest: int) -> int:
        """End of the run of words from ``i`` without punctuation, at most ``longest`` words."""
        end = i
        while end < len(self.doc) and end - i < longest:
            if not (self.words[end][:1].isalpha() or self.words[end] == "'s"):
                break
            end += 1
        return end

    def is_odd(self, start: int, end: int, name: str) -> bool:
        """Whether a run of words is odd as it is, so that it may stand for ``name``.

        Runs with a verb, a measure first, a food of their own (but for a last
        word that the name shares) are ordinary speech; so is another spelling
        of the name. Straight after a measure a food may be part of the run.
        """
        heard = self.words[start:end]
        measured = self.straight_after_measure(start)
        if heard[0] == "of" or heard[-1] == "'s" or any(map(_is_verb, heard)):
            return False
        if any(heard[0] in _words(kind) for kind in ("measure", "quality", "look")):
            return False
        if not measured and heard[-1] in _words("home"):
            return False
        tail = " " in name and name.split()[-1] in singulars(heard[-1])
        own = range(start, end - 1 if tail else end)
        if measured:
            own = own[-1:]
        if any(self._food_at(i) for i in own):
            return False
        if not tail and any(w in name.split() for h in heard for w in singulars(h)):
            return False
        return _letters("".join(heard)) != _letters(name)

    def is_loose(self, start: int, end: int) -> bool:
        """Whether the run begins or ends on a word that seldom belongs to a name."""
        if self.straight_after_measure(start) and self.words[self._unqualified(start) - 1] == "of":
            return False
        first, last = self.words[start], self.words[end - 1]
        if self.straight_after_measure(start):
            return first in STOP_WORDS or last in STOP_WORDS
        return last in _words("no_end") or first in _words("no_begin")

    def at_home(self, i: int) -> bool:
        """Whether the word is no candidate: a food, a marked thing, or usual after a measure."""
        word = self.words[i]
        if i in self._foods or i in self._other or word in STOP_WORDS:
            return True
        if self.after(i + 1) in _OBJECTS and self.before(i) != "of":
            return True  # "three tablespoons bring it up": a verb
        for plain in singulars(word):
            if (
                plain in words_of("verb")
                or plain in self._vocabulary
                or any(plain in _words(kind) for kind in _HOMES)
            ):
                return True
        return False

    def straight_after_measure(self, i: int) -> bool:
        """After "200 g", "a teaspoon of", "100 g of fresh" and the like."""
        known = self._after_measure.get(i)
        if known is None:
            known = self._after_measure[i] = self._follows_measure(i)
        return known

    def _follows_measure(self, i: int) -> bool:
        i = self._unqualified(i)
        if i and self.words[i - 1] == "of":
            i -= 1
            if i and self.doc[i - 1].like_num:
                return True
        if not i:
            return False
        if i in self._measured:
            return True
        return self.words[i - 1] in _words("measure") and self._counted(i - 1)

    def _unqualified(self, i: int) -> int:
        """``i`` moved back over words such as "fresh" or "small"."""
        for _ in range(2):
            if i and self.words[i - 1] in _described():
                i -= 1
        return i

    def _counted(self, i: int) -> bool:
        """Whether a number or article stands within two tokens before the measure word."""
        return any(
            self.doc[k].like_num or self.words[k] in ("a", "an", "half", "each", "of", "couple")
            or self.words[k][:1].isdigit()
            for k in range(max(0, i - 3), i)
        )  # fmt: skip

    def _after_quality(self, i: int) -> bool:
        return i > 0 and self.words[i - 1] in _words("quality")

    def _beside_food(self, i: int, end: int) -> bool:
        if self.after(end) in _OBJECTS:
            return False  # "fry the onions and time it": a verb
        if i > 1 and self.words[i - 1] in _JOINTS and self._food_at(i - 2):
            return True
        if self.after(end) not in _JOINTS - {"with"}:
            return False
        nearby = range(end + 1, min(end + 3, len(self.doc)))
        return any(self._food_at(k) for k in nearby)

    def _food_at(self, i: int) -> bool:
        return i in self._foods or any(w in self._vocabulary for w in singulars(self.words[i]))

    def is_object(self, i: int) -> bool:
        """Straight after a cooking verb, or after one and an article."""
        if i and self.words[i - 1] in _words("article"):
            i -= 1
        return i > 0 and self.words[i - 1] in _words("verb")

    def fits(self, context: str, i: int, end: int) -> bool:
        """Whether tokens ``i`` to ``end`` stand in a context of ``data/mishearings.csv``."""
        if context == "any":
            return True
        if context == "number":
            if self.before(i) in ("a", "an"):
                return self.before(i - 1) in ("half", "quarter") or self._food_at(end)
            return i > 0 and (self.doc[i - 1].like_num or self.words[i - 1] in ("half", "of"))
        if context == "quality":
            return self._before_food(i, end)
        if context == "object":
            return self._governs(i, end)
        if context == "dough":
            near = self.words[max(0, i - _NEAR) : end + _NEAR]
            return self._governs(i, end) and not _words("dough").isdisjoint(near)
        strong = (
            self.straight_after_measure(i)
            or self._after_quality(i)
            or self._beside_food(i, end)
            or self.has_part(end)
            or self._measured_after(i, end)
        )
        if strong or context == "measure":
            return strong
        return self.starts_phrase(i)

    def _measured_after(self, i: int, end: int) -> bool:
        """ "flower six hundred grams": a list that names the food before its amount."""
        if end not in self._opening or self.after(end) in _OBJECTS:
            return False
        before = self.before(i)
        return i == 0 or before in _OPENS or i in self._measured or not before.isalpha()

    def has_part(self, end: int) -> bool:
        """Whether a part of a plant or animal follows ("time leaves")."""
        return self.after(end) in _words("part")

    def _before_food(self, i: int, end: int) -> bool:
        return end < len(self.doc) and self._food_at(end) and (i == 0 or self._may_name(i))

    def _may_name(self, i: int) -> bool:
        return self.starts_phrase(i) or self.words[i - 1] in _words("home")

    def _governs(self, i: int, end: int) -> bool:
        after = self.after(end)
        if after in _OBJECTS or after in ("a", "an", "some", "your", "my", "in", "all", "half"):
            return True
        return end < len(self.doc) and (self.doc[end].like_num or self._food_at(end))

    def starts_phrase(self, i: int) -> bool:
        """Whether a food's name may begin at ``i``: after a verb, an article, an amount, "and"."""
        if i == 0:
            return True
        before = self.words[i - 1]
        if before in _words("opener"):
            if i < 2 or self.words[i - 2] not in _words("location"):
                return True
            return i > 2 and self.words[i - 3] in _words("verb")  # "stir in the …"
        if before == "," or any(before in _words(kind) for kind in ("verb", "quality", "look")):
            return True
        return self.doc[i - 1].like_num or self.straight_after_measure(i)
