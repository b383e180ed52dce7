"""Marks foods: the pantry's names by longest match, and noun phrases that the pantry lacks.

The component is built by a factory that takes the vocabulary (surface form to
plain name) and the surface forms that are also ordinary words.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.kinds_said import KindsSaid
from hobnote.marking.lexicon import PhraseTable, table, verb_forms, verbs, words
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
from hobnote.marking.said import Said
from hobnote.marking.spelling import Spelling
from hobnote.marking.tables import count_nouns, rows, short_names, unit_words

_DEFINITE: Final = frozenset({"the", "that", "this", "those", "these", "my", "your", "our", "its"})
_DO_OBJECTS: Final = frozenset(
    {"the", "a", "it", "that", "them", "this", "those", "my", "your", "some", "each", "both",
     "everything", "well", "generously", "lightly", "and", "em", "'em"}
)  # fmt: skip
# Said before a name, these tell what was done to the food, not which food it is.
_STRIPPED: Final = frozenset(
    {"shredded", "sliced", "diced", "grated", "peeled", "toasted", "crumbled", "melted", "cold",
     "hot", "warm", "boiling", "halved", "chilled", "softened", "beaten", "rinsed", "washed"}
)  # fmt: skip
_PARTS: Final = {
    "juice": "juice", "zest": "zest", "rind": "zest", "peel": "zest", "whites": "white",
    "white": "white", "yolks": "yolk", "yolk": "yolk",
}  # fmt: skip
SPOKEN_OF: Final = 12
"""Tokens that a food may stand before a part of it that is said without it."""
_AND: Final = frozenset({"and", "&", "+", "plus", "n"})
_BEFORE_WHOLE: Final = frozenset(
    {"the", "a", "an", "those", "these", "that", "this", "your", "my", "both", "same", "about",
     "large", "small", "big", "medium", "whole", "other", "of", "one", "half", "each"}
)  # fmt: skip
_ORDER_OPENERS: Final = frozenset(
    {"and", "then", "to", "just", "now", ",", ".", "so", "i", "we", "you", "gonna", "next", "or"}
)
_OFFERING: Final = frozenset({"serve", "served", "serving", "eat", "have", "side", "beside"})
_LINKS: Final = frozenset({"of", "the", "some", "my", "your", "our", "that", "those", "this"})
_MISTAGGED: Final = frozenset({"RB", "FW", "UH"})  # no food is one: the tagger lost the thread
_HOW_MANY: Final = frozenset({"one", "both", "it", "half"})
_WEIGHED: Final = 20
"""A bare number from this on after a food is its weight, not what it is done to."""
_NOUN_TAGS: Final = frozenset({"NN", "NNS", "NNP", "NNPS"})


def _modifier_tables() -> dict[str, PhraseTable]:
    return {
        kind: table("modifiers.csv", "value", "words", kind=kind)
        for kind in ("state", "preparation", "size", "plain")
    }


def _two_foods(form: str, vocabulary: Mapping[str, str]) -> bool:
    """ "salt and pepper" are two rows; "half and half" is one food."""
    first, joint, second = form.partition(" and ")
    return bool(joint) and first in vocabulary and second in vocabulary


class FoodMarker:
    """Callable component; ``vocabulary`` maps lower-case surface forms to plain names."""

    def __init__(self, vocabulary: Mapping[str, str], ambiguous: frozenset[str]) -> None:
        full = short_names("always")
        self.phrases = PhraseTable(
            (form, full.get(name, name))
            for form, name in (*full.items(), *vocabulary.items())
            if not _two_foods(form, vocabulary)
        )
        self.spelling = Spelling(vocabulary)
        self.solid = {
            form: name for form, name in vocabulary.items() if form.isalpha() and len(form) > 6
        }
        self.ambiguous = {" ".join(words(a)) for a in ambiguous}
        self.modifiers = _modifier_tables()
        table_of = verbs()
        self.verbs = {
            form: frozenset(table_of[verb]["particles"].split("|"))
            for form, verb in verb_forms().items()
        }
        self.dishes = table("dishes.csv", "kind")
        self.served = table("served.csv", "name", "said")
        self.things = frozenset(r["word"] for r in rows("things.csv"))
        self.cuts = frozenset(r["name"] for r in rows("distinct.csv") if r["kind"] == "cut")
        self.makes = frozenset(r["word"] for r in rows("made_of.csv"))
        self.not_foods = frozenset(r["word"] for r in rows("not_foods.csv"))

    def __call__(self, doc: Doc) -> Doc:
        said = Said(doc, self.spelling)
        taken = covered(doc, TIME, HEAT, TEMPERATURE, CLAIM, PORTIONS)
        amounts = covered(doc, AMOUNT)
        kinds = KindsSaid(said, self.phrases, self._describes)
        i = 0
        while i < len(said.lowers):
            part = self._part_of(said, i, amounts)
            if part is not None:
                self._mark(said, i, part[0], part[1], known=True)
                i = part[0]
                continue
            kind = kinds.hit(i)
            if kind is not None:
                self._mark(said, i, kind[0], kind[1], known=True, kind_of=kind[2])
                i = kind[0]
                continue
            hit = None if said.starts[i] in taken else self._longest(said.lowers, i)
            if hit is None or not self._is_food(said, i, hit[0], amounts):
                beside = self._beside(said, i)
                if beside is not None:
                    self._mark(said, i, beside[0], beside[1], known=True)
                i = i + 1 if beside is None else beside[0]
                continue
            end, name = hit
            if self._compound(said, i, end, amounts):
                self._mark(said, i, end + 1, f"{name} {said.lowers[end]}", known=False)
                i = end + 1
                continue
            self._mark(said, i, end, name, known=True)
            i = end
        self._guess(said, taken)
        return doc

    def _beside(self, said: Said, i: int) -> tuple[int, str] | None:
        """ "a green salad on the side", "serve with dumplings": a dish offered with this one."""
        hit = self.served.at(said.lowers, i)
        if hit is None:
            return None
        before, after = said.lowers[max(0, i - 6) : i], said.lowers[hit[0] : hit[0] + 4]
        offered = "side" in after or "if" in after[:2] or after[:2] == ["with", "it"]
        return hit if offered or not _OFFERING.isdisjoint(before) else None

    def _longest(self, lowers: list[str], i: int) -> tuple[int, str] | None:
        """The longest name at ``i``; a name written in two ("corn bread") counts as one."""
        hit = self._turned(lowers, i) or self._inverted(lowers, i) or self.phrases.at(lowers, i)
        for size in (3, 2):
            if hit is not None and hit[0] - i >= size:
                return hit
            parts = lowers[i : i + size]
            if len(parts) == size and all(p.isalpha() and len(p) > 1 for p in parts):
                name = self.solid.get("".join(parts))
                if name is not None:
                    return i + size, name
        return hit

    def _turned(self, lowers: list[str], i: int) -> tuple[int, str] | None:
        """ "neck of lamb", "oil of olive": the name with its words turned round, if it is one."""
        if i + 2 >= len(lowers) or lowers[i + 1] != "of":
            return None
        if lowers[i] in _PARTS or lowers[i] in count_nouns():
            return None
        turned = [lowers[i + 2], lowers[i]]
        hit = self.phrases.at(turned, 0)
        if hit is not None and hit[0] == 2:
            return i + 3, hit[1]
        whole = self.phrases.at(lowers, i + 2) if lowers[i] in self.cuts else None
        return (whole[0], f"{whole[1]} {lowers[i]}") if whole is not None else None

    def _inverted(self, lowers: list[str], i: int) -> tuple[int, str] | None:
        """ "tomatoes, cherry, a punnet", "onions, red": the kind said after its plural."""
        if i + 2 >= len(lowers) or lowers[i + 1] != "," or self._describes(lowers[i + 2]):
            return None
        after = lowers[i + 3] if i + 3 < len(lowers) else "."
        if after.isalpha() or lowers[i + 2].endswith("s"):
            return None
        if not lowers[i].endswith("s") and (after != "." or self.phrases.at(lowers, i + 2)):
            return None  # "pepper, black." is one; "milk, cocoa." are two
        hit = self.phrases.at([lowers[i + 2], lowers[i]], 0)
        return (i + 3, hit[1]) if hit is not None and hit[0] == 2 else None

    def _part_of(self, said: Said, i: int, amounts: set[int]) -> tuple[int, str] | None:
        """ "juice of two lemons", "the whites of three eggs": the part, named as a food."""
        part = _PARTS.get(said.lowers[i])
        if part is None or i + 2 >= len(said.lowers):
            return None
        k = i + 2 + (said.lowers[i + 2] in ("the", "its"))
        if said.lowers[i + 1] in _AND and k < len(said.lowers) and said.lowers[k] in _PARTS:
            # "the zest and juice of a lemon": the first part is of the same food
            whole = self._part_of(said, k, amounts)
            return (i + 1, f"{whole[1].rsplit(' ', 1)[0]} {part}") if whole is not None else None
        if said.lowers[i + 1] != "of":
            return None
        j = i + 2
        while j < len(said.lowers) and j - i < 7:
            hit = self.phrases.at(said.lowers, j)
            if hit is not None and said.starts[j] not in amounts:
                return hit[0], f"{hit[1]} {part}"
            if said.starts[j] not in amounts and said.lowers[j] not in _BEFORE_WHOLE:
                break
            j += 1
        fruit = self._spoken_of(said, i)
        counted = said.starts[i + 2] in amounts or said.lowers[i + 2] in _HOW_MANY
        return (j, f"{fruit} {part}") if fruit is not None and counted else None

    @staticmethod
    def _spoken_of(said: Said, i: int) -> str | None:
        """The fruit that a part without one is of: "lime zest and juice of 2"."""
        foods = [m for m in marks(said.doc, FOOD) if said.starts[i] - m.end <= SPOKEN_OF]
        if not foods:
            return None
        name: str = max(foods, key=lambda m: m.start).value.name
        first, _, last = name.rpartition(" ")
        return first if last in _PARTS.values() and first else name

    def _compound(self, said: Said, i: int, end: int, amounts: set[int]) -> bool:
        """ "clam juice", "oyster crackers": a name with what is made of it is another food."""
        if end >= len(said.lowers) or said.lowers[end] not in self.makes or said.opens(end):
            return False
        if said.lowers[end - 1].endswith("s") or said.starts[end] in amounts:
            return False
        after = said.lowers[end + 1] if end + 1 < len(said.lowers) else "."
        return said.tag(end) in _NOUN_TAGS and after not in _DO_OBJECTS - {"and"}

    def _is_food(self, said: Said, i: int, end: int, amounts: set[int]) -> bool:
        """Whether the phrase stands for a food here rather than for a thing or a verb."""
        lowers = said.lowers
        inside = [said.starts[j] in amounts for j in range(i, end)]
        if inside[0] and (len(inside) == 1 or not all(inside)):
            return False
        following = lowers[end] if end < len(lowers) else "."
        if end - i == 1 and following == "of" and lowers[i] in count_nouns():
            return False
        if " ".join(lowers[i:end]) in self.not_foods:
            # "milk and water, half and half" is no cream; "a cup of half and half" is
            before = lowers[i - 1] if i else "."
            return end - i > 1 and (before == "of" or said.starts[i] - 1 in amounts)
        if following in self.things and not (following in ("tin", "tins") and end - i > 1):
            return False
        if lowers[i] == "water" and lowers[max(0, i - 2) : i] == ["on", "the"]:
            return False  # "if they've been on the water"
        if following in ("one", "ones") and said.starts[end] not in amounts:
            return False  # "the steak one", "8 small corn ones"
        if end - i > 1 or said.replaced[i]:
            return True
        tag = said.tag(i)
        counted = tag in ("VBZ", "NNS") and said.starts[i] - 1 in amounts  # "eight chops"
        if lowers[i] in self.verbs and not counted and self._acts(said, i, following, tag):
            return False
        object_follows = following in _DO_OBJECTS and following != "and"
        if object_follows and tag.startswith("VB") and not self._listed(said, i):
            return False
        if tag in ("VBN", "VBD", "JJ") and lowers[i].endswith("ed"):
            return False
        if lowers[i] not in self.ambiguous:
            return True
        before = lowers[i - 1] if i else "."
        if before in ("of", "fresh", "chopped", "dried", "grated", "sliced", "use", "using"):
            return True
        if before in ("or", "and") and i > 1 and self._after_food(said, i - 1):
            return True  # "parsley or dill"
        measured = said.starts[i] - 1 in amounts or said.ends[end - 1] in amounts
        if tag in _NOUN_TAGS or tag in _MISTAGGED or lowers[i] in self.verbs:
            return measured or before not in ("on", "at", "by", "for")
        return measured

    def _after_food(self, said: Said, i: int) -> bool:
        """Whether a food was said just before word ``i``, described or not ("parsley, chopped")."""
        return any(0 <= said.starts[i] - m.end <= 2 for m in marks(said.doc, FOOD))

    def _acts(self, said: Said, i: int, following: str, tag: str) -> bool:
        """Whether a word that is food and verb is the verb here.

        "Salt the water", "cream it together", "it fries" are; "salt to taste"
        and "oil, salt, pepper" are foods, whatever the tagger says.
        """
        if self._listed(said, i):
            return False
        if self._orders(said, i, following):
            return True
        if tag in ("VBZ", "VBD", "VBG", "VBN"):
            return True
        particles = self.verbs[said.lowers[i]]
        return tag in ("VB", "VBP") and (following in _DO_OBJECTS or following in particles)

    def _listed(self, said: Said, i: int) -> bool:
        """ "salt 2 tsp", "dill a big bunch": a measure right after it that is of nothing else."""
        amount = next((m for m in marks(said.doc, AMOUNT) if m.start == said.ends[i]), None)
        value = amount.value if amount is not None else None
        if amount is None or not isinstance(value, AmountValue):
            return False
        if value.unit == "percent":
            return False
        weight = value.unit is None and value.best >= _WEIGHED  # "flour six hundred as well"
        if value.unit is None and value.vague is None and not weight:
            # "sugar 10 caster", but "salt 4 fillets"
            j = next((j for j, s in enumerate(said.starts) if s >= amount.end), len(said.lowers))
            closed = j >= len(said.lowers) or said.opens(j) or said.lowers[j] == ","
            return closed or self.phrases.at([said.lowers[j], said.lowers[i]], 0) is not None
        if value.unit == "piece" and value.noun is None:
            return False
        after = next((j for j, s in enumerate(said.starts) if s >= amount.end), len(said.lowers))
        if after < len(said.lowers) and said.lowers[after] == "of":
            return False
        hit = self.phrases.at(said.lowers, after)
        if hit is None or said.opens(after):
            return True
        # "salt 2 tsp pepper 1 tsp": another amount follows the other food
        end = said.ends[hit[0] - 1]
        return any(m.start == end for m in marks(said.doc, AMOUNT))

    def _orders(self, said: Said, i: int, following: str) -> bool:
        """Whether a word that is food and verb gives an order here ("cream the butter")."""
        word = said.lowers[i]
        counted = i + 1 < len(said.lowers) and said.tag(i + 1) == "CD"
        ordered = counted or following in _DO_OBJECTS or following in ("into", "out", "up")
        if word not in self.verbs or not ordered or following == "and":
            return False
        return i == 0 or said.opens(i) or said.lowers[i - 1] in _ORDER_OPENERS

    def _describes(self, word: str) -> bool:
        """Whether a word tells size, state or what was done, and so no kind."""
        return any(self.modifiers[kind].at([word], 0) for kind in ("state", "preparation", "size"))

    def _mark(
        self,
        said: Said,
        start: int,
        end: int,
        name: str,
        *,
        known: bool,
        kind_of: int | None = None,
    ) -> None:
        lowers = said.lowers
        while (
            end - start > 1 and lowers[start] in _STRIPPED and self._named(lowers, start + 1, end)
        ):
            start += 1
            name = self._named(lowers, start, end) or name
        state, preparation, definite = self._before(lowers, start)
        after_state, after_preparation = self._after(said, end)
        value = FoodValue(
            name=name,
            known=known,
            definite=definite,
            state=state or after_state,
            preparation=tuple(dict.fromkeys((*preparation, *after_preparation))),
            score=1.0 if known else 0.5,
            kind_of=kind_of,
            plural=said.lowers[end - 1] != words(name)[-1] and said.lowers[end - 1].endswith("s"),
        )
        put(said.doc, FOOD, said.starts[start], said.ends[end - 1], value)

    def _named(self, lowers: list[str], start: int, end: int) -> str | None:
        hit = self.phrases.at(lowers, start)
        return hit[1] if hit is not None and hit[0] == end else None

    def _before(self, lowers: list[str], start: int) -> tuple[str | None, list[str], bool]:
        """Modifiers left of the food: ``(state, preparation, definite)``."""
        state: str | None = None
        preparation: list[str] = []
        i = start
        while i > 0:
            hit = self._modifier_ending(lowers, i)
            if hit is None and lowers[i - 1] in (",", "and") and i < start:
                # "peeled and chopped carrots": only between two modifiers
                hit = self._modifier_ending(lowers, i - 1)
                hit = hit if hit is not None and hit[1] == "preparation" else None
            if hit is None:
                break
            i, kind, value = hit
            if kind == "state":
                state = state or value
            elif kind == "preparation":
                preparation.insert(0, value)
        return state, preparation, i > 0 and lowers[i - 1] in _DEFINITE

    def _modifier_ending(self, lowers: list[str], end: int) -> tuple[int, str, str] | None:
        """The longest modifier that ends at ``end``: ``(start, kind, value)``."""
        for size in (3, 2, 1):
            start = end - size
            if start < 0:
                continue
            for kind in ("state", "preparation", "size", "plain"):
                hit = self.modifiers[kind].at(lowers, start)
                if hit is not None and hit[0] == end:
                    return start, kind, hit[1]
        return None

    def _after(self, said: Said, end: int) -> tuple[str | None, list[str]]:
        """Modifiers that trail the food: ", peeled and finely chopped", "cut into cubes"."""
        lowers = said.lowers
        state: str | None = None
        preparation: list[str] = []
        i = last = end
        while i < len(lowers) and i - last <= 2 and not said.opens(i):
            if lowers[i] in (",", "and", "all", "well", "very", "–", "-", "("):
                i += 1
                continue
            kind = "preparation"
            hit = self.modifiers[kind].at(lowers, i)
            if hit is None:
                kind = "state"
                hit = self.modifiers[kind].at(lowers, i)
            if hit is None or not self._trails(said, hit[0]):
                break
            if kind == "state":
                state = state or hit[1]
            else:
                preparation.append(hit[1])
            i = last = hit[0]
        return state, preparation

    def _trails(self, said: Said, end: int) -> bool:
        """A trailing description is not the start of the next food's phrase."""
        if end >= len(said.lowers):
            return True
        return self.phrases.at(said.lowers, end) is None and said.tag(end) not in _NOUN_TAGS

    def _guess(self, said: Said, taken: set[int]) -> None:
        """Noun phrases right after a measured amount that no food covers ("80 g of yuba")."""
        doc, lowers = said.doc, [t.lower_ for t in said.doc]
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
                and _plain(doc, i, i + 1) not in self.not_foods
                and lowers[i].isalpha()
                and unit_words().at(lowers, i) is None
            ):
                i += 1
            if i > start and not (i < len(doc) and i in foods):
                name = _plain(doc, start, i)
                put(doc, FOOD, start, i, FoodValue(name=name, known=False, score=0.5))
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


@Language.factory("hobnote_foods", default_config={"own": []})
def make_foods(nlp: Language, name: str, own: list[str]) -> FoodMarker:
    """The marker over the packaged pantry's vocabulary and the cook's ``own`` names."""
    from hobnote.pantry import open_pantry

    pantry = open_pantry()
    return FoodMarker({**pantry.vocabulary(), **{n: n for n in own}}, pantry.ambiguous())
