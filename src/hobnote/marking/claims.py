"""Mark stated nutrition figures: "450 calories a portion", "31 g of protein", "protein's about 30".

An energy figure that measures a food ("150 calories of couscous") is an
amount, and "protein powder" is a food: neither is a claim.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import approximately, boundary, ish_after, nounish
from hobnote.marking.lexing import Words, lex
from hobnote.marking.marks import CLAIM, TEMPERATURE, TIME, ClaimValue, put
from hobnote.marking.numerals import Numeral, numerals
from hobnote.marking.scopes import near_scope, scope
from hobnote.marking.tables import Phrases, bag, phrase_list, rows, unit_words, word_list

NAME: Final = "hobnote_claims"
_ENERGY_UNITS: Final = frozenset(("kcal", "kJ"))
_FILL: Final = bag("of in for the about around roughly only just is 's at : , - or so")
_WORTH: Final = frozenset(("worth", "'s", "'", "’"))
_NAMING: Final = bag("of from in")


@cache
def nutrients() -> Phrases[str]:
    """Spoken nutrient words -> energy, protein, fat, carbohydrate or fibre."""
    return Phrases(
        (word, row["nutrient"])
        for row in rows("nutrient_words.csv")
        for word in row["words"].split("|")
    )


@cache
def short_nutrients() -> dict[str, str]:
    """Letters and clippings that name a nutrient only beside an energy figure."""
    return {
        word: row["nutrient"]
        for row in rows("nutrient_words.csv")
        for word in row["short"].split("|")
        if word
    }


@dataclass(slots=True)
class _Claim:
    start: int
    end: int
    nutrient: str
    low: float
    high: float
    unit: str
    strong: bool


class _Reader:
    def __init__(self, w: Words, found: list[Numeral]) -> None:
        self.w, self.found = w, found
        self.at = {n.start: n for n in found}
        self.taken = w.covered(TIME, TEMPERATURE)

    def read(self) -> list[_Claim]:
        """All claims, strong ones first found; weak ones kept only beside strong ones."""
        claims = []
        done = 0
        for n in self.found:
            if n.start < done or n.start in self.taken or n.vague or n.grid:
                continue
            claim = self._energy(n) or self._after(n) or self._before(n) or self._alone(n)
            if claim is not None:
                claims.append(claim)
                done = claim.end
        if any(c.strong for c in claims) or len({c.nutrient for c in claims}) > 1:
            claims += self._short(claims) + self._unitless(claims) + self._same_again(claims)
            return sorted(claims, key=lambda c: c.start)
        return [c for c in claims if scope(self.w, c.start, c.end) is not None or self._stated(c)]

    def _alone(self, n: Numeral) -> _Claim | None:
        """ "the dressing by itself is seventy": a part's energy without its unit."""
        w = self.w
        before = w.text[max(0, n.start - 6) : n.start]
        named = not word_list("components").isdisjoint(before)
        if not named or n.best < 10 or w.get(n.start - 1) not in _IS or not boundary(w, n.end):
            return None
        if not any(phrase_list("by_itself").at(w.text, i) for i in range(n.start - 5, n.start)):
            return None
        return _Claim(n.start, n.end, "energy", n.low, n.high, "kcal", True)

    def _energy(self, n: Numeral) -> _Claim | None:
        """ "450 calories", "1,900 kJ", unless it measures a food."""
        w = self.w
        hit = unit_words().at(w.text, ish_after(w, n.end)[0])
        if hit is None or hit[1].unit not in _ENERGY_UNITS or n.best < 5:
            return None
        end = hit[0]
        if self._measures_food(n, end) or self._difference(n.start, end):
            return None
        strong = not (w.get(n.start - 1) in ("a", "an", "the") or nounish(w, end))
        return _Claim(n.start, end, "energy", n.low, n.high, hit[1].unit, strong)

    def _difference(self, start: int, end: int) -> bool:
        """ "plus seventy calories", "ten calories less": what a change adds, not the dish."""
        w = self.w
        if not word_list("differences_before").isdisjoint(w.text[max(0, start - 2) : start]):
            return True
        return phrase_list("differences_after").at(w.text, end) is not None

    def _unitless(self, claims: list[_Claim]) -> list[_Claim]:
        """Energy without its unit: "415. Protein 17", "and mine's two fifty" after a figure."""
        w, found = self.w, []
        taken = {i for c in claims for i in range(c.start, c.end)}
        energies = [c for c in claims if c.nutrient == "energy"]
        macros = [c for c in claims if c.nutrient != "energy"]
        for n in self.found:
            if n.start in taken or n.start in self.taken or n.vague or n.bare or n.best < 50:
                continue
            leads = any(0 < c.start - n.end <= 2 for c in macros) and n.best <= 2500
            if (
                leads
                and boundary(w, n.end)
                and not any(0 <= n.start - c.end <= 1 for c in energies)
            ):
                found.append(_Claim(n.start, n.end, "energy", n.low, n.high, "kcal", True))
                continue
            whose = w.get(n.start - 2)
            own = whose in _OWN or whose in word_list("components")
            own = own and w.get(n.start - 1) in ("'s", "is")
            like = any(0.4 <= n.best / c.low <= 2.5 for c in energies if c.end < n.start)
            if own and like and boundary(w, n.end) and w.get(n.end) not in unit_words():
                found.append(_Claim(n.start, n.end, "energy", n.low, n.high, "kcal", True))
        return found

    def _same_again(self, claims: list[_Claim]) -> list[_Claim]:
        """ "400 calories and 56 protein, so 200 calories and 28 grams each"."""
        w, found = self.w, []
        named = [c for c in claims if c.nutrient != "energy"]
        for c in claims:
            n = self.at.get(c.end + 1) if w.get(c.end) == "and" else None
            if c.nutrient != "energy" or n is None:
                continue
            hit = unit_words().at(w.text, n.end)
            before = [m for m in named if m.end <= c.start]
            taken = any(m.start <= n.start < m.end for m in claims)
            if hit and hit[1].unit == "g" and before and not taken and boundary(w, hit[0]):
                name = before[-1].nutrient
                found.append(_Claim(n.start, hit[0], name, n.low, n.high, "g", True))
        return found

    def _short(self, claims: list[_Claim]) -> list[_Claim]:
        """ "435 cal, 38p, 51c, 8f": letters for nutrients right after an energy figure."""
        w, found = self.w, []
        ends = [c.end for c in claims if c.nutrient == "energy"]
        taken = {i for c in claims for i in range(c.start, c.end)}
        for n in self.found:
            name = short_nutrients().get(w.get(n.end))
            if name is None or n.start in taken or n.best > 300:
                continue
            if any(0 <= n.start - end <= 3 for end in ends):
                found.append(_Claim(n.start, n.end + 1, name, n.low, n.high, "g", True))
                ends.append(n.end + 1)
        return found

    def _measures_food(self, n: Numeral, end: int) -> bool:
        """ "150 calories of couscous", "100 calories' worth", "200 kcal rice"."""
        w = self.w
        if w.get(end) in _WORTH:
            return True
        if w.get(end) == "of" and w.get(end + 1) not in ("energy", "it", "that"):
            return not self._whose(end)
        return False

    def _whose(self, end: int) -> bool:
        """ "90 calories of that is the dressing": a share of the dish, still a claim."""
        return self.w.get(end + 1) in ("which", "that", "those", "it")

    def _after(self, n: Numeral) -> _Claim | None:
        """ "31 g of protein", "31 protein", "30 to 35 grams protein"."""
        w = self.w
        if n.bare:
            return None
        j, grams = n.end, False
        hit = unit_words().at(w.text, j)
        if hit is not None:
            if hit[1].unit != "g" or hit[1].best != 1:
                return None
            j, grams = hit[0], True
        if w.get(j) in ("of", "-") or (w.get(j) == "in" and grams):
            j += 1
        name = nutrients().at(w.text, j)
        if name is None or name[1] == "energy" or self._food_name(name[0], grams):
            return None
        if w.get(n.end) in ("%", "percent") or n.best > 300:
            return None
        end, nutrient = name
        strong = nutrient in ("protein", "carbohydrate", "fibre") and (grams or not nounish(w, end))
        return _Claim(n.start, end, nutrient, n.low, n.high, "g", strong)

    def _food_name(self, end: int, grams: bool) -> bool:
        """ "30 g protein powder", "20 g fat-free": the nutrient is part of a food's name."""
        w = self.w
        after = w.get(end)
        if after in word_list("not_claim_after"):
            return True
        return after == "-" and w.get(end + 1) in ("free", "rich", "reduced")

    def _before(self, n: Numeral) -> _Claim | None:
        """ "protein 31", "protein is about 31 g", "calories come to 520"."""
        w = self.w
        hit = unit_words().at(w.text, n.end)
        unit, end = "g", n.end
        if hit is not None:
            if hit[1].unit not in ("g", "kcal", "kJ") or hit[1].best != 1:
                return None
            unit, end = hit[1].unit, hit[0]
        elif nounish(w, n.end) and w.get(n.end) not in _SOFT_AFTER:
            return None
        i = n.start - 1
        steps = 0
        links = word_list("claim_verbs")
        while (
            i >= 0 and steps < 5 and (w.text[i] in links or w.text[i] in _FILL or w.text[i] in _TO)
        ):
            if w.text[i] in ("with", "under", "make", ","):
                return None
            i -= 1
            steps += 1
        for length in (2, 1):
            name = nutrients().at(w.text, i - length + 1) if i - length + 1 >= 0 else None
            if name is not None and name[0] == i + 1:
                break
        else:
            return None
        if self._counted(i - length, name[1]) or w.get(end) == "of":
            return None
        if name[1] == "energy":
            if n.best < 20 or (unit == "g" and hit is not None):
                return None
            unit = "kcal" if hit is None else unit
            return _Claim(i - length + 1, end, "energy", n.low, n.high, unit, steps > 0)
        if unit != "g" or n.best > 300:
            return None
        return _Claim(
            i - length + 1, end, name[1], n.low, n.high, "g", name[1] != "fat" and steps > 0
        )

    def _counted(self, i: int, nutrient: str) -> bool:
        """The nutrient word already belongs to the number before it: "31 protein, 40 carbs"."""
        w = self.w
        while i >= 0 and w.text[i] in ("of", "g", "gram", "grams", "-", "in"):
            i -= 1
        ends = {n.end - 1 for n in self.found}
        return i in ends or w.get(i) in ("low", "high", "more", "extra", "much", "full", "%")

    def _stated(self, c: _Claim) -> bool:
        """A weak figure counts where words state it: "it's", "comes to", "macros"."""
        before = self.w.text[max(0, c.start - 5) : c.start]
        return any(
            x in ("macros", "comes", "works", "totals", "clocks", "contains") for x in before
        )


_TO: Final = bag("to out up by total")
_IS: Final = bag("is 's about at around roughly has adds")
_OWN: Final = bag("it mine ours this")
_SOFT_AFTER: Final = bag("per each total ish altogether max")


@Language.component(NAME)
def claims(doc: Doc) -> Doc:
    """Mark every stated nutrition figure in ``doc`` with a :class:`ClaimValue`."""
    w = lex(doc)
    if nutrients().firsts().isdisjoint(w.text) and "itself" not in w.text and "own" not in w.text:
        return doc
    found = numerals(doc)
    if not found:
        return doc
    reader = _Reader(w, found)
    for c, said_of in _scoped(reader, reader.read()):
        start, _ = approximately(w, c.start)
        end, _ = ish_after(w, c.end)
        value = ClaimValue(c.nutrient, c.low, c.high, c.unit, said_of)
        put(doc, CLAIM, *w.span(start, end), value)
    return doc


def _scoped(reader: _Reader, found: list[_Claim]) -> list[tuple[_Claim, str | None]]:
    """Claims with their scopes; figures in one list ("520 kcal, 38 protein") share one."""
    w = reader.w
    scopes = [near_scope(w, c.start, c.end) for c in found]
    for order in (range(1, len(found)), range(len(found) - 2, -1, -1)):
        for k in order:
            other = k - 1 if order.step == 1 else k + 1
            first, second = found[min(k, other)], found[max(k, other)]
            anew = other < k and found[k].nutrient == "energy"
            if scopes[k] is None and not anew and second.start - first.end <= 4:
                scopes[k] = scopes[other]
    for k, c in enumerate(found):
        if scopes[k] is None:
            scopes[k] = scope(w, c.start, c.end)
    return list(zip(found, scopes, strict=True))
