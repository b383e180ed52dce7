"""Mark how many the dish serves: "serves four", "makes 12 muffins", "split between five boxes"."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import approximately, boundary, ish_after, nounish, tag
from hobnote.marking.lexing import Words, lex
from hobnote.marking.marks import CLAIM, PORTIONS, TEMPERATURE, TIME, AmountValue, put
from hobnote.marking.numerals import Numeral, numerals
from hobnote.marking.tables import (
    Phrases,
    bag,
    count_nouns,
    phrase_list,
    rows,
    unit_words,
    word_list,
)

NAME: Final = "hobnote_portions"
_SKIP: Final = bag(
    "about around roughly up to between maybe a the us all of crew approximately easily at "
    "least comfortably probably you me another whole hungry good"
)  # fmt: skip
_HUNGRY: Final = bag(
    "hungry big good generous large small normal decent lunch even equal supper dinner meal "
    "prep storage"
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Frame:
    """What must follow the number: ``bare`` nothing, ``noun`` a portion word, ``any`` either."""

    needs: str


def _frames() -> Phrases[Frame]:
    global _FRAMES
    if _FRAMES is None:
        _FRAMES = Phrases((r["phrase"], Frame(r["needs"])) for r in rows("portion_frames.csv"))
    return _FRAMES


_FRAMES: Phrases[Frame] | None = None


class _Reader:
    def __init__(self, w: Words, found: list[Numeral]) -> None:
        self.w, self.found = w, found
        self.taken = w.covered(TIME, TEMPERATURE, CLAIM)

    def portions(self, n: Numeral) -> tuple[int, int, AmountValue] | None:
        """(start, end, value) when number ``n`` says how many the dish serves."""
        w = self.w
        if n.bare or n.grid or n.best > 500 or n.start in self.taken:
            return None
        if n.best != int(n.best) and not n.is_range:
            return None
        and_me = w.get(n.start - 1) in ("+", "plus", "and") and w.get(n.start - 2) == "me"
        if and_me and n.best <= 12 and w.get(n.end) in ("", ",", ".", "\n", ")", "tonight"):
            more = replace(n, low=n.low + 1, best=n.best + 1, high=n.high + 1)
            return n.start - 2, n.end, self._value(more, None)  # "me + 3"
        frame = self._frame(n.start)
        end, noun = self._noun(n.end)
        if noun is None and frame is not None and self._and_others(n.end):
            return frame[0], n.end, self._value(n, None)
        if noun is None and (frame is None or frame[1] == "noun"):
            frame = self._opening(n)
        if noun is None and frame is not None and n.best >= 4:
            things = phrase_list("portion_things").at(w.text, self._plain(n.end))
            if things is not None:
                end, noun = things[0], w.text[things[0] - 1]
        if frame is None:
            if noun is not None and self._eating(n, end):
                return n.start, end, self._value(n, noun)
            people = noun in ("people", "persons", "person") and n.best >= 3 and n.start < 25
            if self._cut(n) or self._told_alone(n):
                return n.start, n.end + 1, self._value(n, w.get(n.end))
            if self._holes(n):
                return n.start, n.end, self._value(n, None)
            if w.get(n.end) == "to" and w.get(n.end + 1) == "feed":
                return n.start, n.end + 2, self._value(n, None)
            alone = noun == "person" and n.best == 1 and not w.get(end)[:1].isalpha()
            if alone and w.get(n.start - 1) in (",", ".", ""):
                return n.start, end, self._value(n, noun)
            if noun is None or not (noun in _PORTION or people) or n.best < 2:
                return None
            if w.get(n.start - 1) in ("per", "one", "of", "each", "every", "step"):
                return None
            return n.start, end, self._value(n, noun)
        start, needs = frame
        if noun in _BITS and not self._whole(start):
            return None  # "cut the onion into eight pieces"
        if noun == "jars" and w.get(start) in _YIELDS:
            return None  # "makes about five jars": a preserve, eaten by the spoonful
        if (needs == "noun" and noun is None) or (noun is None and w.get(n.end) == "of"):
            return None
        if n.best < 2 and w.get(start) in (
            "is",
            "'s",
            "that",
            "into",
            "in",
            "across",
            "does",
            "got",
        ):
            return None
        if noun is None and w.get(n.end) in unit_words():
            return None
        tonight = phrase_list("eating_words").at(w.text, n.end) is not None
        if noun is None and needs == "bare" and not (tonight or boundary(w, n.end)):
            return None
        if noun is None and needs == "thing":
            noun, end = self._thing(n.end)
            if end < 0:
                return None
        return start, end, self._value(n, noun)

    def _plain(self, i: int) -> int:
        """The word after "big", "small", "good-sized"."""
        while self.w.get(i) in _HUNGRY:
            i += 1
        return i

    def _eating(self, n: Numeral, end: int) -> bool:
        """ "crew dinner, 6 ppl", "three of us eating", "eight of us tonight"."""
        w = self.w
        people = " ".join(w.text[n.end : end]) in word_list("people_words") or (
            w.get(end - 1) in word_list("people_words")
        )
        if not people or n.best < 2 or n.is_range:
            return False
        apart = w.get(n.start - 1) in (",", ":", ".", "\n", "-", "(", "") and (
            w.get(end) in ("", ",", ".", "\n", ")", "!")
        )
        eating = phrase_list("eating_words").at(w.text, end) is not None
        return eating or (apart and n.start < _NEAR_TITLE)

    def _cut(self, n: Numeral) -> bool:
        """ "mark it into sixteen squares", "haddock chowder, four bowls": what comes out."""
        w = self.w
        if w.get(n.end) in word_list("baked_pieces") and n.best >= 8:
            if w.get(n.end) in _BITS and not self._whole(n.start - 1):
                return False
            return not word_list("marking_verbs").isdisjoint(w.text[max(0, n.start - 8) : n.start])
        alone = w.get(n.start - 1) in (",", ":") and w.get(n.end + 1) in ("", ".", ",", "\n")
        return w.get(n.end) in ("bowls", "boxes", "lunches") and alone and n.start < 40

    def _told_alone(self, n: Numeral) -> bool:
        """ "Twelve slices.", "That's twelve slices.", "Sixteen squares out of that tin." """
        w = self.w
        piece = w.get(n.end) in word_list("baked_pieces") and w.get(n.end) not in _BITS
        if not piece or n.best < 4 or n.is_range:
            return False
        i = n.start - 1
        if w.get(i) in ("'s", "is") and w.get(i - 1) in ("that", "it"):
            i -= 2
        opens = w.get(i) in ("", ".", "!", "\n", ",", "a")
        after = w.get(n.end + 1)
        out = after == "out" and w.get(n.end + 2) == "of"
        return opens and (out or after in ("", ".", "!", "\n"))

    def _holes(self, n: Numeral) -> bool:
        """ "a twelve hole tin": as many pieces, unless something else is said."""
        w, i = self.w, n.end
        i += w.get(i) == "-"
        if w.get(i) not in ("hole", "cup", "holed") or not 4 <= n.best <= 48:
            return False
        return not _TINS.isdisjoint((w.get(i + 1), w.get(i + 2)))

    def _and_others(self, i: int) -> bool:
        """ "for the eight plus the cox": the number counts eaters for who is added to them."""
        w = self.w
        if w.get(i) not in ("plus", "and"):
            return False
        i += 1 + (w.get(i + 1) in ("the", "a", "our", "my", "one", "two"))
        return w.get(i) in word_list("extra_eaters")

    def _whole(self, start: int) -> bool:
        """Whether what is cut before word ``start`` is the finished dish."""
        before = self.w.text[max(0, start - 4) : start + 2]
        return not word_list("whole_words").isdisjoint(before)

    def _opening(self, n: Numeral) -> tuple[int, str] | None:
        """ "my tofu stir fry for two", near the start: the dish is for so many."""
        w, i = self.w, n.start - 1
        if w.get(i) == "for" and self._presents(i) and w.get(n.end) in ("", ".", ",", "\n", "!"):
            return i, "bare"
        apart = w.get(i - 1) == "," and word_list("cooking_verbs").isdisjoint(w.text[:i])
        if w.get(i) != "for" or not 1 <= i <= 16 or not 2 <= n.best <= 60 or n.is_range:
            return None
        dish = w.get(i - 1) in _DISH_VERBS and tag(w, i - 2) in ("NN", "NNS", "VB", "JJ")
        verb = not word_list("cooking_verbs").isdisjoint(w.text[max(0, i - 2) : i])
        if not dish and not apart and (verb or tag(w, i - 1) not in ("NN", "NNS", "NNP")):
            return None
        follows = w.get(n.end)
        if follows in ("to", "or", "of", "at", "on", "then", "and", "until", "more"):
            return None
        return i, "bare"

    def _presents(self, i: int) -> bool:
        """ "This is the small version, for four.": a sentence that presents the dish."""
        w, start = self.w, i
        while start > 0 and w.get(start - 1) not in (".", "!", "?", "\n") and i - start < _PRESENT:
            start -= 1
        return w.get(start) in ("this", "it", "here") and w.get(start + 1) in ("is", "'s")

    def _frame(self, i: int) -> tuple[int, str] | None:
        """The frame that ends just before word ``i``: (its start, what it needs)."""
        w, frames = self.w, _frames()
        j = i
        while j > 0 and w.text[j - 1] in _SKIP and i - j < 4:
            hit = self._ending(j)
            if hit is not None:
                return hit
            j -= 1
        return self._ending(j) if frames else None

    def _ending(self, j: int) -> tuple[int, str] | None:
        for k in range(max(0, j - 6), j):
            hit = _frames().at(self.w.text, k)
            if hit is not None and hit[0] == j:
                return k, hit[1].needs
        return None

    def _noun(self, i: int) -> tuple[int, str | None]:
        """A portion word after the number, adjectives skipped: (end, word)."""
        w = self.w
        j = i
        while w.get(j) in _HUNGRY or w.get(j) == "-":
            j += 1
        hit = phrase_list("portion_nouns").at(w.text, j)
        if hit is None and j > i:
            hit = phrase_list("portion_nouns").at(w.text, j - 1)
        if hit is None:
            return i, None
        return hit[0], w.text[hit[0] - 1]

    def _thing(self, i: int) -> tuple[str | None, int]:
        """What "makes 12" makes: a noun or two after the number."""
        w = self.w
        if not nounish(w, i):
            return None, i
        while tag(w, i) in ("JJ", "VBN") and nounish(w, i + 1):
            i += 1
        noun = count_nouns().get(w.get(i))
        if noun is not None and noun.role == "container":
            return None, -1
        return (noun.noun if noun else w.get(i)), i + 1

    def plus_one(self, start: int, end: int, value: AmountValue) -> tuple[int, int, AmountValue]:
        """ "feeds the four of us plus the cox": one more."""
        w, i = self.w, end
        if w.get(i) not in ("plus", "and"):
            return start, end, value
        i += 1 + (w.get(i + 1) in ("the", "a", "our", "my", "one"))
        more = next((m for m in self.found if m.start == i and m.best <= 500), None)
        known, count = i, 1.0
        if more is not None:
            known, count = more.end, more.best
        again = more is not None and value.noun is not None and w.get(known) in _SITTINGS
        if not again and w.get(known) not in word_list("extra_eaters"):
            return start, end, value
        stop = known + 1
        return (
            start,
            stop,
            replace(value, low=value.low + count, best=value.best + count, high=value.high + count),
        )

    def _value(self, n: Numeral, noun: str | None) -> AmountValue:
        return AmountValue(n.low, n.best, n.high, noun=noun, approximate=n.approximate)


_PRESENT: Final = 10
"""Most words of a sentence that presents the dish, up to the number of eaters."""
_NEAR_TITLE: Final = 40
"""Words from the start within which "6 ppl" alone tells for how many a dish is."""
_DISH_VERBS: Final = bag("fry roast bake stew braise")
_BITS: Final = bag("pieces piece chunks")
"""What a food is cut into as well as a finished dish."""
_YIELDS: Final = bag("makes make made yields yield gives")
_TINS: Final = bag("tin tray pan muffin bun")
_SITTINGS: Final = bag("lunches dinners suppers breakfasts meals boxes portions")
_PORTION: Final = bag("portion portions serving servings helpings helping diners covers")


@Language.component(NAME)
def portions(doc: Doc) -> Doc:
    """Mark every statement of portions in ``doc`` with an :class:`AmountValue`."""
    w = lex(doc)
    frames, nouns = _frames().firsts(), phrase_list("portion_nouns").firsts()
    nouns |= phrase_list("one_eater").firsts() | word_list("baked_pieces") | {"hole", "-", "me"}
    if frames.isdisjoint(w.text) and nouns.isdisjoint(w.text):
        return doc
    found = numerals(doc)
    reader = _Reader(w, found)
    alone = phrase_list("one_eater")
    for i, word in enumerate(w.text):
        hit_one = alone.at(w.text, i) if word in alone.firsts() else None
        if hit_one is not None:
            put(doc, PORTIONS, *w.span(i, hit_one[0]), AmountValue(1, 1, 1))
    for n in found:
        hit = reader.portions(n)
        if hit is None:
            continue
        start, end, value = reader.plus_one(*hit)
        end, ish = ish_after(w, end)
        _, about = approximately(w, n.start)
        if (ish or about) and not value.approximate:
            value = AmountValue(
                value.low, value.best, value.high, noun=value.noun, approximate=True
            )
        put(doc, PORTIONS, *w.span(start, end), value)
    return doc
