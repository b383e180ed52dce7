"""Proposes what a speech recogniser probably mis-heard; it changes no text.

Three kinds of evidence, surest first: pairs known to be confused
(``data/mishearings.csv``) where their place fits; two to four words that
together sound like a food; one word after a measure, or where else only a food
fits, that is no food and sounds like one. The component ``hobnote_mishearings``
may run after foods and amounts are marked and uses their marks, but needs none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from typing import Final, NamedTuple

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking import sounds
from hobnote.marking.marks import MISHEARD, MishearingValue, put
from hobnote.marking.places import Places, singulars
from hobnote.marking.soundalikes import Soundalikes
from hobnote.marking.tables import rows
from hobnote.pantry import open_pantry

LONGEST: Final = 4
"""Most words taken together for one mis-heard name."""
LISTED_SCORES: Final = {
    "any": 0.95,
    "measure": 0.9,
    "object": 0.85,
    "number": 0.9,
    "food": 0.85,
    "dough": 0.9,
    "quality": 0.85,
}
AFTER_MEASURE: Final = 0.80
"""Least likeness of one word to a food straight after a measure."""
IN_PLACE: Final = 0.91
"""Least likeness of one word where a food is likely, but not certain, to follow."""
SHORTEST_RARER: Final = 5
"""Fewest letters of a pantry name outside ``data/food_sounds.csv`` that may be proposed."""
TOGETHER: Final = 0.84
"""Least likeness of several words, together, to one food."""


class Pair(NamedTuple):
    """One row of ``data/mishearings.csv``."""

    heard: tuple[str, ...]
    meant: str
    kind: str
    context: str
    not_after: frozenset[str]
    not_before: frozenset[str]


class Mishearings:
    """Callable component. ``vocabulary`` maps the surface forms of known foods to their names."""

    def __init__(self, vocabulary: Mapping[str, str] | None = None) -> None:
        common = {row["name"]: row["name"] for row in rows("food_sounds.csv")}
        self.vocabulary = {**common, **(vocabulary or {})}
        names = set(self.vocabulary.values())
        self.alike = Soundalikes(n for n in names if n.isalpha() and len(n) >= SHORTEST_RARER)
        self.pairs: dict[str, list[Pair]] = {}
        for row in rows("mishearings.csv"):
            heard = tuple(row["heard"].split())
            before, after = row["not_after"].split(), row["not_before"].split()
            pair = Pair(
                heard, row["meant"], row["kind"], row["context"], frozenset(before),
                frozenset(after),
            )  # fmt: skip
            self.pairs.setdefault(heard[0], []).append(pair)
        self.listed = {
            h for h, known in self.pairs.items() if any(len(p.heard) == 1 for p in known)
        }
        for known in self.pairs.values():
            known.sort(key=lambda p: -len(p.heard))

    def __call__(self, doc: Doc) -> Doc:
        places = Places(doc, self.vocabulary)
        i = 0
        while i < len(doc):
            found = (
                self._listed(places, i, surest=True)
                or self._together(places, i)
                or self._listed(places, i)
                or self._alone(places, i)
            )
            if found is None:
                i += 1
                continue
            end, value = found
            _put(doc, places, i, end, value)
            i = end
        return doc

    def _listed(
        self, places: Places, i: int, surest: bool = False
    ) -> tuple[int, MishearingValue] | None:
        """The longest known pair whose place fits.

        With ``surest`` only pairs of several words, and qualities before a food: these
        go before what several words sound like together.
        """
        words = places.words
        for pair in self.pairs.get(words[i], ()):
            end = i + len(pair.heard)
            if tuple(words[i:end]) != pair.heard:
                continue
            if surest and len(pair.heard) < 2 and pair.context != "quality":
                continue
            refused = places.before(i) in pair.not_after or places.after(end) in pair.not_before
            if refused and not (pair.kind == "food" and places.has_part(end)):
                continue
            if places.fits(pair.context, i, end):
                score = LISTED_SCORES[pair.context]
                heard = places.text(i, end)
                return end, MishearingValue(heard, pair.meant, score, pair.kind, "list")
        return None

    def _together(self, places: Places, i: int) -> tuple[int, MishearingValue] | None:
        """Two to four words, where a food may stand, that sound like one food."""
        if not places.starts_phrase(i):
            return None
        measured = places.straight_after_measure(i)
        best: tuple[float, int, str] | None = None
        for end in range(i + 2, places.run_end(i, LONGEST) + 1):
            words = places.words[i:end]
            names = self.alike.same_frame(words)
            if not names and measured and end - i <= 3:
                names = [self.alike.best(sounds.phrase(" ".join(words)))[0]]
            names = [n for n in names if n and places.is_odd(i, end, n)]
            loose = places.is_loose(i, end)
            if not names or (loose and end - i == 2) or self._holds_name(words, names, measured):
                continue
            name, likeness = self.alike.best(sounds.phrase(" ".join(words)), names)
            least = IN_PLACE if loose or self.alike.is_name(words[0]) else TOGETHER
            if likeness >= least and (best is None or likeness > best[0]):
                best = (likeness, end, name)
        if best is None:
            return None
        score, end, name = best
        return end, MishearingValue(places.text(i, end), name, round(score, 2), "food", "sound")

    def _holds_name(self, heard: Sequence[str], names: Sequence[str], measured: bool) -> bool:
        """Whether the words hold a food's name as it is, but for a last word of ``names``."""
        for a, b in combinations(range(len(heard) + 1), 2):
            if b - a > 1:
                if self.alike.is_name(" ".join(heard[a:b]), "".join(heard[a:b])):
                    return True
            elif len(heard) == 2 and (a or not measured) and self.alike.is_name(heard[a]):
                # three words may hold a short food by chance ("or egg a no")
                shared = b == len(heard) and any(n.endswith(" " + heard[a]) for n in names)
                if not shared:
                    return True
        return False

    def _alone(self, places: Places, i: int) -> tuple[int, MishearingValue] | None:
        """One word that is no food where a food is expected."""
        word = places.words[i]
        if len(word) < 4 or not word.isalpha() or places.at_home(i):
            return None
        if places.fits("measure", i, i + 1):
            least = AFTER_MEASURE if places.straight_after_measure(i) else IN_PLACE
        elif places.is_object(i):
            least = IN_PLACE
        else:
            return None
        if word in self.listed or self.alike.is_name(word):
            return None
        name, likeness = self.alike.best(sounds.phrase(word))
        if likeness < least or word in name.split():
            return None
        following = places.words[i + 1] if i + 1 < len(places.words) else ""
        together = any(f"{name} {f}" in self.vocabulary for f in singulars(following))
        if self.alike.is_name(following) and likeness < 1.0 and not together:
            return None  # "snap peas", "neutral oil": a word before a food tells which one
        return i + 1, MishearingValue(
            places.text(i, i + 1), name, round(likeness, 2), "food", "sound"
        )


def _put(doc: Doc, places: Places, start: int, end: int, value: MishearingValue) -> None:
    """Mark only the words that differ: "beef mints" for "beef mince" marks "mints".

    A last word in common stays with several words that stand for one ("all of oil").
    """
    meant = value.suggestion.split()
    while end - start > 1 and len(meant) > 1 and meant[0] in singulars(places.words[start]):
        start, meant = start + 1, meant[1:]
    while end - start == len(meant) > 1 and meant[-1] in singulars(places.words[end - 1]):
        end, meant = end - 1, meant[:-1]
    narrow = replace(value, heard=places.text(start, end), suggestion=" ".join(meant))
    put(doc, MISHEARD, start, end, narrow)


@Language.factory("hobnote_mishearings", default_config={"own": []})
def make_mishearings(nlp: Language, name: str, own: list[str]) -> Mishearings:
    """The component with the packaged pantry's names and the cook's ``own``."""
    words = [word for known in own for word in known.split()]
    return Mishearings({**open_pantry().vocabulary(), **{n: n for n in (*own, *words)}})
