"""Units after a number: measured units, containers with contents, counted pieces.

:class:`Measures` reads what stands after a number and gives the amount as an
:class:`AmountValue`: "2 x 400 g tins" is two pieces "tin" that hold 400 g each.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from hobnote.marking.context import nounish, tag
from hobnote.marking.lexing import DASHES, Words
from hobnote.marking.marks import AmountValue
from hobnote.marking.numerals import FRACTIONS, MAYBE, TO, Numeral
from hobnote.marking.tables import CountNoun, UnitWord, count_nouns, rows, size_words, unit_words, word_list

# Millilitres or grams in a unit, only to add up "1 lb 2 oz" and to order mixed ranges.
_ML: Final = {"ml": 1.0, "l": 1000.0, "tsp": 5.0, "tbsp": 15.0, "cup": 240.0, "fl oz": 30.0}
_G: Final = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
_LENGTHS: Final = frozenset("inch inches cm centimetre centimetres centimeter centimeters".split())
_LENGTH_PIECES: Final = frozenset("piece pieces knob knobs thumb chunk chunks lump length lengths".split())
_LONE_BEFORE: Final = frozenset(
    "no sorry actually not make mean meant say wait of level heaped heaping and , \n".split()
)
_PAN_KINDS: Final = frozenset("cake roasting baking mixing serving frying sauce stock".split())
_SMALLER: Final = {"lb": "oz", "kg": "g", "l": "ml", "cup": "tbsp", "tbsp": "tsp"}


@dataclass(frozen=True, slots=True)
class Measure:
    """An amount and the word after it."""

    end: int
    value: AmountValue


def _verbs() -> frozenset[str]:
    """Count nouns that are as often another word."""
    global _VERBS
    if _VERBS is None:
        _VERBS = frozenset(
            word
            for r in rows("count_nouns.csv")
            if r["verb"] == "yes"
            for word in (r["noun"], *r["plurals"].split("|"))
        )
    return _VERBS


_VERBS: frozenset[str] | None = None


class Measures:
    """Reads the unit or piece after a number over one Doc's words."""

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
        return self.w.get(i) == "g" and i - 1 >= 0 and self.w.get(i - 1) not in ("a", "an", "another")

    def after(self, n: Numeral, i: int) -> Measure | None:
        """What number ``n`` measures or counts when the unit stands at ``i``."""
        w = self.w
        if w.get(i) in DASHES and i == n.end:
            if self.unit(i + 1, n.literal) or w.get(i + 1) in count_nouns():
                i += 1
        if w.get(i) in ("of", "a") and n.of_a is False and n.vague:
            i += 1
        hit = self.unit(i, n.literal and i <= n.end + 1, n.best)
        if hit is not None:
            return self._measured(n, i, *hit)
        if w.get(i) in ("x", "×", "times", "lots") and i + 1 in self.at or w.get(i) == "lots" and w.get(
            i + 1
        ) == "of":  # fmt: skip
            j = i + (2 if w.get(i) == "lots" else 1)
            return self.content(n, j) if j in self.at else None
        if i in self.at and not n.is_range and n.best == int(n.best) and n.best <= 24:
            return self.content(n, i)
        if w.get(i) == "(" and i + 1 in self.at:
            held = self._bracketed(n, i + 1)
            if held is not None:
                return held
        if w.get(i) in _LENGTHS or (w.get(i) == "-" and w.get(i + 1) in _LENGTHS):
            return self._length(n, i)
        return self.piece(n, i)

    def _value(self, n: Numeral, unit: UnitWord) -> AmountValue:
        low, high = n.low, n.high
        return AmountValue(
            low * unit.low, n.best * unit.best, high * unit.high, unit.unit, approximate=n.approximate
        )

    def _measured(self, n: Numeral, i: int, end: int, unit: UnitWord) -> Measure:
        """A measured amount with its tails: "and a half", "2 oz", "or two", a container."""
        w = self.w
        value = self._value(n, unit)
        if w.get(end) in DASHES or w.get(end) in count_nouns() or w.get(end) in size_words():
            holder = self._holder(_ONE, value, end)
            if holder is not None:
                return holder
        if value.unit in ("kcal", "kJ"):
            return Measure(self._worth(end), value)
        end, value = self._tail(n, end, value, unit)
        return self._upper(n, end, value, unit)

    def sizes_vessel(self, n: Numeral, i: int) -> bool:
        """ "a two pound loaf tin", "a 3 litre pan": the size of a vessel, no amount."""
        w = self.w
        hit = self.unit(i + (w.get(i) in DASHES), n.literal, n.best)
        if hit is None:
            return False
        i = hit[0] + (w.get(hit[0]) in DASHES)
        vessels = word_list("vessels")
        if w.get(i) in vessels and w.get(i) not in count_nouns():
            return w.get(i + 1) != "of"
        return w.get(i + 1) in vessels and (w.get(i) in count_nouns() or w.get(i) in _PAN_KINDS)

    def _worth(self, end: int) -> int:
        """Swallow "worth" and "' worth" after an energy amount."""
        w = self.w
        j = end
        while w.get(j) in ("'", "’", "'s", "s"):
            j += 1
        return j + 1 if w.get(j) == "worth" else end

    def _tail(
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
            if hit and smaller and hit[1].unit == smaller and unit.best == 1:
                extra, stop = second.best * _scale(smaller) / _scale(unit.unit), hit[0]
            elif joined and second.bare and w.get(second.end) not in ("of", "the"):
                if hit is None:
                    extra, stop = second.best, second.end
            elif not joined and unit.unit in ("kg", "l") and unit.best == 1 and hit is None:
                if 100 <= second.best < 1000 and w.get(second.end) == "of":
                    extra, stop = second.best / 1000, second.end
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

    def _upper(self, n: Numeral, end: int, value: AmountValue, unit: UnitWord) -> Measure:
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
        if w.get(j) in TO or w.get(j) in MAYBE or (joint == "and" and w.get(n.start - 1) == "between"):
            j += 1
        else:
            return Measure(end, value)
        while w.get(j) in MAYBE or w.get(j) in ("up", "to", "about", "around"):
            j += 1
        second, k = self.at.get(j), j
        if second is None and w.get(j) in ("a", "an"):
            second, k = replace(_ONE, start=j, end=j + 1), j
        if second is None or second.low != second.high:
            return Measure(end, value)
        k = second.end
        while w.get(k) in size_words():
            k += 1
        hit = self.unit(k, second.literal)
        if hit is None:
            bare = joint in ("or", "to") or comma or joint in MAYBE
            if second.bare or not bare or not value.best < second.best * unit.best <= 3 * value.best:
                return Measure(end, value)
            if k < len(w) and nounish(w, second.end) or w.get(second.end) in count_nouns():
                return Measure(end, value)
            top = second.best * unit.best
            return Measure(second.end, _spread(value, second.best * unit.high, top))
        top = _convert(second.best * hit[1].best, hit[1].unit, value.unit)
        if top is None or not value.best < top <= 6 * value.best:
            return Measure(end, value)
        return Measure(hit[0], _spread(value, top * hit[1].high / hit[1].best, top))

    def _said_again(self, i: int, value: AmountValue) -> Measure | None:
        """ "a tablespoon, tablespoon and a half": the same unit again with more."""
        hit = self.unit(i, False)
        if hit is None or hit[1].unit != value.unit or hit[1].best != 1 or value.best != 1:
            return None
        end, more = self._tail(_ONE, hit[0], value, hit[1])
        return Measure(end, _spread(value, more.high, more.best)) if end > hit[0] else None

    # pieces -----------------------------------------------------------------

    def piece(self, n: Numeral, i: int) -> Measure | None:
        """ "two cloves", "a tin", "3 large rashers"."""
        w = self.w
        noun = self._noun(i, counted=True)
        if noun is None or (n.bare and noun.role in ("container", "vessel") and w.get(i + 1) != "of"):
            return None
        end = i + 1
        value = AmountValue(n.low, n.best, n.high, "piece", noun.noun, approximate=n.approximate)
        if w.get(end) in ("or", "to") and end + 1 in self.at and not n.is_range:
            second = self.at[end + 1]
            ends = not nounish(w, second.end) or w.get(second.end) == "of"
            if n.best < second.best <= 3 * n.best and not second.bare and ends:
                if self.unit(second.end, True) is None:
                    value, end = _spread(value, second.best, second.best), second.end
        if w.get(end) in ("(", ","):
            inner = self.at.get(end + 1)
            hit = inner and self.unit(inner.end, inner.literal)
            if inner and hit and w.get(end) == "(" and w.get(hit[0]) == ")":
                value = replace(value, content=self._value(inner, hit[1]))
                end = hit[0] + 1
        return Measure(end, value)

    def _noun(self, i: int, counted: bool) -> CountNoun | None:
        """The count noun at ``i``; not where it is the first half of a food's name."""
        w = self.w
        noun = count_nouns().get(w.get(i))
        if noun is None:
            return None
        after = w.get(i + 1)
        if noun.role in ("shape", "count") and noun.noun in _NAMES:
            heads = _NAMES[noun.noun]
            if heads is not None and after in heads:
                return None
        if w.get(i) == "can" and not counted and after != "of":
            return None
        return noun

    def content(self, n: Numeral, i: int) -> Measure | None:
        """ "(two) 400 g tins" at the inner number ``i``; ``n`` counts the containers."""
        inner = self.at.get(i)
        if inner is None or inner.bare and not inner.of_a:
            return None
        j = inner.end
        if self.w.get(j) in DASHES:
            j += 1
        hit = self.unit(j, inner.literal)
        if hit is None:
            if self.w.get(j) in _LENGTHS:
                return self._length(inner, j)
            return None
        value = self._value(inner, hit[1])
        holder = self._holder(n, value, hit[0])
        if holder is not None:
            return holder
        if n.start == n.end == 0 and n.best == 1:
            return None
        if nounish(self.w, hit[0]):
            piece = AmountValue(n.low, n.best, n.high, "piece", content=value)
            return Measure(hit[0], piece)
        return None

    def _holder(self, n: Numeral, content: AmountValue, i: int) -> Measure | None:
        """The container after its contents: "400 g tin"."""
        w = self.w
        j = i
        while w.get(j) in DASHES or w.get(j) in size_words():
            j += 1
        noun = self._noun(j, counted=True)
        if noun is None or (noun.role == "count" and noun.noun not in _HOLDERS):
            return None
        if w.get(j + 1) in word_list("vessels"):
            return None
        return Measure(j + 1, AmountValue(n.low, n.best, n.high, "piece", noun.noun, content=content))

    def _bracketed(self, n: Numeral, i: int) -> Measure | None:
        """ "1 (400 g) tin", "2 (14 oz) cans": the contents in brackets before the container."""
        w, inner = self.w, self.at[i]
        j = inner.end + 1 if w.get(inner.end) in DASHES else inner.end
        hit = self.unit(j, inner.literal)
        if hit is None or w.get(hit[0]) != ")":
            return None
        return self._holder(n, self._value(inner, hit[1]), hit[0] + 1)

    def _length(self, n: Numeral, i: int) -> Measure | None:
        """ "a 2 inch piece of ginger", "an inch of ginger"; not "into 2 cm dice"."""
        w = self.w
        j = i + 1 if w.get(i) in DASHES else i
        name = "inch" if w.get(j).startswith("inch") else "cm"
        j += 1
        if w.get(j) in DASHES:
            j += 1
        if w.get(n.start - 1) in ("into", "in", "about") and w.get(j) not in ("of",):
            return None
        if w.get(j) in _LENGTH_PIECES and w.get(j + 1) == "of":
            j += 1
        elif w.get(j) in _LENGTH_PIECES and nounish(w, j + 1):
            j += 1
        elif w.get(j) != "of" or w.get(j + 1) in ("water", "oil", "space", "each"):
            return None
        return Measure(j, AmountValue(n.low, n.best, n.high, "piece", name))

    # units without number -----------------------------------------------------

    def lone_unit(self, i: int) -> Measure | None:
        """ "no, sorry, tablespoon", "tsp cumin", "tin of tomatoes": one, or a corrected unit."""
        w = self.w
        before, after = w.get(i - 1), w.get(i + 1)
        hit = self.unit(i, False)
        if hit is not None:
            end, unit = hit
            if w.get(i) in _NOT_ALONE or unit.unit in ("kcal", "kJ"):
                return None
            corrected = before in _LONE_BEFORE or not before or before == "not"
            if not (corrected or w.get(end) == "of"):
                return None
            if before == "of" or (unit.unit not in ("tsp", "tbsp", "cup") and not corrected):
                return None
            value = AmountValue(unit.low, unit.best, unit.high, unit.unit, article=True)
            return Measure(*self._tail(_ONE, end, value, unit))
        noun = self._noun(i, counted=False)
        if noun is None or after != "of" or before in ("the", "that", "this", "in", "a", "of"):
            return None
        if w.get(i) in _verbs() and (tag(w, i)[:2] in ("VB", "MD") or noun.noun in _NEVER_ALONE):
            return None
        if w.get(i) != noun.noun or before in ("your", "my", "our", "its", "their", "each", "every"):
            return None
        if before.endswith("ing") or (i and tag(w, i - 1)[:2] in ("JJ", "NN", "PR", "DT")):
            return None
        return Measure(i + 1, AmountValue(1, 1, 1, "piece", noun.noun, article=True))


_ONE: Final = Numeral(0, 0, 1.0, 1.0, 1.0)
_NOT_ALONE: Final = frozenset("cups pound pounds pt c l g t oz mill mills cal".split())
_NEVER_ALONE: Final = frozenset("half head hand heart round star ring shot net tail rest bar".split())
# Count nouns that hold a weight: "a 250 g block", "a 30 g scoop".
_HOLDERS: Final = frozenset("block ball bar loaf roll fillet bunch sheet slice square".split())
# Words after which a count noun is the name of a food or tool and counts nothing.
_NAMES: Final = {
    "bulb": None,
    "half": frozenset(("and", "-", "fat", "as", "the", "a", "an", "of")),
    "roll": frozenset(("out", "it", "the", "them")),
    "ring": frozenset(("pull",)),
    "star": frozenset(("anise", "aniseed")),
    "shell": frozenset(("on",)),
    "hand": frozenset(("blender", "mixer", "whisk", "held")),
    "stick": frozenset(("blender", "it", "to")),
    "head": frozenset(("chef", "cook")),
    "bar": frozenset(("one",)),
}


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


def _spread(value: AmountValue, high: float, top: float) -> AmountValue:
    return _tidy(replace(value, best=(value.best + top) / 2, high=max(high, top)))
