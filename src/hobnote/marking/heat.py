"""Mark heat: levels ("medium-high heat", "on low") and changes ("turn it off").

A level word alone ("medium onion", "low fat") is not heat: it needs a heat
word, a preposition that leads to it and no noun after it, or a verb that moves
the heat.
"""

from __future__ import annotations

from functools import cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.context import nounish, tag
from hobnote.marking.lexing import DASHES, Words, lex
from hobnote.marking.marks import HEAT, TEMPERATURE, TIME, HeatValue, put
from hobnote.marking.numerals import numerals
from hobnote.marking.tables import Phrases, bag, rows, time_words, word_list

NAME: Final = "hobnote_heat"
ORDER: Final = ("low", "medium-low", "medium", "medium-high", "high")
_FILL: Final = bag(
    "a an the fairly quite really very just pretty nice nicely your good about super "
    "relatively sort of kind around somewhere between nearly even properly only 's"
)
_PREPOSITIONS: Final = bag("on over at onto under")
_TOWARDS: Final = frozenset(("to", "at", "on", "until", "towards"))
_ADVERBS: Final = bag(
    "right way all the back a bit little touch slightly notch well straight up down away "
    "just as far really smidge tad then again more nice and"
)
_RIGHT: Final = bag("right way all")
_OBJECT_FILL: Final = bag("the your that this my")
# Level words that are plain adjectives of other things too: only beside a heat noun.
_ONLY_WITH_NOUN: Final = bag(
    "small big slow mild tiny soft half full strong brisk hot hottest mid middle middling "
    "roaring fierce screaming ripping gentle gentlest moderate"
)


@cache
def _levels() -> Phrases[str]:
    return Phrases(
        (r["phrase"], r["level"]) for r in rows("heat_levels.csv") if r["kind"] == "level"
    )


@cache
def _fixed() -> Phrases[HeatValue]:
    return Phrases(
        (r["phrase"], HeatValue(r["level"] or None, r["change"] or None))
        for r in rows("heat_levels.csv")
        if r["kind"] == "phrase"
    )


@cache
def _triggers() -> frozenset[str]:
    """Words without one of which no heat can be in a Doc."""
    verbs = bag("turn turned turning crank cranked crack whack whacked")
    return _levels().firsts() | _fixed().firsts() | word_list("heat_nouns") | verbs


def between(low: str, high: str) -> str:
    """The level in the middle of two: low and high -> medium."""
    return ORDER[(ORDER.index(low) + ORDER.index(high)) // 2]


class _Reader:
    def __init__(self, doc: Doc, w: Words) -> None:
        self.doc, self.w = doc, w
        self.nouns = word_list("heat_nouns")
        self.not_heat = word_list("not_heat")
        self.done = 0

    def put(self, start: int, end: int, value: HeatValue) -> None:
        put(self.doc, HEAT, *self.w.span(start, end), value)
        self.done = end

    def level(self, i: int) -> tuple[int, str, bool] | None:
        """A level or a range of levels at ``i``: (end, level, needs a heat noun)."""
        w = self.w
        hit = _levels().at(w.text, i)
        if hit is None:
            return None
        end, level = hit
        needs = end == i + 1 and w.text[i] in _ONLY_WITH_NOUN
        for joint in ("to", "or", "/", "-", "–"):
            if w.get(end) == joint:
                j = end + 1
                while w.get(j) in ("a", "maybe", "even"):
                    j += 1
                second = _levels().at(w.text, j)
                if second and second[1] != level:
                    return second[0], between(*sorted((level, second[1]), key=ORDER.index)), needs
        return end, level, needs

    def noun_after(self, i: int) -> int:
        """The word after a heat noun at ``i``, or ``i``."""
        w = self.w
        j = i + 1 if w.get(i) in DASHES or w.get(i) in ("cooking", "and") else i
        if w.get(j) == "gas" and w.get(j + 1) in ("heat", "flame", "ring"):
            j += 1
        if w.get(j) in self.nouns and not (w.get(j) == "gas" and w.get(j + 1) == "mark"):
            return j + 1
        return i

    def free(self, end: int) -> bool:
        """True when no noun goes on after a level: "on low for" but not "on low fat"."""
        w = self.w
        if w.get(end) in self.not_heat:
            return False
        if w.get(end) in DASHES:
            return False
        return not nounish(w, end) or tag(w, end) == "VBN" or w.get(end) in _AFTER_LEVEL

    def at_level(self, i: int) -> bool:
        """A level word at ``i`` in one of its frames."""
        w = self.w
        hit = self.level(i)
        if hit is None:
            return False
        end, level, needs = hit
        k = i - 1
        while k >= 0 and w.text[k] in _FILL:
            k -= 1
        start = i
        after = self.noun_after(end)
        if after > end:
            led = w.get(k) in _PREPOSITIONS or w.get(k) in _TOWARDS
            if w.get(end) in ("temperature", "gas", "ring", "setting") and not led:
                return False
            self.put(start, after, HeatValue(level, self.moved(k)))
            return True
        if not self.free(end):
            return False
        before = w.get(k)
        if self.follows_noun(k):
            self.put(i, end, HeatValue(level, self.moved(k)))
            return True
        if needs:
            return False
        if self.bare(i, end):
            self.put(i, end, HeatValue(level))
            return True
        if before in _PREPOSITIONS and not self.clock(k):
            self.put(i, end, HeatValue(level, self.moved(k)))
            return True
        moved = w.get(k - 1) in ("down", "up")
        if before in _TOWARDS and (moved or self.verb_before(k)):
            self.put(i, end, HeatValue(level, self.moved(k)))
            return True
        kept = before in ("it", "that", "this") and w.get(k - 1) in ("keep", "turn", "get", "have")
        if (kept or before in ("down", "up")) and self.verb_before(k, 3):
            self.put(i, end, HeatValue(level, self.moved(k)))
            return True
        if before in ("reduce", "lower", "increase", "raise", "go"):
            self.put(i, end, HeatValue(level, self.moved(k)))
            return True
        return False

    def bare(self, i: int, end: int) -> bool:
        """ "medium high for ten", ", low, lid on", "simmer low for an hour"."""
        w = self.w
        compound = (
            w.text[i] in ("medium", "med", "low", "mid")
            and end > i + 1
            and (w.text[end - 1] in ("high", "low", "hot", "medium"))
        )
        if compound:
            return True
        if w.get(i - 1) in word_list("cooking_verbs"):
            return True
        closed = w.get(end) in (",", ".", "", "\n", ";", ")")
        plain = w.text[i] in ("low", "medium", "med", "high")
        if plain and w.get(i - 1) in time_words() and (closed or w.get(end) in ("for", "then")):
            return True  # "ten minutes low"
        since = i
        while since > 0 and i - since < 6 and w.text[since - 1] not in (",", ".", "\n", ";"):
            since -= 1
        cooking = not word_list("cooking_verbs").isdisjoint(w.text[since:i])
        if (
            w.get(end) == "for"
            and cooking
            and w.get(i - 1) not in ("is", "are", "was", "too", "so")
        ):
            return True  # "cook the leeks low for ten minutes"
        return w.get(i - 1) in (",", ".", ":") and closed

    def clock(self, k: int) -> bool:
        """ "on" that belongs to another word: "high up on", "based on"."""
        return self.w.get(k - 1) in ("based", "depending", "keen")

    def follows_noun(self, k: int) -> bool:
        """ "the heat's low", "heat to medium", "hob on medium", "heat up to high"."""
        w = self.w
        steps = 0
        while k >= 0 and steps < 4:
            if w.text[k] in ("heat", "flame", "hob", "ring", "burner", "gas", "stove"):
                return tag(w, k)[:2] != "VB" or w.get(k + 1) in _TOWARDS
            if w.text[k] not in _LINKS:
                return False
            k -= 1
            steps += 1
        return False

    def verb_before(self, k: int, reach: int = 6) -> bool:
        verbs = word_list("heat_verbs")
        return not verbs.isdisjoint(self.w.text[max(0, k - reach) : k])

    def moved(self, k: int) -> str | None:
        """ "up" or "down" said just before a level."""
        for back, word in enumerate(reversed(self.w.text[max(0, k - 4) : k + 1])):
            if not word[0].isalpha() and word != "'s":
                return None
            if word in ("up", "down"):
                return word if back <= 1 else None
            if word in word_list("down_verbs"):
                return "down"
            if word in word_list("up_verbs"):
                return "up"
        return None

    def at_verb(self, i: int) -> bool:
        """ "turn it right down", "crank it up", "turn down the heat", "turn it off"."""
        w = self.w
        verb = w.text[i]
        j, said, right = i + 1, "", False
        named = False
        steps = 0
        while steps < 6:
            word = w.get(j)
            if word in self.nouns:
                named = True
            elif word in ("up", "down", "off") and not said:
                said, right = word, right or bool(_RIGHT & set(w.text[max(i, j - 3) : j]))
            elif word in word_list("heat_things") or word in _OBJECT_FILL:
                pass
            elif not (word in _ADVERBS and (word not in ("and", "then") or False)):
                break
            j += 1
            steps += 1
        while j > i + 1 and w.get(j - 1) in _ADVERBS - {"up", "down"} | {"the"}:
            j -= 1
        if not said:
            implied = "down" if verb in word_list("down_verbs") else "up"
            if not (named and verb in word_list("down_verbs") | word_list("up_verbs")):
                return False
            said = implied
        turning = verb.startswith(("turn", "crank", "whack", "knock", "dial"))
        if not (named or turning) or "oven" in w.text[i : j + 1]:
            return False
        if not named and not self.free(j) and w.get(j) not in ("to", "on"):
            return False
        if not named and w.get(j) == "to" and not self.level_soon(j + 1):
            return False
        if not named and w.get(j - 1) not in (
            "up",
            "down",
            "off",
            "bit",
            "touch",
            "notch",
            "little",
        ):
            return False
        if self.level_soon(j):
            return False
        level = None
        if right and said in ("up", "down"):
            level = "high" if said == "up" else "low"
        elif verb in word_list("hard_verbs") and said == "up":
            level = "high"
        self.put(i, j, HeatValue(level, said))
        return True

    def level_soon(self, j: int) -> bool:
        """A level follows at once, so that its own mark says it all: "turn it down to low"."""
        w = self.w
        while w.get(j) in _TOWARDS or w.get(j) in _FILL:
            j += 1
        return self.level(j) is not None

    def dials(self) -> None:
        """ "hob on 4 of 9", "ring at 6 out of 9", "number 4 on the hob"."""
        w = self.w
        dial = frozenset(("hob", "ring", "induction", "burner", "dial", "knob"))
        if dial.isdisjoint(w.text):
            return
        taken = w.covered(TEMPERATURE, TIME, HEAT)
        found = numerals(self.doc)
        for k, n in enumerate(found):
            if n.start in taken or n.high > 14 or n.bare:
                continue
            before = w.text[max(0, n.start - 5) : n.start]
            if dial.isdisjoint(before) or not {"on", "at", "to", "number"} & set(before[-2:]):
                continue
            end, top = n.end, 9.0
            stop = end + 2 if w.get(end) == "out" else end + 1
            if w.get(end) in ("of", "out", "/") and k + 1 < len(found):
                if found[k + 1].start == stop:
                    top, end = found[k + 1].best, found[k + 1].end
            elif nounish(w, end):
                continue
            if 0 < n.best <= top:
                self.put(n.start, end, HeatValue(dial_level(n.best / top)))


def dial_level(share: float) -> str:
    """The level of a dial turned to ``share`` (0 to 1) of its range: fifths, low to high."""
    return ORDER[min(4, int(share * 5))]


_LINKS: Final = bag(
    "is 's at on to up down right back as a bit the until stays keep it : , fairly quite "
    "very was really too set goes for just again"
)
_AFTER_LEVEL: Final = bag("covered uncovered stirring lid next today again now please maybe heat")


@Language.component(NAME)
def heat(doc: Doc) -> Doc:
    """Mark heat levels and changes in ``doc`` with a :class:`HeatValue`."""
    w = lex(doc)
    triggers = _triggers()
    spots = [i for i, word in enumerate(w.text) if word in triggers or word in _verbs()]
    if not spots:
        return doc
    reader = _Reader(doc, w)
    verbs, fixed, levels = _verbs(), _fixed(), _levels()
    taken = w.covered(TEMPERATURE)
    for i in spots:
        if i < reader.done or i in taken:
            continue
        word = w.text[i]
        hit = fixed.at(w.text, i)
        if hit:
            reader.put(i, *hit)
        elif not (word in levels and reader.at_level(i)) and word in verbs:
            reader.at_verb(i)
    reader.dials()
    return doc


@cache
def _verbs() -> frozenset[str]:
    return word_list("heat_verbs")
