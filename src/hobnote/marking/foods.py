"""Marks foods: the pantry's names by longest match, and noun phrases that the pantry lacks.

The component is built by a factory that takes the vocabulary (surface form to
plain name) and the surface forms that are also ordinary words.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.lexicon import PhraseTable, table, words
from hobnote.marking.marks import (
    AMOUNT,
    CLAIM,
    FOOD,
    HEAT,
    PORTIONS,
    TEMPERATURE,
    TIME,
    AmountValue,
    FoodValue,
    covered,
    marks,
    put,
)
from hobnote.marking.tables import rows

_DEFINITE: Final = frozenset({"the", "that", "this", "those", "these", "my", "your", "our", "its"})
_DO_OBJECTS: Final = frozenset(
    {"the", "a", "it", "that", "them", "this", "those", "my", "your", "some", "each", "both",
     "everything", "well", "generously", "lightly", "and"}
)  # fmt: skip
_LINKS: Final = frozenset({"of", "the", "some", "my", "your", "our", "that", "those", "this"})
_NOUN_TAGS: Final = frozenset({"NN", "NNS", "NNP", "NNPS"})


def _modifier_tables() -> dict[str, PhraseTable]:
    return {
        kind: table("modifiers.csv", "value", "words", kind=kind)
        for kind in ("state", "preparation", "size", "plain")
    }


class FoodMarker:
    """Callable component; ``vocabulary`` maps lower-case surface forms to plain names."""

    def __init__(self, vocabulary: Mapping[str, str], ambiguous: frozenset[str]) -> None:
        self.phrases = PhraseTable(vocabulary)
        self.ambiguous = {" ".join(words(a)) for a in ambiguous}
        self.modifiers = _modifier_tables()
        self.dishes = table("dishes.csv", "kind")
        self.things = frozenset(r["word"] for r in rows("things.csv"))
        self.not_foods = frozenset(r["word"] for r in rows("not_foods.csv"))

    def __call__(self, doc: Doc) -> Doc:
        lowers = [t.lower_ for t in doc]
        taken = covered(doc, TIME, HEAT, TEMPERATURE, CLAIM, PORTIONS)
        noun_amounts = covered(doc, AMOUNT)
        i = 0
        while i < len(doc):
            hit = None if i in taken else self.phrases.at(lowers, i)
            if hit is None or not self._is_food(doc, lowers, i, hit[0], noun_amounts):
                i += 1
                continue
            end, name = hit
            self._mark(doc, lowers, i, end, name, known=True)
            i = end
        self._guess(doc, lowers, taken)
        return doc

    def _is_food(self, doc: Doc, lowers: list[str], i: int, end: int, amounts: set[int]) -> bool:
        """Whether the phrase stands for a food here rather than for a thing or a verb."""
        if i in amounts and not all(j in amounts for j in range(i, end)):
            return False
        following = lowers[end] if end < len(lowers) else "."
        if following in self.things and not (following in ("tin", "tins") and end - i > 1):
            return False
        if end - i > 1:
            return True
        if i in amounts:
            return False
        tag = doc[i].tag_
        if following in _DO_OBJECTS and following != "and" and tag.startswith("VB"):
            return False
        if " ".join(lowers[i:end]) not in self.ambiguous:
            return True
        before = lowers[i - 1] if i else "."
        if before in ("of", "fresh", "chopped", "dried", "grated", "sliced"):
            return True
        if tag in _NOUN_TAGS:
            return i - 1 in amounts or before not in ("on", "at", "by", "for")
        return i - 1 in amounts

    def _mark(
        self, doc: Doc, lowers: list[str], start: int, end: int, name: str, *, known: bool
    ) -> None:
        _first, state, preparation, definite = self._before(lowers, start)
        _last, after_state, after_preparation = self._after(doc, lowers, end)
        value = FoodValue(
            name=name,
            known=known,
            definite=definite,
            state=state or after_state,
            preparation=tuple(dict.fromkeys((*preparation, *after_preparation))),
            score=1.0 if known else 0.5,
            plural=doc[end - 1].tag_ in ("NNS", "NNPS"),
        )
        put(doc, FOOD, start, end, value)

    def _before(self, lowers: list[str], start: int) -> tuple[int, str | None, list[str], bool]:
        """Modifiers left of the food: ``(first token, state, preparation, definite)``."""
        state: str | None = None
        preparation: list[str] = []
        i = start
        while i > 0:
            moved = False
            for size in (3, 2, 1):
                j = i - size
                if j < 0:
                    continue
                for kind in ("state", "preparation", "size", "plain"):
                    hit = self.modifiers[kind].at(lowers, j)
                    if hit is not None and hit[0] == i:
                        if kind == "state":
                            state = state or hit[1]
                        elif kind == "preparation":
                            preparation.insert(0, hit[1])
                        i, moved = j, True
                        break
                if moved:
                    break
            if not moved and lowers[i - 1] in (",", "and") and i - 1 > 0 and i < start:
                # "peeled and chopped carrots": only between two modifiers
                j = i - 2
                hit = self.modifiers["preparation"].at(lowers, j) if j >= 0 else None
                if hit is not None and hit[0] == i - 1:
                    preparation.insert(0, hit[1])
                    i, moved = j, True
            if not moved:
                break
        return i, state, preparation, i > 0 and lowers[i - 1] in _DEFINITE

    def _after(self, doc: Doc, lowers: list[str], end: int) -> tuple[int, str | None, list[str]]:
        """Modifiers that trail the food: ", peeled and finely chopped", "cut into cubes"."""
        state: str | None = None
        preparation: list[str] = []
        i = last = end
        while i < len(lowers) and i - last <= 2 and not doc[i].is_sent_start:
            if lowers[i] in (",", "and", "all", "well", "very", "–", "-", "("):
                i += 1
                continue
            hit = self.modifiers["preparation"].at(lowers, i)
            kind = "preparation"
            if hit is None:
                hit, kind = self.modifiers["state"].at(lowers, i), "state"
            if hit is None or not self._trails(doc, lowers, i, hit[0]):
                break
            if kind == "state":
                state = state or hit[1]
            else:
                preparation.append(hit[1])
            i = last = hit[0]
        return last, state, preparation

    def _trails(self, doc: Doc, lowers: list[str], i: int, end: int) -> bool:
        """A trailing description is not the start of the next food's phrase."""
        if end >= len(lowers):
            return True
        return self.phrases.at(lowers, end) is None and doc[end].tag_ not in _NOUN_TAGS

    def _guess(self, doc: Doc, lowers: list[str], taken: set[int]) -> None:
        """Noun phrases right after a measured amount that no food covers ("80 g of yuba")."""
        foods = covered(doc, FOOD)
        for mark in marks(doc, AMOUNT):
            value = mark.value
            if not isinstance(value, AmountValue) or value.article or value.unit == "percent":
                continue
            if value.unit is None and value.vague is None:
                continue
            i = mark.end
            linked = False
            while i < len(doc) and (lowers[i] in _LINKS or doc[i].tag_ in ("JJ", "VBN")):
                if i in foods:
                    break
                linked = linked or lowers[i] == "of"
                i += 1
            if not linked and value.unit == "piece":
                continue
            start = i
            while (
                i < len(doc)
                and i - start < 4
                and doc[i].tag_ in _NOUN_TAGS
                and i not in foods
                and i not in taken
                and lowers[i] not in self.not_foods
                and lowers[i].isalpha()
            ):
                i += 1
            if i > start and not (i < len(doc) and i in foods):
                self._mark(doc, lowers, start, i, _plain(doc, start, i), known=False)
                foods.update(range(start, i))


def _plain(doc: Doc, start: int, end: int) -> str:
    """The phrase in lower case with its last noun in the singular where that is regular."""
    parts = [t.lower_ for t in doc[start:end]]
    last = parts[-1]
    if doc[end - 1].tag_ == "NNS" and len(last) > 3 and last.endswith("s"):
        if last.endswith("ies"):
            last = last[:-3] + "y"
        elif last.endswith(("ches", "shes", "oes", "sses", "xes")):
            last = last[:-2]
        elif not last.endswith("ss"):
            last = last[:-1]
    return " ".join([*parts[:-1], last])


@Language.factory("hobnote_foods")
def make_foods(nlp: Language, name: str) -> FoodMarker:
    """The marker over the packaged pantry's vocabulary."""
    from hobnote.pantry import open_pantry

    pantry = open_pantry()
    return FoodMarker(pantry.vocabulary(), pantry.ambiguous())
