"""Mark temperatures: Celsius, Fahrenheit, gas marks, fan settings, bare oven numbers.

Values are degrees Celsius as said (fan settings are not corrected, only
marked). A bare number is a temperature only where words lead to it ("oven at
200", "core of 74") and no unit or food follows.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import approximately, ish_after, near, nounish
from hobnote.marking.lexing import SLASHES, Words, lex
from hobnote.marking.marks import TEMPERATURE, TIME, TemperatureValue, put
from hobnote.marking.numerals import Numeral, numerals
from hobnote.marking.settings import between_tin_and_time, for_a_time
from hobnote.marking.spelled import DIGITS, TENS
from hobnote.marking.tables import (
    bag,
    count_nouns,
    phrase_list,
    rows,
    time_words,
    unit_words,
    word_list,
)

NAME: Final = "hobnote_temperatures"
_DEGREES: Final = bag("degrees degree deg degs ° º ˚ degreesc degreesf")
_CELSIUS: Final = bag("c celsius centigrade ℃ celcius degc degreesc")
_FAHRENHEIT: Final = bag("f fahrenheit farenheit ℉ fahrenheits degf degreesf")
_FAN: Final = frozenset(("fan", "convection"))
# Where a bare number in an oven stops being Celsius: domestic ovens end at 250 to 275 C.
_OVEN_MAX_C: Final = 275
_MIN_BARE: Final = {"oven": 90, "core": 40, "liquid": 35}
_MAX_BARE: Final = {"oven": 550, "core": 215, "liquid": 400}


@dataclass(frozen=True, slots=True)
class _Said:
    """How the degrees were said: words used, scale ("" if unsaid), fan."""

    end: int
    scale: str
    fan: bool
    marked: bool


@cache
def gas_marks() -> dict[float, float]:
    """Gas mark -> rounded degrees Celsius."""
    return {float(r["mark"]): float(r["celsius"]) for r in rows("gas_marks.csv")}


def celsius(degrees: float, scale: str) -> float:
    """Degrees Celsius from ``degrees`` in ``scale`` "C" or "F", to a tenth."""
    return round((degrees - 32) * 5 / 9, 1) if scale == "F" else degrees


def _fan_after(w: Words, i: int) -> int:
    """The word after a fan setting that follows a temperature at ``i``, or ``i``."""
    hit = phrase_list("fan").at(w.text, i)
    if hit is None:
        return i
    end = hit[0]
    number = end in w.number or w.get(end) in DIGITS or w.get(end) in ("a", *TENS)
    if w.get(i) == "," and (w.get(end) == "oven" or number):
        return i
    if w.get(end) == "-" and w.get(end + 1) in ("assisted", "oven", "forced"):
        return end + 2
    if w.get(end) in ("oven", "assisted", "setting", "bake", "forced"):
        return end + 1
    return end


def _said(w: Words, i: int) -> _Said:
    """Read degree words, scale and fan after the number that ends at ``i``."""
    scale, j, marked = "", i, False
    if w.get(j) in ("-", "–") and w.get(j + 1) in _DEGREES:
        j += 1
    if w.get(j) in _DEGREES:
        if w.get(j) in ("degreesc", "degreesf"):
            scale = w.get(j)[-1].upper()
        j, marked = j + 1, True
    k = j + 1 if w.get(j) in ("in", "on") and w.get(j + 1) in _CELSIUS | _FAHRENHEIT else j
    if w.get(k) in _CELSIUS or w.get(k) in _FAHRENHEIT:
        letter = w.get(k) in ("c", "f")
        if not letter or marked or k == i:
            scale = "C" if w.get(k) in _CELSIUS else "F"
            j, marked = k + 1, True
    fan = _fan_after(w, j)
    if fan > j and (marked or fan - j <= 2 or j == i):
        return _Said(fan, scale, True, True)
    return _Said(j, scale, False, marked)


def _kind(w: Words, start: int, end: int) -> str:
    """oven, core, liquid or unknown, from the nearest telling word."""
    sets = (
        ("core", word_list("core")),
        ("oven", word_list("oven")),
        ("liquid", word_list("liquid")),
    )
    best, kind = 99, "unknown"
    for i in range(max(0, start - 12), min(len(w), end + 7)):
        word = w.text[i]
        for name, words in sets:
            if word in words:
                away = start - i if i < start else i - end + 3
                if name == "liquid" and word in ("water", "milk", "sugar", "chocolate"):
                    away += 2
                if away < best:
                    best, kind = away, name
    return kind


def _scale(w: Words, degrees: float, kind: str) -> str:
    """The likelier scale of a number said without one."""
    if kind == "core":
        return "F" if degrees > 100 else "C"
    if kind == "liquid":
        return "F" if degrees > 205 else "C"
    american = not word_list("american").isdisjoint(w.text)
    return "F" if degrees > _OVEN_MAX_C or (american and degrees >= 250) else "C"


class _Reader:
    def __init__(self, doc: Doc, w: Words, found: list[Numeral]) -> None:
        self.doc, self.w, self.found = doc, w, found
        self.hot = self.core = False
        self.gas_end = 0
        self.taken = w.covered(TIME)

    def gas(self, n: Numeral) -> bool:
        """ "gas mark 6", "gas 4", "gas mark six", "mark 4"."""
        w, i = self.w, n.start
        if w.get(i - 1) == "mark" and w.get(i - 2) == "gas":
            first = i - 2
        elif w.get(i - 1) == "gas" or (
            w.get(i - 1) == "mark" and near(w, i, word_list("oven"), 8, 4)
        ):
            first = i - 1
        else:
            return False
        table = gas_marks()
        if n.low not in table or n.high not in table:
            return False
        high = table[n.high] if n.is_range else None
        value = TemperatureValue(table[n.low], high, "gas", "oven", False)
        self.hot, self.gas_end = True, n.end
        put(self.doc, TEMPERATURE, *w.span(first, n.end), value)
        return True

    def degrees(self, k: int) -> int:
        """Mark number ``k`` if it is a temperature; the index of the next number to look at."""
        w, n = self.w, self.found[k]
        if n.start in self.taken or n.vague or n.bare or n.grid:
            return k + 1
        if self.gas(n):
            return k + 1
        said = _said(w, n.end)
        start, fan = n.start, said.fan
        if w.get(start - 1) in ("oven",) and w.get(start - 2) in _FAN:
            fan, start = True, start - 2
        elif w.get(start - 1) in _FAN and (not said.fan or said.marked):
            before = w.get(start - 2)
            if not (start - 2 >= 0 and w.get(start - 2).isdigit()) and before not in _CELSIUS:
                fan, start = True, start - 1
        if not said.marked and not fan and not self._bare(k, said.end):
            return k + 1
        if fan and not said.scale and not 60 <= n.low <= 550:
            return k + 1
        letter = said.scale and not said.fan and w.text[said.end - 1] in ("c", "f")
        alone = letter and w.get(said.end - 2) not in _DEGREES
        if alone and (n.low < 25 or near(w, n.start, _FIGURES, 9, 6)):
            return k + 1
        if (
            said.marked
            and not said.scale
            and n.low in (45, 90, 180)
            and self._angle(start, said.end)
        ):
            return k + 1
        if w.get(start - 1) == "it" and "fan" in w.text[max(0, start - 8) : start]:
            fan = True
        return self._put(k, start, said, fan)

    def _angle(self, start: int, end: int) -> bool:
        """ "at a 45 degree angle", "turn it 90 degrees"."""
        if self.w.get(start - 1) in _TURNED:
            return True
        return self.w.get(end) in ("angle", "turn") or near(
            self.w, end, frozenset(("angle", "rotate", "degree-angle")), 8, 3
        )

    def _put(self, k: int, start: int, said: _Said, fan: bool) -> int:
        """Write the mark of number ``k``; the index of the next number to look at."""
        w, n = self.w, self.found[k]
        kind = _kind(w, start, said.end)
        if fan and kind in ("unknown", "liquid"):
            kind = "oven"
        scale = said.scale or self._partner(n) or _scale(w, n.high, kind)
        if not said.scale and 100 < n.high <= 180 and near(w, start, _HOLDING, 5, 0):
            scale, kind = "F", "held"
        low, high = n.pair or (n.low, n.high)
        if w.get(start - 1) in ("minus", "-", "−") and n.low <= 30:
            start, low, high, kind = start - 1, -low, -high, "unknown"
        if kind == "unknown" and low >= 130:
            kind = "oven"
        kind = "unknown" if kind == "held" else kind
        degrees = celsius(low, scale)
        end, k = self._again(k, said, degrees)
        value = TemperatureValue(
            degrees, celsius(high, scale) if low != high else None, scale, kind, fan
        )
        first, _ = approximately(w, start)
        self.hot = True
        self.core = self.core or kind == "core"
        put(self.doc, TEMPERATURE, *w.span(first, ish_after(w, end)[0]), value)
        return k

    def _again(self, k: int, said: _Said, degrees: float) -> tuple[int, int]:
        """Swallow the same heat said twice: "220 C (425 F)", "180/160 fan"."""
        w, end = self.w, said.end
        if k + 1 >= len(self.found):
            return end, k + 1
        other = self.found[k + 1]
        gap = w.text[end : other.start]
        if not gap or not set(gap) <= _TWICE or len(gap) > 2:
            return end, k + 1
        twin = _said(w, other.end)
        if w.get(other.start - 1) in _FAN:
            twin = _Said(twin.end, twin.scale, True, True)
        if not twin.marked or not (twin.scale or twin.fan or gap[0] == "/"):
            return end, k + 1
        shift = degrees - celsius(other.low, twin.scale or "C")
        if abs(shift) > (30 if twin.fan or said.fan or twin.scale == said.scale else 12):
            return end, k + 1
        return (twin.end + 1 if w.get(twin.end) == ")" and "(" in gap else twin.end), k + 2

    def _partner(self, n: Numeral) -> str:
        """The scale of the second of two numbers: "350 to 375 F", "180/160 fan"."""
        w = self.w
        if w.get(n.end) in SLASHES or w.get(n.end) in ("to", "or"):
            for other in self.found:
                if other.start == n.end + 1 and other.low < 2 * n.low:
                    return _said(w, other.end).scale
        return ""

    def _bare(self, k: int, end: int) -> bool:
        """True when words lead to a number that has no degree word."""
        w, n = self.w, self.found[k]
        if n.literal and not n.low.is_integer():
            return False
        after = w.get(n.end)
        if after in (",", "or", "(") and self._fan_next(k):
            return True
        if after in (",", "or", "(", "gas") and "gas" in w.text[n.end : n.end + 3] and n.low >= 90:
            return True
        if after in SLASHES and k + 1 < len(self.found):
            pair = self.found[k + 1]
            if pair.start == n.end + 1 and _said(w, pair.end).marked and n.low >= 90:
                return True
        if after in unit_words() or after in time_words() or after in count_nouns():
            return False
        if after in ("%", "percent", "°", "-", "x", "by", "per") or w.get(n.start - 1) in (
            "£",
            "$",
            "€",
            "#",
        ):
            return False
        if nounish(w, n.end) and after not in _AFTER_BARE:
            return False
        return self._led(n)

    def _fan_next(self, k: int) -> bool:
        """ "a hundred and eighty, or one sixty fan": the fan figure follows at once."""
        if k + 1 >= len(self.found):
            return False
        n, pair = self.found[k], self.found[k + 1]
        near_by = pair.start - n.end <= 3 and set(self.w.text[n.end : pair.start]) <= _TWICE
        fan = _said(self.w, pair.end).fan or self.w.get(pair.start - 1) in _FAN
        return near_by and fan and n.low >= 90 and 5 <= n.low - pair.low <= 40

    def _led(self, n: Numeral) -> bool:
        w, i = self.w, n.start
        if self.gas_end and i - self.gas_end in (1, 2, 3) and 90 <= n.low <= 550:
            said = set(w.text[self.gas_end : i])
            if said <= _TWICE | {"that", "'s", "thats", "which", "is", "so", "about", "call", "it"}:
                return n.low % 5 == 0  # "gas mark three, or a hundred and sixty"
        links, verbs = word_list("temperature_links"), word_list("temperature_verbs")
        before = w.text[max(0, i - 9) : i]
        j = i - 1
        while j >= 0 and w.text[j] in ("about", "around", "roughly", "a", "approximately", "be"):
            j -= 1
        link = w.get(j) in links
        if w.get(i - 1) == "," and w.get(i - 2) in ("oven", "fan"):
            return n.low % 5 == 0 and _MIN_BARE["oven"] <= n.low <= _MAX_BARE["oven"]
        if between_tin_and_time(w, n) or for_a_time(w, n, self.found):
            return True
        if (
            45 <= n.low <= 210
            and w.get(n.end) in ("in", "at", "inside", "on", "by", "right", "next")
            and near(w, n.end, _INSIDE, 0, 5)
        ):
            return True
        if near(w, i, _FIGURES, 14, 10):
            return False
        preposition = w.get(j)
        for kind in ("core", "oven", "liquid"):
            names = word_list(kind)
            here = [x for x in before if x in names]
            if kind == "liquid":
                here = [x for x in here if x not in ("sugar", "chocolate", "tea", "jam")]
            low, high = _MIN_BARE[kind], _MAX_BARE[kind]
            if not low <= n.low <= high or (kind == "oven" and n.low % 5):
                continue
            if here and w.get(i - 1) in names and kind != "liquid":
                return True
            if not (here and link):
                if kind == "core" and link and near(w, n.end, _INSIDE, 0, 4):
                    return True
                continue
            moved = any(x in verbs or x in _READS for x in before)
            if kind == "liquid" and not moved and (preposition != "at" or n.low < 100):
                continue
            if kind == "oven" and n.low < 100 and preposition not in ("at", "to"):
                continue
            return True
        if self.core and preposition in ("above", "over", "below", "at") and 40 <= n.low <= 100:
            return True
        if self.hot and "fan" in before and 90 <= n.low <= 275 and preposition == "it":
            return n.low % 5 == 0
        oven = n.low % 5 == 0 and 110 <= n.low <= 500
        if w.get(j - 1) in ("'m", "am", "'re", "i", "we", "im"):
            return False
        if oven and preposition == "at" and not w.get(n.end).isalpha():
            return True
        if preposition == "at" and 55 <= n.low <= 180 and not _HOLDING.isdisjoint(before):
            return True
        if oven and preposition == "at":
            return w.get(n.end) in ("for", "until", "till", "in", "about", "fan", "then", "and")
        if oven and preposition == "to" and w.get(j - 1) in ("down", "up", "back") and self.hot:
            return True
        return (
            oven
            and preposition == "to"
            and any(
                x in ("turn", "drop", "knock", "crank", "whack", "reduce", "lower") for x in before
            )
        )


_TWICE: Final = SLASHES | {"(", "or", ",", "fan", "a", "if"}
_TURNED: Final = bag("it them tray round around pan rotate turn dough them")


_FIGURES: Final = bag("calories calorie kcal cal cals kj protein")
_HOLDING: Final = bag("hold holds holding held")
_READS: Final = bag("hits hit reaches reach reached reads read says hitting")
_INSIDE: Final = bag(
    "inside middle centre center thickest core internal internally thermometer probe bone gauge"
)
_AFTER_BARE: Final = bag(
    "fan oven convection preheat bake roast inside internal internally till core gas"
)


@Language.component(NAME)
def temperatures(doc: Doc) -> Doc:
    """Mark every temperature in ``doc`` with a :class:`TemperatureValue` in Celsius."""
    found = numerals(doc)
    if not found:
        return doc
    reader = _Reader(doc, lex(doc), found)
    k = 0
    while k < len(found):
        k = reader.degrees(k)
    return doc
