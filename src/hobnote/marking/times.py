"""Mark lengths of time: "8 to 10 minutes", "an hour and a half", "overnight".

Values are minutes. "Another two minutes" is marked ``more``. Clock times,
ages and "ago" are left alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import MORE_AFTER, MORE_BEFORE, approximately, ish_after, nounish
from hobnote.marking.lexing import DASHES, Words, lex
from hobnote.marking.marks import TIME, TimeValue, put
from hobnote.marking.numerals import MAYBE, TO, Numeral, numerals
from hobnote.marking.spelled import FRACTIONS
from hobnote.marking.tables import Phrases, bag, rows, time_words, unit_words

NAME: Final = "hobnote_times"
_FOR_WORDS: Final = bag(
    "for about another a within after least in around give leave it every of to or until over"
)
_LATER: Final = frozenset(("ago", "old"))


@dataclass(frozen=True, slots=True)
class _Length:
    end: int
    low: float
    high: float
    unit: float
    more: bool = False
    approximate: bool = False


@cache
def _phrases() -> Phrases[tuple[float, float]]:
    return Phrases(
        (r["phrase"], (float(r["low"]), float(r["high"]))) for r in rows("time_phrases.csv")
    )


def _unit(w: Words, i: int, literal: bool) -> float | None:
    """Minutes of the time word at ``i``."""
    found = time_words().get(w.get(i))
    if found is None or (found[1] and not literal):
        return None
    return found[0]


class _Reader:
    """Reads lengths of time over one Doc's words."""

    def __init__(self, w: Words, found: list[Numeral]) -> None:
        self.w = w
        self.at = {n.start: n for n in found}

    def length(self, i: int) -> _Length | None:
        """One length, with its tail ("and a half", "20 min") and its range."""
        first = self._single(i)
        if first is None:
            return None
        first = self._tail(first)
        return self._range(i, first)

    def _single(self, i: int) -> _Length | None:
        w = self.w
        n = self.at.get(i)
        if n is None:
            return self._article(i)
        j, more = n.end, False
        if w.get(j) in MORE_AFTER:
            j, more = j + 1, True
        if w.get(j) in ("of", "full", "good", "whole", "solid", "short", "long"):
            j += 1
        if w.get(j) in DASHES:
            j += 1
        literal = n.literal and j == n.end
        unit = _unit(w, j, literal)
        if unit is None:
            return None
        if n.bare and n.best not in (0.5, 0.25, 0.75):
            return None
        low, high = n.pair or (n.low, n.high)
        if w.get(j + 1) in MORE_AFTER and w.get(j + 2) != "or":
            j, more = j + 1, True
        return _Length(j + 1, low * unit, high * unit, unit, more, n.approximate)

    def _article(self, i: int) -> _Length | None:
        """ "a minute", "an hour", "another minute"; "one" is a number and not here."""
        w = self.w
        word = w.get(i)
        if word not in ("a", "an", "another", "half"):
            return None
        j = i + 1
        more = word == "another" or w.get(j) in MORE_BEFORE
        if w.get(j) in MORE_BEFORE or w.get(j) in ("good", "full", "whole", "solid", "quick"):
            j += 1
        unit = _unit(w, j, False)
        if unit is None:
            return None
        plain = w.get(j + 1) in ("or", "to", "and") or (w.get(j + 1) == "-" and unit < 1440) or more
        if unit < 1 and not plain:
            return None
        if unit >= 1440 and w.get(i - 1) not in _FOR_WORDS and not plain:
            return None
        if unit >= 1440 and more and w.get(i - 1) not in ("for", "leave", "after", "give"):
            return None
        return _Length(j + 1, unit, unit, unit, more)

    def _tail(self, first: _Length) -> _Length:
        """Add "and a half", "20 min", "and twenty minutes", or a bare "20" after hours."""
        w, j = self.w, first.end
        joined = w.get(j) == "and"
        k = j + 1 if joined or w.get(j) == "," else j
        n = self.at.get(k)
        if n is not None and first.low == first.high:
            small = _unit(w, n.end, n.literal)
            if small is not None and small < first.unit and n.best * small < first.unit:
                return self._plus(first, n.end + 1, n.low * small, n.high * small)
            if joined and n.bare and w.get(n.end) != "of":
                return self._plus(first, n.end, n.best * first.unit, n.best * first.unit)
            if w.get(j) != "," and first.unit == 60 and small is None and self._minutes(n):
                return self._plus(first, n.end, n.low, n.high)
        if joined and w.get(k) in ("a", "another"):
            name = w.get(k + 1)
            if name in FRACTIONS and w.get(k + 2) not in ("of", "an"):
                extra = FRACTIONS[name] * first.unit
                return self._plus(first, k + 2, extra, extra)
        return first

    def _minutes(self, n: Numeral) -> bool:
        """ "an hour 20": a bare number of minutes that no other unit claims."""
        w = self.w
        after = w.get(n.end)
        return (
            5 <= n.best < 60
            and not n.bare
            and after not in unit_words()
            and after not in ("degrees", "degree", "°", "c", "f", "%", "percent", "fan")
            and (w.token[n.start] == w.token[n.start - 1] or n.best % 5 == 0)
            and not (after and after[0].isalpha() and after not in _FOLLOWS)
        )

    @staticmethod
    def _plus(first: _Length, end: int, low: float, high: float) -> _Length:
        return _Length(
            end, first.low + low, first.high + high, first.unit, first.more, first.approximate
        )

    def _range(self, start: int, first: _Length) -> _Length:
        """ "a minute or two", "10 minutes to a quarter of an hour", "8, maybe 10"."""
        w, j = self.w, first.end
        joint = w.get(j)
        comma = joint == ","
        if (
            joint in TO
            or joint in MAYBE
            or comma
            or (joint == "and" and w.get(start - 1) == "between")
        ):
            j += 1
        else:
            return first
        maybe = joint in MAYBE
        while (
            w.get(j) in MAYBE
            or w.get(j) in ("up", "about", "around")
            or (w.get(j) == "or" and comma)
        ):
            maybe = True
            j += 1
        if comma and not maybe:
            return first
        if first.low != first.high:
            return first
        second = self._single(j)
        if second is not None:
            second = self._tail(second)
            if first.high < second.high <= 12 * first.high:
                return _Length(second.end, first.low, second.high, first.unit, first.more,
                               first.approximate)  # fmt: skip
            return first
        n = self.at.get(j)
        if n is None or n.bare or (n.is_range and joint != "or"):
            return first
        high = n.high * first.unit
        after = w.get(n.end)
        measured = after in unit_words() or after in ("degrees", "degree", "°", "%", "percent")
        if measured or not first.high < high <= 3 * first.high:
            return first
        idiom = w.get(start) in ("a", "an") and n.best == 2  # "a minute or two" needs no noun
        if nounish(w, n.end) and after not in _FOLLOWS and not idiom:
            return first
        return _Length(n.end, first.low, high, first.unit, first.more, first.approximate)


_FOLLOWS: Final = bag(
    "and then until till or so at on in with for from before after if when but while max "
    "tops more total i you we it that the to as minus plus maybe"
)


@Language.component(NAME)
def times(doc: Doc) -> Doc:
    """Mark every length of time in ``doc`` with a :class:`TimeValue` in minutes."""
    w = lex(doc)
    words, phrases = time_words(), _phrases()
    firsts = phrases.firsts()
    units = [i for i, word in enumerate(w.text) if word in words or word in firsts]
    if not units:
        return doc
    found = numerals(doc)
    reader = _Reader(w, found)
    starts = sorted(
        {n.start for n in found}
        | {i for i in units if w.text[i] in firsts}
        | {
            i - k
            for i in units
            for k in (1, 2, 3)
            if w.get(i - k) in ("a", "an", "another", "half")
        }
    )
    done = 0
    for i in starts:
        if i < done:
            continue
        length = _phrase(w, i) or reader.length(i)
        if length is None or w.get(length.end) in _LATER:
            continue
        done = _mark(doc, w, i, length)
    return doc


def _phrase(w: Words, i: int) -> _Length | None:
    hit = _phrases().at(w.text, i)
    if hit is None:
        return None
    end, (low, high) = hit
    return _Length(end, low, high, high, approximate=low != high)


def _mark(doc: Doc, w: Words, start: int, length: _Length) -> int:
    """Write the mark; return the word after it."""
    more = length.more or w.text[start] == "another"
    first, about = approximately(w, start)
    while first > 0 and w.text[first - 1] in MORE_BEFORE:
        more, first = True, first - 1
        if first > 0 and w.text[first - 1] in ("a", "an"):
            first -= 1
    end, ish = ish_after(w, length.end)
    if w.get(end) in MORE_AFTER and w.get(end + 1) != "or" and w.get(end - 1) in time_words():
        more, end = True, end + 1
    value = TimeValue(
        round(length.low, 4), round(length.high, 4), more, length.approximate or about or ish
    )
    put(doc, TIME, *w.span(first, end), value)
    return end
