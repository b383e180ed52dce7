"""Units after a number: measured units, containers with contents, counted pieces.

:class:`Measures` reads what stands after a number and gives the amount as an
:class:`AmountValue`: "2 x 400 g tins" is two pieces "tin" that hold 400 g each.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from hobnote.marking.context import nounish, tag
from hobnote.marking.lexing import DASHES
from hobnote.marking.marks import AmountValue
from hobnote.marking.numerals import Numeral
from hobnote.marking.spelled import DIGITS, one
from hobnote.marking.tables import (
    CountNoun,
    UnitWord,
    bag,
    count_nouns,
    rows,
    size_words,
    word_list,
)
from hobnote.marking.units import ONE, Measure, Units, spread

_LENGTHS: Final = bag("inch inches cm centimetre centimetres centimeter centimeters")
_LENGTH_PIECES: Final = bag("piece pieces knob knobs thumb chunk chunks lump length lengths")
_LONE_BEFORE: Final = bag(
    "no sorry actually not make mean meant say wait of level heaped heaping and , \n"
)
_THESE: Final = bag("the those these them your my")
_PLACES: Final = bag("in into to up the it them fill full about by other")
_MOST_OUNCES: Final = 110
_LEAST_HELD: Final = 50
_PAN_KINDS: Final = bag("cake roasting baking mixing serving frying sauce stock")


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


class Measures(Units):
    """Reads the unit or piece after a number over one Doc's words."""

    def after(self, n: Numeral, i: int) -> Measure | None:
        """What number ``n`` measures or counts when the unit stands at ``i``."""
        w = self.w
        joined = w.get(i) in DASHES and i == n.end
        if joined and n.bare and self.unit(i + 1, n.literal) is None:
            return None
        if joined and (self.unit(i + 1, n.literal) or w.get(i + 1) in count_nouns()):
            i += 1
        if w.get(i) in ("of", "a") and n.of_a is False and n.vague:
            i += 1
        hit = self.unit(i, n.literal and i <= n.end + 1, n.best)
        if hit is not None:
            return self._measured(n, i, *hit)
        if w.get(i) in ("x", "×", "times", "lots"):
            j = i + 1 + (w.get(i + 1) == "of")
            return self.content(n, j) if j in self.at else None
        if n.of_a and n.best < 1 and i in self.at:
            return self.content(n, i)  # "half a 400 gram tin"
        if i in self.at and not n.is_range and n.best == int(n.best) and n.best <= 24:
            return self.content(n, i)
        of_them = self._of_the(n, i)
        if of_them is not None:
            return of_them
        if w.get(i) == "(" and i + 1 in self.at:
            held = self._bracketed(n, i + 1)
            if held is not None:
                return held
        if w.get(i) in _LENGTHS or (w.get(i) == "-" and w.get(i + 1) in _LENGTHS):
            return self._length(n, i)
        return self.piece(n, i)

    def _measured(self, n: Numeral, i: int, end: int, unit: UnitWord) -> Measure:
        """A measured amount with its tails: "and a half", "2 oz", "or two", a container."""
        w = self.w
        value = self.value_of(n, unit)
        if w.get(end) in DASHES or w.get(end) in count_nouns() or w.get(end) in size_words():
            holder = self._holder(ONE, value, end)
            if holder is not None:
                return self._counted(n, unit, end) or holder
        if value.unit in ("kcal", "kJ"):
            return Measure(self._worth(end), value)
        end, value = self.tail(n, end, value, unit)
        return self.upper(n, end, value, unit)

    def _counted(self, n: Numeral, unit: UnitWord, end: int) -> Measure | None:
        """ "two twenty-eight ounce cans": two of 28, not one of 228."""
        w = self.w
        count = DIGITS.get(w.get(n.start), 0)
        inner = one(w, n.start + 1) if count > 1 and unit.unit == "oz" else None
        if inner is None or inner.end != n.end or n.best <= _MOST_OUNCES:
            return None
        content = AmountValue(inner.value, inner.value, inner.value, unit.unit)
        return self._holder(replace(ONE, low=count, best=count, high=count), content, end)

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

    # pieces -----------------------------------------------------------------

    def piece(self, n: Numeral, i: int) -> Measure | None:
        """ "two cloves", "a tin", "3 large rashers"."""
        w = self.w
        noun = self._noun(i, counted=True)
        if noun is None:
            return None
        if n.bare and noun.role in ("container", "vessel") and w.get(i + 1) != "of":
            ends = w.get(i + 1) in ("", ",", ".", "and", "\n")
            if noun.role == "vessel" or not ends or w.get(n.start - 1) in _PLACES:
                return None  # "sugar half glass", but not "fill it half a tin"
        end = i + 1
        value = AmountValue(n.low, n.best, n.high, "piece", noun.noun, approximate=n.approximate)
        second = self.at.get(end + 1) if w.get(end) in ("or", "to") and not n.is_range else None
        if second is not None and not second.bare and n.best < second.best <= 3 * n.best:
            ends = not nounish(w, second.end) or w.get(second.end) == "of"
            if ends and self.unit(second.end, True) is None:
                value, end = spread(value, second.best, second.best), second.end
        if noun.role == "container" or noun.noun in _HOLDERS:
            held = self._holding(end)
            if held is not None:
                return Measure(held[0], replace(value, content=held[1]))
        inner = self.at.get(end + 1) if w.get(end) == "(" else None
        if inner is not None:
            hit = self.unit(inner.end, inner.literal)
            if hit and w.get(hit[0]) == ")":
                value = replace(value, content=self.value_of(inner, hit[1]))
                end = hit[0] + 1
        return Measure(end, value)

    def _of_the(self, n: Numeral, i: int) -> Measure | None:
        """ "two of the big tins", "twelve of the 15 ounce cans", "two number ten cans"."""
        w = self.w
        if w.get(i) == "number" and i + 1 in self.at and not n.bare:
            k = self.at[i + 1].end
        elif w.get(i) == "of" and w.get(i + 1) in _THESE and not n.bare:
            k = i + 2
        else:
            return None
        while w.get(k) in size_words():
            k += 1
        if k in self.at:
            return self.content(n, k)
        noun = self._noun(k, counted=True)
        if noun is None or noun.role != "container":
            return None
        return Measure(k + 1, AmountValue(n.low, n.best, n.high, "piece", noun.noun))

    def _holding(self, i: int) -> tuple[int, AmountValue] | None:
        """ "two blocks *of two eighty*", "three packs of 500 grams": what each one holds."""
        w = self.w
        inner = self.at.get(i + 1) if w.get(i) == "of" else None
        if inner is None or inner.bare or inner.is_range or inner.best < _LEAST_HELD:
            return None
        hit = self.unit(inner.end, inner.literal)
        if hit is None:
            if w.get(inner.end) in count_nouns():
                return None
            return inner.end, AmountValue(inner.low, inner.best, inner.high, "g")
        if hit[1].unit not in ("g", "kg", "ml", "l", "oz"):
            return None
        return hit[0], self.value_of(inner, hit[1])

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
        if inner is None or (inner.bare and not inner.of_a):
            return None
        j = inner.end
        if self.w.get(j) in DASHES:
            j += 1
        hit = self.unit(j, inner.literal)
        if hit is None:
            if self.w.get(j) in _LENGTHS:
                return self._length(inner, j)
            return None
        value = self.value_of(inner, hit[1])
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
        return Measure(
            j + 1, AmountValue(n.low, n.best, n.high, "piece", noun.noun, content=content)
        )

    def _bracketed(self, n: Numeral, i: int) -> Measure | None:
        """ "1 (400 g) tin", "2 (14 oz) cans": the contents in brackets before the container."""
        w, inner = self.w, self.at[i]
        j = inner.end + 1 if w.get(inner.end) in DASHES else inner.end
        hit = self.unit(j, inner.literal)
        if hit is None or w.get(hit[0]) != ")":
            return None
        return self._holder(n, self.value_of(inner, hit[1]), hit[0] + 1)

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
        if (w.get(j) in _LENGTH_PIECES and w.get(j + 1) == "of") or (
            w.get(j) in _LENGTH_PIECES and nounish(w, j + 1)
        ):
            j += 1
        elif w.get(j) != "of" or w.get(j + 1) in ("water", "oil", "space", "each"):
            return None
        return Measure(j, AmountValue(n.low, n.best, n.high, "piece", name))

    # units without number -----------------------------------------------------

    def lone_unit(self, i: int, start: int) -> Measure | None:
        """ "no, sorry, tablespoon", "tsp cumin", "tin of tomatoes": one, or a corrected unit."""
        w = self.w
        before, after = w.get(start - 1), w.get(i + 1)
        hit = self.unit(i, False)
        if hit is not None:
            end, unit = hit
            if w.get(i) in _NOT_ALONE or unit.unit in ("kcal", "kJ"):
                return None
            corrected = before in _LONE_BEFORE or not before or before == "not"
            and_half = w.get(end) == "and" and w.get(end + 1) in ("a", "half")
            and_half = and_half and "half" in w.text[end + 1 : end + 3]
            if not (corrected or and_half or w.get(end) == "of"):
                return None
            spoons = unit.unit in ("tsp", "tbsp", "cup")
            if before == "of" or not (spoons or corrected or and_half):
                return None
            value = AmountValue(unit.low, unit.best, unit.high, unit.unit, article=True)
            return Measure(*self.tail(ONE, end, value, unit))
        noun = self._noun(i, counted=False)
        opens = not before or before in (",", ".", ":", "\n")
        if noun is not None and start < i and opens and noun.role in ("count", "container"):
            return Measure(i + 1, AmountValue(1, 1, 1, "piece", noun.noun, article=True))
        if noun is None or after != "of" or before in ("the", "that", "this", "in", "a", "of"):
            return None
        if w.get(i) in _verbs() and (tag(w, i)[:2] in ("VB", "MD") or noun.noun in _NEVER_ALONE):
            return None
        if w.get(i) != noun.noun or before in (
            "your",
            "my",
            "our",
            "its",
            "their",
            "each",
            "every",
        ):
            return None
        if before.endswith("ing") or (i and tag(w, i - 1)[:2] in ("JJ", "NN", "PR", "DT")):
            return None
        return Measure(i + 1, AmountValue(1, 1, 1, "piece", noun.noun, article=True))


_NOT_ALONE: Final = bag("cups pound pounds pt c l g t oz mill mills cal")
_NEVER_ALONE: Final = bag("half head hand heart round star ring shot net tail rest bar")
# Count nouns that hold a weight: "a 250 g block", "a 30 g scoop".
_HOLDERS: Final = bag("block ball bar loaf roll fillet bunch sheet slice square")
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
