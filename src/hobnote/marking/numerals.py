"""Read numbers over words: digits, fractions, spelled numbers, ranges.

:func:`numerals` finds the longest numbers of a Doc. "three fifty" is 350 in a
kitchen; "ten twelve" is a range; "three to four hundred" is 300 to 400; a lone
"half" is kept but marked ``bare`` so that only a unit after it makes it count.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from spacy.lang.en import English
from spacy.tokens import Doc

from hobnote.marking.lexing import DASHES, Words, lex
from hobnote.marking.spelled import DIGITS, TEENS, TENS, Read, hyphen, one
from hobnote.marking.tables import bag, time_words, unit_words

_KEY: Final = "hobnote_numerals"
# How many "a few" is: (low, best, high). Common practice; the follower flags it as vague.
FEW: Final = {
    "few": (2.0, 3.0, 5.0), "several": (3.0, 4.0, 7.0), "couple": (2.0, 2.0, 2.0),
}  # fmt: skip
FEW_OF: Final = bag(
    "more minutes extra drops drop leaves sprigs slices pinches spoons cloves handfuls bits "
    "squirts sprays splashes shakes glugs dashes drizzles knobs dollops turns twists"
)
ISH: Final = bag("ish odd")
STARTERS: Final = (
    frozenset(DIGITS) | frozenset(TEENS) | frozenset(TENS) | frozenset(FEW)
    | bag("a an hundred thousand dozen half quarter third point")
)  # fmt: skip
TO: Final = DASHES | {"to", "or", "till", "through", "until"}
MAYBE: Final = bag("maybe perhaps possibly even probably")


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number over words ``start`` to ``end``.

    ``pair`` is the other reading of two numbers in a row ("five ten": 5 to 10).
    ``bare`` numbers (half, quarter) need a unit. ``literal``: written in digits.
    ``of_a``: the words end in "a" or "of a" ("half of a"). ``vague``: a few.
    """

    start: int
    end: int
    low: float
    best: float
    high: float
    approximate: bool = False
    pair: tuple[float, float] | None = None
    bare: bool = False
    literal: bool = False
    of_a: bool = False
    vague: bool = False
    grid: bool = False

    @property
    def is_range(self) -> bool:
        """True when low and high differ."""
        return self.low != self.high


def _few(w: Words, i: int) -> Numeral | None:
    """ "a couple of", "a few", "several"."""
    j = i + 1 if w.get(i) in ("a", "the", "another") else i
    if j > i and w.get(j) == "good":
        j += 1
    word = w.get(j)
    if word not in FEW:
        return None
    if word == "few" and j == i and w.get(j + 1) not in FEW_OF:
        return None
    end = j + 1
    if w.get(end) == "of":
        end += 1
    low, best, high = FEW[word]
    scale = {"hundred": 100.0, "thousand": 1000.0, "dozen": 12.0}.get(w.get(end), 1.0)
    if scale > 1:
        low, best, high, end = low * scale, best * scale, high * scale, end + 1
    return Numeral(i, end, low, best, high, low != high, vague=low != high)


def _second(w: Words, first: Read, start: int) -> tuple[float, Read] | None:
    """The upper end of a range whose lower end is ``first``."""
    j, comma = first.end, False
    joint = w.get(j)
    if joint == "," or joint in MAYBE:
        comma = True
        j += 1
        while w.get(j) in MAYBE or w.get(j) in ("or", ","):
            comma = comma and w.get(j) == ","
            j += 1
        comma = joint == "," and w.get(j - 1) == ","
    elif joint in TO:
        j += 1
        while w.get(j) in MAYBE:
            j += 1
    elif joint == "and" and w.get(start - 1) == "between":
        j += 1
    else:
        return None
    if w.get(j) in ("a", "an") and w.get(j + 1) not in ("hundred", "thousand", "half", "dozen"):
        return None
    second = one(w, j)
    if second is None or second.spread:
        return None
    low, high = first.value, second.value
    if low < 10 and high >= 100 and high % 100 == 0 and joint != "," and low == int(low):
        scale = 1000 if high % 1000 == 0 and w.get(second.end - 1) == "thousand" else 100
        if w.get(second.end - 1) in ("hundred", "thousand") and low * scale < high:
            return low * scale, second
    if not low < high:
        return None
    if comma and not (
        high <= 2.5 * low and _measured(w, second.end) and w.get(second.end) not in ("c", "degrees")
    ):
        return None
    if high > 12 * low and not (low < 1):
        return None
    return low, second


def _measured(w: Words, i: int) -> bool:
    """True when a unit or time word stands at ``i``."""
    word = w.get(i)
    return word in unit_words() or word in time_words() or word in ("degrees", "°")


def _numeral(w: Words, i: int) -> Numeral | None:
    few = _few(w, i)
    if few:
        return few
    first = one(w, i)
    if first is None:
        return None
    low = high = first.value
    best, end, pair, bare, of_a = first.value, first.end, first.pair, first.bare, first.of_a
    second = None if first.spread else _second(w, first, i)
    if first.spread:
        low, high = first.spread
        best = (low + high) / 2
    elif second:
        low, upper = second
        high, end, of_a = upper.value, upper.end, upper.of_a
        best, pair, bare = (low + high) / 2, None, first.bare and upper.bare
    literal = first.literal
    approximate = False
    tail = hyphen(w, end) if w.get(end) in DASHES else end
    if w.get(tail) in ISH:
        approximate, end = True, tail + 1
    return Numeral(i, end, low, best, high, approximate, pair, bare, literal, of_a)


def _glued_ish(w: Words, i: int) -> Numeral | None:
    """ "fortyish" -> 40, approximate."""
    stem = w.text[i][:-3]
    value = TENS.get(stem) or TEENS.get(stem) or DIGITS.get(stem)
    if not value and stem == "dozen":
        value = 12
    return Numeral(i, i + 1, value, value, value, approximate=True) if value else None


def numerals(doc: Doc) -> list[Numeral]:
    """All numbers of ``doc`` by position, none overlapping; computed once and kept on it.

    Values are plain numbers; units are the business of the component that asks.
    """
    w = lex(doc)
    found = doc.user_data.get(_KEY)
    if found is not None and found[0] is w:
        return list(found[1])
    result: list[Numeral] = []
    i, n = 0, len(w)
    text, number = w.text, w.number
    while i < n:
        word = text[i]
        if i in number or word in STARTERS:
            numeral = _numeral(w, i)
        elif word == "another" and text[i + 1 : i + 2] and w.get(i + 1) in FEW:
            numeral = _few(w, i)
        elif len(word) > 5 and word.endswith("ish"):
            numeral = _glued_ish(w, i)
        else:
            numeral = None
        if numeral is None:
            i += 1
            continue
        result.append(numeral)
        i = numeral.end
    doc.user_data[_KEY] = (w, _mark_grids(w, result))
    return list(doc.user_data[_KEY][1])


def _mark_grids(w: Words, found: list[Numeral]) -> list[Numeral]:
    """Mark "9 by 13" and "20 x 30" as grids: sizes of tins, not amounts."""
    for k in range(len(found) - 1):
        a, b = found[k], found[k + 1]
        if b.start == a.end + 1 and w.get(a.end) == "by":
            found[k], found[k + 1] = replace(a, grid=True), replace(b, grid=True)
    return found


@cache
def _bare() -> English:
    """A bare English tokenizer."""
    return English()


def read_number(text: str) -> float | None:
    """The single number that ``text`` spells, or None: "two hundred and fifty" -> 250."""
    doc = _bare().make_doc(text)
    found = numerals(doc)
    if len(found) != 1 or found[0].is_range:
        return None
    whole = found[0].start == 0 and found[0].end == len(lex(doc))
    return found[0].best if whole else None
