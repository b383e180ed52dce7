"""Mark amounts: numbers with units, counted pieces, vague measures, bare numbers, articles.

What is no amount (a price, a year, a step number, people, times a day) is left
unmarked. The value is an :class:`AmountValue` in record units; see marks.py.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import (
    MORE_AFTER,
    MORE_BEFORE,
    approximately,
    boundary,
    ish_after,
    near,
    nounish,
    tag,
)
from hobnote.marking.lexing import DASHES, Words, lex
from hobnote.marking.marks import (
    AMOUNT,
    CLAIM,
    HEAT,
    PORTIONS,
    TEMPERATURE,
    TIME,
    AmountValue,
    put,
)
from hobnote.marking.measured import Measures
from hobnote.marking.numerals import Numeral, numerals
from hobnote.marking.tables import bag, count_nouns, phrase_list, size_words, unit_words, word_list
from hobnote.marking.units import Measure
from hobnote.marking.vague import QUANTIFIERS, vague_at, vague_words

NAME: Final = "hobnote_amounts"
# "5.30 on the water": a clock time, unless a unit or a food follows.
_CLOCK: Final = re.compile(r"(?:1?\d|2[0-3])\.[0-5][05]")
_EARLIEST: Final = 4  # "actually 1.25" is an amount; nobody rows at a quarter past one
_BEFORE_TIME: Final = bag("at by from till until around")
_BESIDE: Final = bag("- sized size nice really very whole entire wee")
_SAID: Final = bag("say call it about just make only maybe need used use had got")
_ONE: Final = Numeral(0, 0, 1.0, 1.0, 1.0)
_DEMONSTRATIVES: Final = bag("these those the both them")
_PRONOUN_ONE: Final = bag(
    "this that the big small large little good best other another which each every no last "
    "first next red green blue old new same only any right wrong one's cheap nice smaller "
    "bigger number second third any hot"
)
_STOPS_ONE: Final = bag("of thing day by that who which is was with more you we i 's")


@dataclass(slots=True)
class _Found:
    start: int
    end: int
    value: AmountValue


class _Reader:
    def __init__(self, doc: Doc, w: Words, found: list[Numeral]) -> None:
        self.doc, self.w, self.found = doc, w, found
        self.at = {n.start: n for n in found}
        self.measures = Measures(w, self.at)
        self.taken = w.covered(TIME, TEMPERATURE, HEAT, CLAIM, PORTIONS)
        self.claimed = w.covered(CLAIM)
        self.done = 0
        self.spoons = False
        """Whether spoons or cups were said: "two of paprika and half of chilli" goes on in them."""

    # numbers ---------------------------------------------------------------

    def number(self, n: Numeral) -> _Found | None:
        """The amount that number ``n`` begins, or None."""
        w = self.w
        j, more, size = self._adjectives(n.end)
        percent = w.get(n.end) in ("%", "percent", "pc") or (
            w.get(n.end) == "per" and w.get(n.end + 1) == "cent"
        )
        if percent:
            end = n.end + (2 if w.get(n.end) == "per" else 1)
            return _Found(n.start, end, AmountValue(n.low, n.best, n.high, "percent"))
        if n.grid or self._label(n) or self._price(n) or self.measures.sizes_vessel(n, j):
            return None
        hit = self.measures.after(n, j)
        if hit is not None and hit.value.unit == "piece" and self._result(n.start):
            return None
        if not n.is_range and "between" in (
            w.get(n.start - 1), w.get(n.start - 2)
        ):  # fmt: skip
            return None
        if hit is not None:
            value = hit.value
            return _Found(n.start, hit.end, replace(value, more=more or value.more,
                                                     size=size or value.size))  # fmt: skip
        if n.bare:
            alone = w.get(n.start - 1) == "," and (self._edge(n.end) or w.get(n.end) == ",")
            of_it = w.get(n.end) == "of" and w.get(n.end + 1) not in _DETERMINED
            part = w.get(n.start - 1) == "of" and w.get(n.start - 2) in ("juice", "zest")
            if part and n.end == n.start + 1:
                return _Found(n.start, n.end, AmountValue(n.low, n.best, n.high, "piece"))
            if n.best == 0.5 and (alone or (of_it and self.spoons)):
                return _Found(n.start, n.end, AmountValue(0.5, 0.5, 0.5))
            return None
        vague = vague_at(w, j, counted=True, article=False)
        if vague is not None and vague[1].key not in QUANTIFIERS:
            end, found, other = vague
            if found.key == "thumb" and (
                w.get(n.start - 1) in ("into", "in") or w.get(end) in ("thick", "dice", "cubes")
            ):
                return None
            if not n.vague or found.key != "few":
                value = AmountValue(n.low, n.best, n.high, vague=found.key, size=size or other,
                                    approximate=n.approximate, more=more)  # fmt: skip
                return _Found(n.start, end, value)
        return self._bare(n, j, more, size)

    def _adjectives(self, i: int) -> tuple[int, bool, str | None]:
        """Skip "more", "large", "heaped", "medium-sized" after a number."""
        w, sizes = self.w, size_words()
        more, size = False, None
        while True:
            word = w.get(i)
            if word in MORE_AFTER and w.get(i + 1) != "or":
                more = True
            elif word in sizes:
                size = size or sizes[word]
            elif not (word in _BESIDE and w.get(i + 1)) or (
                word in DASHES and w.get(i + 1) not in ("sized", "size")
            ):
                return i, more, size
            i += 1

    def _bare(self, n: Numeral, j: int, more: bool, size: str | None) -> _Found | None:
        """A number without unit: kept unless something says that it counts no food."""
        w = self.w
        hyphened = w.get(n.end) in DASHES and w.get(n.end + 1).isalpha() and not n.is_range
        if hyphened and self._compound(n):
            return None
        if self._no_food(j) or self._no_food(n.end) or self._result(n.start):
            return None
        before = w.get(approximately(w, n.start)[0] - 1)
        if before in ("by", "into", "at") and w.get(n.end) != "of" and not nounish(w, j):
            return None
        just = w.get(n.start - 2) in ("just", "only") and w.get(n.start - 3) in _CORRECTING
        lone = w.get(n.start) == "one" and n.end == n.start + 1
        if lone and not just and not self._really_one(n, j):
            return None
        pronoun = n.end == n.start + 1 and w.get(n.start - 1) in _DEMONSTRATIVES
        pronoun = pronoun and not just  # "just the one"
        if pronoun and not n.literal and not nounish(w, j):
            return None
        end = j
        while end > n.end and w.get(end - 1) in ("-", "nice", "really", "very"):
            end -= 1
        value = AmountValue(n.low, n.best, n.high, size=size, approximate=n.approximate, more=more)
        return _Found(n.start, end, value)

    def _result(self, start: int) -> bool:
        """ "cut into 8 wedges": pieces that come out, not what goes in."""
        w = self.w
        i = approximately(w, start)[0] - 1
        return w.get(i) == "into" and near(w, i, word_list("dividing_verbs"), 7, 0)

    def _vessel(self, i: int, hit: Measure) -> bool:
        """ "into a jar", "in a mug": a vessel, unless "of" follows ("tip in a tin of beans")."""
        w = self.w
        if hit.value.unit != "piece" or hit.value.content is not None or w.get(hit.end) == "of":
            return False
        noun = count_nouns().get(hit.value.noun or "")
        if noun is None or noun.role not in ("container", "vessel"):
            return False
        if noun.role == "vessel":
            return not nounish(w, hit.end)
        return w.get(i - 1) in ("into", "in", "on", "onto", "from", "with", "using", "inside", "to")

    def _compound(self, n: Numeral) -> bool:
        """ "a 3-litre pot", "two-part", "4-way": an adjective, not an amount."""
        return not nounish(self.w, n.end + 1) or self.w.get(n.end + 1) in word_list("not_counted")

    def _no_food(self, i: int) -> bool:
        """True when what is counted at ``i`` is no food."""
        return phrase_list("not_counted").at(self.w.text, i) is not None

    def _really_one(self, n: Numeral, j: int) -> bool:
        """ "one onion" but not "the big one", "one of those", "one by one"."""
        w = self.w
        if w.get(n.end) == "more" and nounish(w, j):
            return True
        if w.get(n.end) == "of" and nounish(w, n.end + 1):
            return True
        if w.get(n.start - 1) in _PRONOUN_ONE or w.get(n.end) in _STOPS_ONE:
            return False
        if not boundary(w, j) or not w.get(j):
            return True
        if w.get(n.start - 2) == "of" and (self._edge(n.end) or w.get(n.end) in (",", "and")):
            return True  # "of onion one, of carrot one"
        opens = self._edge(n.start - 1) or w.get(n.start - 1) == ","
        alone = self._edge(n.end) or w.get(n.end) == ","
        return w.get(n.start - 1) in _SAID or (opens and alone)

    def _edge(self, i: int) -> bool:
        return self.w.get(i) in ("", ".", "\n", "!", "?")

    def _label(self, n: Numeral) -> bool:
        """Years, step numbers, list indices, clock times, ages."""
        w = self.w
        before, after = w.get(n.start - 1), w.get(n.end)
        text = w.get(n.start)
        if before in word_list("label_before") and not (
            before in ("heat", "season") or after in unit_words()
        ) and not (before in ("round", "batch", "size", "try", "table", "part", "mark", "take")
                and (after in unit_words() or nounish(w, n.end))):  # fmt: skip
            return True
        year = (text.isdigit() and len(text) == 4) or text == "nineteen"
        if year and 1900 <= n.best <= 2099:
            return after not in unit_words()
        if n.literal and _CLOCK.fullmatch(text) and n.end == n.start + 1:
            timely = n.best >= _EARLIEST or before in _BEFORE_TIME
            return (
                timely and after not in unit_words() and not nounish(w, n.end) and after != "of"
            )
        index = n.literal and n.end == n.start + 1 and before in ("", "\n") and after in (")", ":")
        if index:
            return True
        if after in ("am", "pm", "o'clock", "oclock", "th", "st", "nd", "rd"):
            return True
        return "past" in (before, after)

    def _price(self, n: Numeral) -> bool:
        w = self.w
        if w.get(n.start - 1) in word_list("currency_before"):
            return True
        after = w.get(n.end)
        if after in word_list("currency_after") and not (after == "p" and not n.literal):
            return True
        if after in ("pound", "pounds"):
            return (
                near(w, n.end, word_list("price_words"), 8, 10)
                or (w.get(n.end + 1) in ("a", "per", "each", "fifty", "something"))
                or self._pence(n.end + 1)
            )
        return False

    def _pence(self, i: int) -> bool:
        """ "twelve pounds eighty" is a price; "twelve pounds, eighty percent lean" is not."""
        n = self.at.get(i)
        return n is not None and n.best >= 20 and self.w.get(n.end) not in ("percent", "per", "%")

    def past(self, n: Numeral) -> int:
        """Where to read on after a number that is no amount; "two pounds fifty" goes as one."""
        if n.bare:
            return n.start
        after = self.at.get(n.end + 1)
        end = n.end
        if self.w.get(end) in ("pound", "pounds", "dollars", "euros") and self._price(n):
            end = after.end if after is not None else end + 1
            if self.w.get(end) == "a" and self.w.get(end + 1):
                end += 2
        return end

    # articles --------------------------------------------------------------

    def article(self, i: int) -> _Found | None:
        """ "a teaspoon", "another pinch", "an onion", "a good glug", "a 400 g tin"."""
        w = self.w
        if i - 1 in self.claimed:
            return None
        if i and w.get(i - 1) == "of" and i - 1 == self.done and w.get(i) in ("a", "an"):
            return None  # "two tablespoons of a neutral oil"
        more = w.get(i) in MORE_BEFORE
        j = i + 1
        if w.get(j) in MORE_BEFORE or w.get(j) == "single":
            more = more or w.get(j) != "single"
            j += 1
        while w.get(j) in ("nice", "really", "very", "just", "whole", "wee", "quick"):
            j += 1
        n = self.at.get(j)
        if n is not None:
            hit = self.measures.content(_ONE, j)
            if hit is None:
                return None
            return _Found(i, hit.end, replace(hit.value, more=more))
        k, more_after, size = self._adjectives(j)
        one = replace(_ONE, start=i, end=k)
        hit = self.measures.after(one, k)
        if hit is not None:
            if self._vessel(i, hit):
                return None
            value = replace(hit.value, more=more or more_after, size=size or hit.value.size)
            return _Found(i, hit.end, value)
        vague = vague_at(w, j, counted=False, article=True)
        if vague is not None:
            end, found, other = vague
            top = {"two": 2.0, "three": 3.0}.get(w.get(end + 1)) if w.get(end) == "or" else None
            if top is not None:  # "a pinch or two"
                value = AmountValue(1, (1 + top) / 2, top, vague=found.key, size=other)
                return _Found(i, end + 2, value)
            extra = more or found.more or w.get(end) in MORE_AFTER
            if w.get(end) in MORE_AFTER:
                end += 1
                end += w.get(end) == "of"
            return _Found(i, end, AmountValue(1, 1, 1, vague=found.key, size=other, more=extra))
        return self._thing(i, j, k, size, more)

    def _thing(self, i: int, j: int, k: int, size: str | None, more: bool) -> _Found | None:
        """ "an onion", "a large egg": the article (and size) before a noun."""
        w = self.w
        word = w.get(k)
        if (
            w.get(j) == "little"
            or not nounish(w, k)
            or word in word_list("not_article")
            or self._no_food(k)
        ):
            return None
        if tag(w, k) in ("JJ", "VBN", "JJR", "JJS") and not nounish(w, k + 1):
            return None
        if size not in (None, "large", "small", "medium", "thick", "thin"):
            return None
        end = k if size else i + 1
        value = AmountValue(1, 1, 1, "piece", size=size, article=not more, more=more)
        return _Found(i, end, value)

    # words without number ----------------------------------------------------

    def lone(self, i: int) -> _Found | None:
        """ "splash of milk", "some oil", "to taste", "no, tablespoon", "tsp cumin"."""
        w = self.w
        j, more, size = self._adjectives(i)
        vague = vague_at(w, i, counted=False, article=False)
        if vague is not None:
            end, found, other = vague
            extra = found.more or more
            if w.get(end) in MORE_AFTER and found.key not in ("to_taste",):
                extra, end = True, end + 1
            return _Found(i, end, AmountValue(1, 1, 1, vague=found.key, size=other, more=extra))
        unit = self.measures.lone_unit(j, i)
        if unit is not None:
            return _Found(i, unit.end, replace(unit.value, size=size))
        return None

    # writing ---------------------------------------------------------------

    def write(self, f: _Found) -> None:
        """Add approximation, "each" and "more" around the amount and mark it."""
        w, value = self.w, f.value
        start, about = approximately(w, f.start)
        if (value.vague is not None and not about) or value.article:
            start, about = f.start, False
        while start > 0 and w.text[start - 1] in MORE_BEFORE:
            start, value = start - 1, replace(value, more=True)
            if start > 0 and w.text[start - 1] in ("a", "an"):
                start -= 1
        end, ish = ish_after(w, f.end)
        if w.get(end) in MORE_AFTER and not value.more and w.get(end + 1) != "or":
            end, value = end + 1, replace(value, more=True)
        if w.get(end) in ("a", "per") and w.get(end + 1) in _EACH and w.get(end + 2) != "of":
            end, value = end + 2, replace(value, each=True)
        elif w.get(end) in ("each", "apiece"):
            end, value = end + 1, replace(value, each=True)
        elif w.get(end) == "of" and w.get(end + 1) in ("each", "both", "all"):
            end, value = end + 2, replace(value, each=True)
        elif w.get(end - 1) == "of" and w.get(end) in ("each", "both"):
            end, value = end + 1, replace(value, each=True)
        if start > 0 and w.text[start - 1] == "between" and value.low != value.high:
            start -= 1
        if about or ish:
            value = replace(value, approximate=True)
        start = max(start, self.done)
        while end > f.start + 1 and w.get(end - 1) == "of":
            end -= 1
        self.spoons = value.unit in ("tsp", "tbsp", "cup") or (value.unit is None and self.spoons)
        put(self.doc, AMOUNT, *w.span(start, end), value)
        self.done = end


# "300 grams a pack": what one of the things counted weighs.
_CORRECTING: Final = bag("actually no sorry wait mean make meant it's")
_DETERMINED: Final = bag("the that this those these it them my your our a an one")
_EACH: Final = bag("piece pop pack packet tin can bag jar block bottle carton fillet breast")
_ARTICLES: Final = frozenset(("a", "an", "another", "extra"))


@Language.component(NAME)
def amounts(doc: Doc) -> Doc:
    """Mark every amount in ``doc`` with an :class:`AmountValue`."""
    w = lex(doc)
    reader = _Reader(doc, w, numerals(doc))
    vague, units, nouns, sizes = vague_words(), unit_words(), count_nouns(), size_words()
    for i, word in enumerate(w.text):
        if i < reader.done or i in reader.taken:
            continue
        found: _Found | None = None
        n = reader.at.get(i)
        if n is not None:
            found = None if reader.taken & set(range(n.start, n.end)) else reader.number(n)
            if found is None:
                reader.done = max(reader.done, reader.past(n))
        elif word in _ARTICLES:
            found = reader.article(i)
        elif word in vague or word in units or word in nouns or word in sizes:
            found = reader.lone(i)
        if found is not None and not reader.taken & set(range(found.start, found.end)):
            reader.write(found)
    return doc
