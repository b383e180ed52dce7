"""Mark amounts said against another: "half as much", "the same again", "the rest of the stock".

A comparison ("twice as much water as lentils") has ``of_rest`` False; a share
of something already there ("the rest", "half of it", "half the butter") has
``of_rest`` True.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import nounish, tag
from hobnote.marking.lexing import Words, lex
from hobnote.marking.marks import (
    AMOUNT,
    CLAIM,
    PORTIONS,
    RELATIVE,
    TEMPERATURE,
    TIME,
    RelativeValue,
    put,
)
from hobnote.marking.numerals import Numeral, numerals
from hobnote.marking.spelled import FRACTIONS
from hobnote.marking.tables import Phrases, bag, rows

NAME: Final = "hobnote_relative"
_DETERMINERS: Final = bag("the that this those these your my our some")
_PRONOUNS: Final = bag("it that this them those these")
_BY: Final = {
    "weight": "weight", "weights": "weight", "grams": "weight", "mass": "weight",
    "volume": "volume", "volumes": "volume", "cups": "volume",
}  # fmt: skip
_MEASURES: Final = bag("amount quantity weight volume amounts quantities number")
_NOT_SHARED: Final = bag(
    "time way heat recipe battle fun people point night day morning week calories fat sugar "
    "salt price size carbs protein minutes minute hour hours oven pan pans tray job world "
    "trick work"
)


@dataclass(frozen=True, slots=True)
class Frame:
    """``factor`` of what; ``kind``: compare, again, share or equal."""

    kind: str
    factor: float


@cache
def _frames() -> Phrases[Frame]:
    return Phrases(
        (r["phrase"], Frame(r["kind"], float(r["factor"]))) for r in rows("relative_phrases.csv")
    )


class _Reader:
    def __init__(self, doc: Doc, w: Words, found: list[Numeral]) -> None:
        self.doc, self.w = doc, w
        self.at = {n.start: n for n in found}
        self.done = 0

    def put(self, start: int, end: int, value: RelativeValue) -> bool:
        put(self.doc, RELATIVE, *self.w.span(start, end), value)
        self.done = end
        return True

    def reference(self, i: int) -> tuple[int, str | None]:
        """The noun phrase at ``i`` (determiner dropped): (end, text)."""
        w = self.w
        j = i
        while w.get(j) in _DETERMINERS and w.get(j + 1):
            j += 1
        start = j
        while j < start + 3 and nounish(w, j) and not (j > start and tag(w, j) == "VBN"):
            j += 1
        if j == start:
            return (i + 1, None) if w.get(i) in _PRONOUNS else (i, None)
        return j, " ".join(w.text[start:j])

    def by(self, i: int) -> tuple[int, str | None]:
        """ "by weight", "in volume" at ``i``."""
        w = self.w
        if w.get(i) in ("by", "in") and w.get(i + 1) in _BY:
            return i + 2, _BY[w.get(i + 1)]
        return i, None

    def frame(self, i: int) -> bool:
        """A phrase of the data file at ``i``."""
        hit = _frames().at(self.w.text, i)
        if hit is None:
            return False
        end, frame = hit
        if frame.kind == "compare":
            return self.compare(i, end, frame.factor)
        if frame.kind == "rest":
            return self.rest(i, end, frame.factor)
        if frame.kind == "times":
            return self.times(i, end, frame.factor)
        return self.same(i, end, frame.factor)

    def compare(self, i: int, end: int, factor: float) -> bool:
        """ "half as much (oats) as milk", "twice as much water as lentils"."""
        w = self.w
        _, by = self.by(end)
        for j in range(end, min(len(w), end + 6)):
            if w.text[j] in (",", ".", "\n", "and", "then"):
                break
            if w.text[j] == "as" and w.get(j + 1) not in ("you", "possible", "needed", "i", "we"):
                if factor == 1.0 and j == end:
                    return False
                _stop, reference = self.reference(j + 1)
                if w.get(j + 1) in ("the", "before", "last") and reference is None:
                    break
                return self.put(i, end, RelativeValue(factor, reference, by))
            if w.text[j] == "as":
                return False
        if factor == 1.0 and w.get(end - 1) == "much":
            return False
        again = w.get(end) == "again"
        return self.put(i, end + again, RelativeValue(factor + (1.0 if again else 0.0), None, by))

    def same(self, i: int, end: int, factor: float) -> bool:
        """ "the same again", "same weight of oats as milk", "equal parts", "double the butter"."""
        w = self.w
        by = next((_BY[x] for x in w.text[i:end] if x in _BY), None)
        reference = None
        stop = end
        for j in range(end, min(len(w), end + 7)):
            if w.text[j] in (",", ".", "\n"):
                break
            if w.text[j] == "as" and w.get(j + 1) not in ("before", "last"):
                _, reference = self.reference(j + 1)
                break
        if by is None:
            stop, by = self.by(end)
        return self.put(i, stop, RelativeValue(factor, reference, by))

    def times(self, i: int, end: int, factor: float) -> bool:
        """ "twice the weight of the flour", "double that", "half the amount of sugar"."""
        w = self.w
        if w.get(end) in ("that", "this", "it") and not nounish(w, end + 1):
            if factor < 1 and w.get(end) == "it":
                return False
            stop = end + 1
            return self.put(i, stop, RelativeValue(factor, None, None))
        if w.get(end) in ("the", "that") and w.get(end + 1) in _MEASURES:
            by = _BY.get(w.get(end + 1))
            if w.get(end + 2) in ("of", "as"):
                _, reference = self.reference(end + 3)
                return self.put(i, end + 2, RelativeValue(factor, reference, by))
            return self.put(i, end + 2, RelativeValue(factor, None, by))
        if w.get(end) == "the" and nounish(w, end + 1) and factor > 1:
            if w.get(end + 1) in _NOT_SHARED:
                return False
            _, reference = self.reference(end + 1)
            return self.put(i, end + 1, RelativeValue(factor, reference, None))
        return False

    def rest(self, i: int, end: int, factor: float) -> bool:
        """ "the rest of the stock", "the remaining oil", "the other half", "what's left"."""
        w = self.w
        if w.text[end - 1] in ("remaining", "leftover", "reserved"):
            if not nounish(w, end) or w.get(end) in _NOT_SHARED:
                return False
            _, reference = self.reference(end)
            return self.put(i, end, RelativeValue(factor, reference, of_rest=True))
        reference = None
        if w.get(end) == "of":
            stop, reference = self.reference(end + 1)
            if reference is not None and not _NOT_SHARED.isdisjoint(reference.split()):
                return False
            end = stop if reference is None else end + 1
        elif w.get(end) == "is" or w.get(end) in ("time", "up"):
            return False
        return self.put(i, end, RelativeValue(factor, reference, of_rest=True))

    def share(self, i: int) -> bool:
        """ "half of it", "half the butter", "a third of the stock", "three quarters of that"."""
        w = self.w
        n = self.at.get(i)
        if n is None or not n.bare or n.best >= 1:
            return False
        end = n.end
        if w.get(end) == "of":
            end += 1
        if w.get(end) not in _DETERMINERS | _PRONOUNS | {"what"} or w.get(end) == "some":
            return False
        if w.get(end) in ("the", "that") and w.get(end + 1) in _MEASURES:
            return self.times(i, end, n.best)
        if end == n.end and w.get(end) in ("that", "this") and not nounish(w, end + 1):
            return self.put(i, end + 1, RelativeValue(n.best))
        stop, reference = self.reference(end)
        if reference is not None and not _NOT_SHARED.isdisjoint(reference.split()):
            return False
        if reference is None and w.get(end) not in _PRONOUNS:
            return False
        mark_end = stop if reference is None else end + 1
        return self.put(i, mark_end, RelativeValue(n.best, reference, of_rest=True))

    def multiple(self, i: int) -> bool:
        """ "three times as much", "2 times the weight of"."""
        w = self.w
        n = self.at.get(i)
        if n is None or w.get(n.end) not in ("times", "x") or n.is_range:
            return False
        end = n.end + 1
        if w.get(end) == "as" and w.get(end + 1) in ("much", "many"):
            return self.compare(i, end + 2, n.best)
        if w.get(end) in ("that", "the"):
            return self.times(i, end, n.best)
        return False


@Language.component(NAME)
def relative(doc: Doc) -> Doc:
    """Mark every relative amount in ``doc`` with a :class:`RelativeValue`."""
    w = lex(doc)
    firsts = _frames().firsts()
    spots = {i for i, word in enumerate(w.text) if word in firsts}
    shares = {i for i, word in enumerate(w.text) if word in FRACTIONS or word in ("times", "x")}
    if not spots and not shares:
        return doc
    found = numerals(doc)
    if shares:
        spots |= {n.start for n in found}
    reader = _Reader(doc, w, found)
    taken = w.covered(TIME, TEMPERATURE, CLAIM, PORTIONS)
    measured = w.covered(AMOUNT)
    for i in sorted(spots):
        if i < reader.done or i in taken:
            continue
        if w.text[i] in firsts and reader.frame(i):
            continue
        if i not in measured:
            _ = reader.multiple(i) or reader.share(i)
    return doc
