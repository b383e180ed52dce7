"""Single numbers over words: digits with fractions, spelled numbers, dozens, points.

:func:`one` reads the longest number that starts at a word. Ranges and "a few"
are the business of :mod:`hobnote.marking.numerals`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from hobnote.marking.lexing import DASHES, SLASHES, Words
from hobnote.marking.tables import bag

DIGITS: Final[dict[str, float]] = {
    word: float(value)
    for value, names in enumerate(
        (
            "zero nought naught",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
        )
    )
    for word in names.split()
}
TEENS: Final[dict[str, float]] = {
    word: float(value)
    for value, word in enumerate(
        [
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ],
        10,
    )
}
TENS: Final[dict[str, float]] = {
    word: 10.0 * value
    for value, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2
    )
} | {"fourty": 40.0}
FRACTIONS: Final = {
    "half": 1 / 2, "halves": 1 / 2, "third": 1 / 3, "thirds": 1 / 3, "quarter": 1 / 4,
    "quarters": 1 / 4, "fourth": 1 / 4, "fourths": 1 / 4, "fifth": 1 / 5, "fifths": 1 / 5,
    "sixth": 1 / 6, "sixths": 1 / 6, "eighth": 1 / 8, "eighths": 1 / 8, "tenth": 1 / 10,
    "tenths": 1 / 10, "sixteenth": 1 / 16,
}  # fmt: skip
ORDINALS: Final = bag(
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth"
)
DENOMINATORS: Final = frozenset((2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 16.0))
POINT_DIGITS: Final = DIGITS | {"oh": 0.0, "o": 0.0}
_DOZEN_STARTS: Final = frozenset(DIGITS) | frozenset(TEENS) | frozenset(TENS) | bag("a half dozen")


@dataclass(slots=True)
class Read:
    value: float
    end: int
    literal: bool = False
    pair: tuple[float, float] | None = None
    bare: bool = False
    of_a: bool = False
    spread: tuple[float, float] | None = None


def hyphen(w: Words, i: int) -> int:
    """Skip a hyphen inside a spelled number ("twenty-five")."""
    return i + 1 if w.get(i) in DASHES else i


def _below_hundred(w: Words, i: int) -> tuple[float, int] | None:
    word = w.get(i)
    if word in TENS:
        j = hyphen(w, i + 1)
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
        lone = value is not None and value[1] == j + 1 and w.get(j) in DIGITS and not joined
        if lone and (_is_tens(w, j + 1) or w.get(j + 1) in ("hundred", "thousand", "point")):
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
        if w.get(j) in DASHES and w.get(j + 1) in ("hundred", "thousand"):
            j += 1  # "a three-hundred-gram tub"
    if w.get(j) == "hundred":
        rest, j = _after_scale(w, j + 1, 100, limit)
        value = value * 100 + rest
    if w.get(j) in ("thousand", "k") and limit > 1000 and value < 1000 and w.get(j) == "thousand":
        rest, j = _after_scale(w, j + 1, 1000, 1000)
        value = value * 1000 + rest
    return value, j


def _side_by_side(w: Words, i: int, value: float, end: int) -> Read:
    """Two spelled numbers in a row: "three fifty" 350, "ten twelve" 10 to 12."""
    if w.get(end) == "oh" and 1 <= value <= 9 and end == i + 1:
        unit = DIGITS.get(w.get(end + 1), 0)
        if unit:
            return Read(value * 100 + unit, end + 2)
    if w.get(end) in DASHES and end == i + 1 and 1 <= value <= 9:
        joined = _below_hundred(w, end + 1)
        if joined and joined[0] >= 13:
            return Read(value * 100 + joined[0], joined[1])
    second = _spelled(w, end) if w.get(end) not in ("a", "an") else None
    if second is None or w.get(i) in ("a", "hundred"):
        return Read(value, end)
    other, stop = second
    if other == value:
        return Read(value, stop)
    plausible = (value, other) if value < other <= 3 * value else None
    if w.get(i) == "nineteen" and 10 <= other <= 99:
        return Read(1900 + other, stop)
    hundreds = end == i + 1 and 1 <= value <= 9 and 10 <= other <= 99
    if hundreds and not (plausible and other <= 19 and other <= 2 * value):
        return Read(value * 100 + other, stop, pair=plausible)
    if plausible and other <= max(2.5 * value, value + 1):
        return Read(other, stop, pair=plausible, spread=plausible)
    return Read(value, end)


def _literal(w: Words, i: int) -> Read | None:
    """Digits with fractions: "1 1/2", "1½", "1-1/2", "3/4", "1 000"."""
    number = w.number.get(i)
    if number is None:
        return None
    text, end = w.text[i], i + 1
    fraction = _slash(w, i)
    if fraction:
        return Read(fraction[0], fraction[1], literal=True)
    if number.is_integer() and text.isdigit():
        j = hyphen(w, end)
        small = w.number.get(j)
        if small is not None:
            part = _slash(w, j) or (small, j + 1)
            if 0 < part[0] < 1 and w.text[j] != "." and not w.text[j].startswith(("0", ".")):
                return Read(number + part[0], part[1], literal=True)
            if j == end and w.text[j] == "000" and len(text) <= 3:
                return Read(number * 1000, j + 1, literal=True)
    return Read(number, end, literal=True)


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
        j = hyphen(w, i + 1)
        part = FRACTIONS.get(w.get(j))
        if part and not w.get(j).endswith("s"):
            return part, j + 1
        return None
    top = DIGITS.get(word) or w.number.get(i)
    if top and top.is_integer():
        j = hyphen(w, i + 1)
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


def _dozen(w: Words, i: int) -> Read | None:
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
        return Read(12 * (times + extra[0]), extra[1])
    return Read(12 * times, j + 1)


def _of_a(w: Words, end: int) -> tuple[int, bool]:
    """Swallow "a", "an", "of a", "of an", "of one" after a fraction."""
    if w.get(end) in ("a", "an"):
        return end + 1, True
    if w.get(end) == "of" and w.get(end + 1) in ("a", "an", "one"):
        return end + 2, True
    return end, False


def one(w: Words, i: int) -> Read | None:
    """The longest single number that starts at word ``i``."""
    dozen = _dozen(w, i) if w.get(i) in _DOZEN_STARTS or i in w.number else None
    if dozen:
        return dozen
    point = _point(w, i, 0.0)
    if point:
        return Read(point[0], point[1])
    fraction = _fraction(w, i) if w.get(i) not in ("a",) or w.get(i + 1) in FRACTIONS else None
    if fraction and not (w.get(i) == "third" and w.get(fraction[1]) != "of"):
        end, of_a = _of_a(w, fraction[1])
        return Read(fraction[0], end, bare=not of_a, of_a=of_a)
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
            return Read(point[0], point[1])
    extra = _and_fraction(w, read.end)
    if extra and read.value.is_integer():
        return Read(read.value + extra[0], extra[1], literal=read.literal)
    return read
