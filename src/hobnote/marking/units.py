"""Measured units after a number, with their tails and upper ends.

:class:`Units` reads "a cup and a half", "1 lb 2 oz", "a teaspoon or two",
"5 g to 10 g" over one Doc's words.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from hobnote.marking.context import nounish
from hobnote.marking.lexing import Words
from hobnote.marking.marks import AmountValue
from hobnote.marking.numerals import MAYBE, TO, Numeral
from hobnote.marking.spelled import FRACTIONS
from hobnote.marking.tables import UnitWord, count_nouns, size_words, unit_words

# Millilitres or grams in a unit, only to add up "1 lb 2 oz" and to order mixed ranges.
_ML: Final = {"ml": 1.0, "l": 1000.0, "tsp": 5.0, "tbsp": 15.0, "cup": 240.0, "fl oz": 30.0}
_G: Final = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
_SMALLER: Final = {"lb": "oz", "kg": "g", "l": "ml", "cup": "tbsp", "tbsp": "tsp"}
ONE: Final = Numeral(0, 0, 1.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Measure:
    """An amount and the word after it."""

    end: int
    value: AmountValue


class Units:
    """Reads units over one Doc's words; ``at`` holds the numbers by their first word."""

    def __init__(self, w: Words, at: dict[int, Numeral]) -> None:
        self.w, self.at = w, at

    def unit(self, i: int, literal: bool, value: float = 1.0) -> tuple[int, UnitWord] | None:
        """The unit word at ``i``; short ones ("g", "l", "c") only after digits."""
        w = self.w
        hit = unit_words().at(w.text, i)
        if hit is None:
            if literal and w.get(i) == "t" and value <= 16:
                name = "tbsp" if w.doc[w.token[i]].text.endswith("T") else "tsp"
                return i + 1, UnitWord(name, 1, 1, 1, True)
            return None
        end, unit = hit
        if unit.glued and not literal and not self._spelled_g(i):
            return None
        if w.get(i) == "c" and value > 12:
            return None
        return end, unit

    def _spelled_g(self, i: int) -> bool:
        """ "two hundred g of flour": a spelled number before a lone g is grams too."""
        return (
            self.w.get(i) == "g" and i - 1 >= 0 and self.w.get(i - 1) not in ("a", "an", "another")
        )

    def value_of(self, n: Numeral, unit: UnitWord) -> AmountValue:
        low, high = n.low, n.high
        return AmountValue(
            low * unit.low,
            n.best * unit.best,
            high * unit.high,
            unit.unit,
            approximate=n.approximate,
        )

    def tail(
        self, n: Numeral, end: int, value: AmountValue, unit: UnitWord
    ) -> tuple[int, AmountValue]:
        """ "a cup and a half", "1 lb 2 oz", "a kilo two hundred"."""
        w = self.w
        if n.is_range:
            return end, value
        joined = w.get(end) == "and"
        j = end + 1 if joined else end
        extra: float | None = None
        stop = end
        if joined and w.get(j) in ("a", "one") and w.get(j + 1) in FRACTIONS:
            of_it = w.get(j + 2) == "of" and w.get(j + 3) in ("the", "it", "that", "them", "this")
            if not of_it and w.get(j + 2) not in ("a", "an", "the") and not self.unit(j + 2, False):
                extra, stop = FRACTIONS[w.get(j + 1)], j + 2
        second = self.at.get(j)
        if extra is None and second is not None and not second.is_range:
            hit = self.unit(second.end, second.literal)
            smaller = _SMALLER.get(unit.unit)
            spoons = unit.unit in ("tbsp", "cup") and not joined  # "4 tbsp mustard 2 tsp salt"
            if (
                hit
                and smaller
                and hit[1].unit == smaller
                and unit.best == 1
                and n.end > n.start
                and not spoons
            ):
                extra, stop = second.best * _scale(smaller) / _scale(unit.unit), hit[0]
            elif joined and second.bare and w.get(second.end) not in ("of", "the"):
                if hit is None:
                    extra, stop = second.best, second.end
            elif (
                not joined
                and (unit.unit in ("kg", "l") and unit.best == 1 and hit is None)
                and w.get(second.end) == "of"
                and (100 <= second.best < 1000 or second.best in range(1, 10))
            ):
                # "a kilo two of thighs" is 1.2 kg as much as "a kilo two hundred"
                extra = second.best / (1000 if second.best >= 100 else 10)
                stop = second.end
        if extra is None or extra >= max(1.0, n.best):
            return end, value
        if extra >= 1:
            return end, value
        scaled = replace(
            value,
            low=value.low + extra * unit.low,
            best=value.best + extra * unit.best,
            high=value.high + extra * unit.high,
        )
        return stop, _tidy(scaled)

    def upper(self, n: Numeral, end: int, value: AmountValue, unit: UnitWord) -> Measure:
        """The upper end after the unit: "a teaspoon or two", "5 g to 10 g", "a tsp to a tbsp"."""
        w, joint = self.w, self.w.get(end)
        if n.is_range:
            return Measure(end, value)
        j = end
        comma = joint == ","
        if comma:
            j += 1
            again = self._said_again(j, value)
            if again is not None:
                return again
        if (
            w.get(j) in TO
            or w.get(j) in MAYBE
            or (joint == "and" and w.get(n.start - 1) == "between")
        ):
            j += 1
        else:
            return Measure(end, value)
        while w.get(j) in MAYBE or w.get(j) in ("up", "to", "about", "around"):
            j += 1
        second, k = self.at.get(j), j
        if second is None and w.get(j) in ("a", "an"):
            second, k = replace(ONE, start=j, end=j + 1), j
        if second is None or second.low != second.high:
            return Measure(end, value)
        k = second.end
        while w.get(k) in size_words():
            k += 1
        hit = self.unit(k, second.literal)
        if hit is None:
            bare = joint in ("or", "to") or comma or joint in MAYBE
            if (
                second.bare
                or not bare
                or not value.best < second.best * unit.best <= 3 * value.best
            ):
                return Measure(end, value)
            if (k < len(w) and nounish(w, second.end)) or w.get(second.end) in count_nouns():
                return Measure(end, value)
            top = second.best * unit.best
            return Measure(second.end, spread(value, second.best * unit.high, top))
        other = _convert(second.best * hit[1].best, hit[1].unit, value.unit)
        if other is None or not value.best < other <= 6 * value.best:
            return Measure(end, value)
        return Measure(hit[0], spread(value, other * hit[1].high / hit[1].best, other))

    def _said_again(self, i: int, value: AmountValue) -> Measure | None:
        """ "a tablespoon, tablespoon and a half": the same unit again with more."""
        hit = self.unit(i, False)
        if hit is None or hit[1].unit != value.unit or hit[1].best != 1 or value.best != 1:
            return None
        end, more = self.tail(ONE, hit[0], value, hit[1])
        return Measure(end, spread(value, more.high, more.best)) if end > hit[0] else None


def _scale(unit: str) -> float:
    return _G.get(unit) or _ML[unit]


def _convert(amount: float, unit: str, target: str | None) -> float | None:
    """``amount`` of ``unit`` in ``target``, None across kinds."""
    if unit == target:
        return amount
    for table in (_G, _ML):
        if unit in table and target in table:
            return amount * table[unit] / table[target]
    return None


def _tidy(value: AmountValue) -> AmountValue:
    return replace(
        value, low=round(value.low, 4), best=round(value.best, 4), high=round(value.high, 4)
    )


def spread(value: AmountValue, high: float, top: float) -> AmountValue:
    return _tidy(replace(value, best=(value.best + top) / 2, high=max(high, top)))
