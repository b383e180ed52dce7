"""Read numbers over words: digits, fractions, spelled numbers, ranges.

:func:`numerals` finds the longest numbers of a Doc. "three fifty" is 350 in a
kitchen; "ten twelve" is a range; "three to four hundred" is 300 to 400; a lone
"half" is kept but marked ``bare`` so that only a unit after it makes it count.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from spacy.tokens import Doc

from hobnote.marking.lexing import DASHES, SLASHES, Words, lex
from hobnote.marking.tables import time_words, unit_words

_KEY: Final = "hobnote_numerals"

DIGITS: Final[dict[str, float]] = {
    word: float(value)
    for value, names in enumerate(
        ("zero nought naught", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    )
    for word in names.split()
}
TEENS: Final[dict[str, float]] = {
    word: float(value)
    for value, word in enumerate(
        "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(), 10
    )
}
TENS: Final[dict[str, float]] = {
    word: 10.0 * value
    for value, word in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), 2)
} | {"fourty": 40.0}
FRACTIONS: Final = {
    "half": 1 / 2, "halves": 1 / 2, "third": 1 / 3, "thirds": 1 / 3, "quarter": 1 / 4,
    "quarters": 1 / 4, "fourth": 1 / 4, "fourths": 1 / 4, "fifth": 1 / 5, "fifths": 1 / 5,
    "sixth": 1 / 6, "sixths": 1 / 6, "eighth": 1 / 8, "eighths": 1 / 8, "tenth": 1 / 10,
    "tenths": 1 / 10, "sixteenth": 1 / 16,
}  # fmt: skip
ORDINALS: Final = frozenset(
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth".split()
)
# How many "a few" is: (low, best, high). Common practice; the follower flags it as vague.
FEW: Final = {
    "few": (2.0, 3.0, 5.0), "several": (3.0, 4.0, 7.0), "couple": (2.0, 2.0, 2.0),
}  # fmt: skip
FEW_OF: Final = frozenset(
    "more minutes extra drops drop leaves sprigs slices pinches spoons cloves handfuls bits".split()
)
ISH: Final = frozenset("ish odd".split())
DENOMINATORS: Final = frozenset((2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 16.0))
POINT_DIGITS: Final = DIGITS | {"oh": 0.0, "o": 0.0}
STARTERS: Final = (
    frozenset(DIGITS) | frozenset(TEENS) | frozenset(TENS) | frozenset(FEW)
    | frozenset("a an hundred thousand dozen half quarter third point".split())
)  # fmt: skip
TO: Final = DASHES | {"to", "or", "till", "through", "until"}
MAYBE: Final = frozenset("maybe perhaps possibly even probably".split())


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


@dataclass(slots=True)
class _Read:
    value: float
    end: int
    literal: bool = False
    pair: tuple[float, float] | None = None
    bare: bool = False
    of_a: bool = False
    spread: tuple[float, float] | None = None


def _hyphen(w: Words, i: int) -> int:
    """Skip a hyphen inside a spelled number ("twenty-five")."""
    return i + 1 if w.get(i) in DASHES else i


def _below_hundred(w: Words, i: int) -> tuple[float, int] | None:
    word = w.get(i)
    if word in TENS:
        j = _hyphen(w, i + 1)
        unit = DIGITS.get(w.get(j), 0)
        if unit and w.get(j + 1) not in ("hundred", "thousand", "point"):
            return TENS[word] + unit, j + 1
        return TENS[word], i + 1
    if word in TEENS:
        return TEENS[word], i + 1
    if word in DIGITS:
        return DIGITS[word], i + 1
    return None


def _is_tens(w: Words, i: int) -> bool:
    return w.get(i) in TENS or w.get(i) in TEENS


def _after_scale(w: Words, i: int, scale: float, limit: float) -> tuple[float, int]:
    """The rest after "hundred" or "thousand": "[and] fifty" -> (50, end)."""
    j = i
    joined = w.get(j) == "and"
    if joined:
        j += 1
    value: tuple[float, int] | None
    if scale == 1000:
        value = _spelled(w, j, limit) if w.get(j) not in ("a", "an") or joined else None
    else:
        value = _below_hundred(w, j)
        if value and value[1] == j + 1 and w.get(j) in DIGITS and not joined:
            if _is_tens(w, j + 1) or w.get(j + 1) in ("hundred", "thousand", "point"):
                return 0.0, i
    if value is None and joined and j in w.number and w.number[j] < scale:
        value = w.number[j], j + 1
    if value is None or not 0 < value[0] < scale:
        return 0.0, i
    if joined and w.get(value[1]) in ("hundred", "thousand"):
        return 0.0, i
    return value[0], value[1]


def _spelled(w: Words, i: int, limit: float = 1e6) -> tuple[float, int] | None:
    """A spelled whole number below a million, or None."""
    word = w.get(i)
    if word in ("a", "hundred", "thousand"):
        j = i if word != "a" else i + 1
        if w.get(j) not in ("hundred", "thousand"):
            return None
        value: float = 1
    else:
        small = _below_hundred(w, i)
        if small is None:
            number = w.number.get(i)
            if number is None or w.get(i + 1) not in ("hundred", "thousand") or number >= 1000:
                return None
            small = number, i + 1
        value, j = small
    if w.get(j) == "hundred":
        rest, j = _after_scale(w, j + 1, 100, limit)
        value = value * 100 + rest
    if w.get(j) in ("thousand", "k") and limit > 1000 and value < 1000 and w.get(j) == "thousand":
        rest, j = _after_scale(w, j + 1, 1000, 1000)
        value = value * 1000 + rest
    return value, j


def _side_by_side(w: Words, i: int, value: float, end: int) -> _Read:
    """Two spelled numbers in a row: "three fifty" 350, "ten twelve" 10 to 12."""
    if w.get(end) == "oh" and 1 <= value <= 9 and end == i + 1:
        unit = DIGITS.get(w.get(end + 1), 0)
        if unit:
            return _Read(value * 100 + unit, end + 2)
    second = _spelled(w, end) if w.get(end) not in ("a", "an") else None
    if second is None or w.get(i) in ("a", "hundred"):
        return _Read(value, end)
    other, stop = second
    if other == value:
        return _Read(value, stop)
    plausible = (value, other) if value < other <= 3 * value else None
    hundreds = end == i + 1 and 1 <= value <= 9 and 10 <= other <= 99
    if hundreds and not (plausible and other <= 19 and other <= 2 * value):
        return _Read(value * 100 + other, stop, pair=plausible)
    if plausible and other <= max(2.5 * value, value + 1):
        return _Read(other, stop, pair=plausible, spread=plausible)
    return _Read(value, end)


def _literal(w: Words, i: int) -> _Read | None:
    """Digits with fractions: "1 1/2", "1½", "1-1/2", "3/4", "1 000"."""
    number = w.number.get(i)
    if number is None:
        return None
    text, end = w.text[i], i + 1
    fraction = _slash(w, i)
    if fraction:
        return _Read(fraction[0], fraction[1], literal=True)
    if number.is_integer() and text.isdigit():
        j = _hyphen(w, end)
        small = w.number.get(j)
        if small is not None:
            part = _slash(w, j) or (small, j + 1)
            if 0 < part[0] < 1 and w.text[j] != "." and not w.text[j].startswith(("0", ".")):
                return _Read(number + part[0], part[1], literal=True)
            if j == end and w.text[j] == "000" and len(text) <= 3:
                return _Read(number * 1000, j + 1, literal=True)
    return _Read(number, end, literal=True)


def _slash(w: Words, i: int) -> tuple[float, int] | None:
    if w.get(i + 1) not in SLASHES or i + 2 not in w.number or not w.text[i].isdigit():
        return None
    if w.get(i + 3) in SLASHES:
        return None
    above, below = w.number[i], w.number[i + 2]
    if below not in DENOMINATORS or w.text[i + 2].startswith("0"):
        return None
    if above < below or w.text[i + 1] == "/":
        return (above / below, i + 3) if above < 2 * below else None
    whole, top = divmod(above, 10)
    return (whole + top / below, i + 3) if 0 < top < below else None


def _fraction(w: Words, i: int) -> tuple[float, int] | None:
    """ "a half", "half", "three quarters", "one third", "3 quarters"; not ordinals."""
    word = w.get(i)
    if word == "half" or word in ("quarter", "third"):
        return FRACTIONS[word], i + 1
    if word in ("a", "an", "one"):
        j = _hyphen(w, i + 1)
        part = FRACTIONS.get(w.get(j))
        if part and not w.get(j).endswith("s"):
            return part, j + 1
        return None
    top = DIGITS.get(word) or w.number.get(i)
    if top and top.is_integer():
        j = _hyphen(w, i + 1)
        name = w.get(j)
        part = FRACTIONS.get(name)
        if part and top * part < 1 and (name.endswith("s") or name in ("quarter", "eighth")):
            return top * part, j + 1
    return None


def _and_fraction(w: Words, i: int) -> tuple[float, int] | None:
    """ "and a half" after a number or a unit -> (0.5, end)."""
    if w.get(i) != "and":
        return None
    part = _fraction(w, i + 1)
    if part is None and i + 1 in w.number:
        read = _literal(w, i + 1)
        part = (read.value, read.end) if read and read.value < 1 else None
    if part is None or not 0 < part[0] < 1:
        return None
    if w.get(i + 1) in ("half", "quarter", "third") and w.get(part[1]) in ("a", "an", "of", "the"):
        return None
    if w.get(part[1]) == "of" and w.get(part[1] + 1) in ("the", "it", "that", "them"):
        return None
    return part


def _point(w: Words, i: int, value: float) -> tuple[float, int] | None:
    """ "point five" after a number (or at its start) -> (0.5, end)."""
    if w.get(i) != "point":
        return None
    digits, j = "", i + 1
    while w.get(j) in POINT_DIGITS and len(digits) < 3:
        digits += str(int(POINT_DIGITS[w.get(j)]))
        j += 1
    if not digits and j in w.number and w.text[j].isdigit():
        digits, j = w.text[j], j + 1
    if not digits and w.get(j) in TENS:
        tens = _below_hundred(w, j)
        if tens:
            digits, j = str(int(tens[0])), tens[1]
    return (value + float(f"0.{digits}"), j) if digits else None


def _dozen(w: Words, i: int) -> _Read | None:
    """ "half a dozen", "a dozen", "two dozen", "a dozen and a half"."""
    j, times = i, 1.0
    if w.get(i) == "half":
        times, j = 0.5, i + (2 if w.get(i + 1) == "a" else 1)
    elif w.get(i) == "a":
        j = i + 1
        if w.get(j) == "half":
            times, j = 0.5, j + 1
    elif w.get(i) != "dozen":
        small = _below_hundred(w, i) or ((w.number[i], i + 1) if i in w.number else None)
        if small is None:
            return None
        times, j = small
    if w.get(j) != "dozen":
        return None
    extra = _and_fraction(w, j + 1)
    if extra:
        return _Read(12 * (times + extra[0]), extra[1])
    return _Read(12 * times, j + 1)


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


def _of_a(w: Words, end: int) -> tuple[int, bool]:
    """Swallow "a", "an", "of a", "of an", "of one" after a fraction."""
    if w.get(end) in ("a", "an"):
        return end + 1, True
    if w.get(end) == "of" and w.get(end + 1) in ("a", "an", "one"):
        return end + 2, True
    return end, False


def _one(w: Words, i: int) -> _Read | None:
    """The longest single number that starts at word ``i``."""
    dozen = _dozen(w, i) if w.get(i) in STARTERS or i in w.number else None
    if dozen:
        return dozen
    point = _point(w, i, 0.0)
    if point:
        return _Read(point[0], point[1])
    fraction = _fraction(w, i) if w.get(i) not in ("a",) or w.get(i + 1) in FRACTIONS else None
    if fraction and not (w.get(i) == "third" and w.get(fraction[1]) != "of"):
        end, of_a = _of_a(w, fraction[1])
        return _Read(fraction[0], end, bare=not of_a, of_a=of_a)
    read = _literal(w, i)
    spelled = _spelled(w, i)
    if read is None or (spelled and spelled[1] > read.end):
        if spelled is None:
            return None
        if w.get(spelled[1]) in ORDINALS and w.get(spelled[1]) != "second":
            return None
        read = _side_by_side(w, i, *spelled)
        point = _point(w, read.end, read.value)
        if point:
            return _Read(point[0], point[1])
    extra = _and_fraction(w, read.end)
    if extra and read.value.is_integer():
        return _Read(read.value + extra[0], extra[1], literal=read.literal)
    return read


def _second(w: Words, first: _Read, start: int) -> tuple[float, _Read] | None:
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
    second = _one(w, j)
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
    first = _one(w, i)
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
    tail = _hyphen(w, end) if w.get(end) in DASHES else end
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


def read_number(text: str) -> float | None:
    """The single number that ``text`` spells, or None: "two hundred and fifty" -> 250."""
    import spacy

    doc = spacy.blank("en").make_doc(text)
    found = numerals(doc)
    if len(found) != 1 or found[0].is_range:
        return None
    whole = found[0].start == 0 and found[0].end == len(lex(doc))
    return found[0].best if whole else None
