"""What a message is read against: the recipe as it stands, the question on the table, the marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from spacy.tokens import Doc

from hobnote.asking.questions import Question
from hobnote.following import events as ev
from hobnote.following.resume import Known
from hobnote.following.state import RowState, related
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    PORTIONS,
    TEMPERATURE,
    TIME,
    FoodValue,
    Mark,
    marks,
)
from hobnote.marking.numerals import numerals
from hobnote.marking.pipeline import FORGET, mark
from hobnote.pantry.pantry import Pantry
from hobnote.reading.dictation import Dictation, Piece
from hobnote.record import Heard, Record

_ARTICLES = frozenset({"the", "a", "an", "some", "any", "that", "this", "those", "these", "my",
                       "more", "of", "it", "all", "in", "for"})  # fmt: skip
_DEFINITE = frozenset({"the", "that", "this", "those", "these", "my"})
_LONGEST_NAME = 4


def _marked(words: str, own: tuple[str, ...]) -> tuple[tuple[Doc, int], ...]:
    return tuple(mark(words, own))


# "the oats", "a teaspoon": said again and again, and nobody changes a marked Doc.
_short = lru_cache(maxsize=512)(_marked)
FORGET.append(_short.cache_clear)
_SHORT = 60


class Ambiguous(Exception):
    """Several rows answer to a name; ``str()`` asks which is meant."""


@dataclass
class Context:
    """A message and the recipe that it is said to.

    ``asked`` is the question on the table, ``last`` the events of the message
    before, ``answered`` whether there was one since the first note,
    ``redoable`` whether something was undone just now.
    """

    events: Sequence[ev.Event]
    record: Record
    known: Known
    questions: Sequence[Question]
    asked: Question | None
    dictation: Dictation
    prefix: str
    pantry: Pantry
    last: Sequence[ev.Event] = ()
    answered: bool = False
    redoable: bool = False
    _docs: dict[str, list[tuple[Doc, int]]] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """The message as speech."""
        return self.dictation.spoken

    def docs(self, text: str | None = None) -> list[tuple[Doc, int]]:
        """``text`` (the message itself by default) as marked Docs with their offsets."""
        words = self.text if text is None else text
        if words not in self._docs:
            own = self.pantry.own_names()
            marked = _short if len(words) <= _SHORT else _marked
            self._docs[words] = list(marked(words, own)) if words.strip() else []
        return self._docs[words]

    def marks(self, text: str | None, *labels: str) -> list[tuple[Doc, int, Mark]]:
        """The marks of ``text`` with one of ``labels``, each with its Doc and offset."""
        return [(doc, base, m) for doc, base in self.docs(text) for m in marks(doc, *labels)]

    def heard(self, start: int = 0, end: int | None = None) -> tuple[Heard, ...]:
        """The words of the message behind ``start`` to ``end`` of its speech."""
        return tuple(self.dictation.locate(start, len(self.text) if end is None else end))

    def row(self, key: str | None) -> RowState | None:
        """The living row with this key."""
        return self.known.rows.get(key or "")

    @property
    def continues(self) -> bool:
        """Whether the message follows on a further bit of the note, said after the first."""
        return self.answered and self.follows_note

    @property
    def follows_note(self) -> bool:
        """Whether the message follows on a bit of the note, not on an answer."""
        return any(isinstance(e, ev.Named | ev.Opened | ev.Stepped) for e in self.last)

    def part(self, *ranges: tuple[int, int]) -> Context:
        """The message's words in these ranges of its speech as a message of their own."""
        cut: list[Piece] = []
        at = 0
        for n, piece in enumerate(self.dictation.pieces):
            at += len(piece.glue) if n else 0
            glue = piece.glue
            exact = len(piece.text) == piece.end - piece.start
            for start, end in ranges:
                low, high = max(start, at) - at, min(end - at, len(piece.text))
                if low >= high:
                    continue
                first = piece.start + low if exact else piece.start
                last = piece.start + high if exact else piece.end
                words = piece.text[low:high]
                cut.append(replace(piece, start=first, end=last, text=words, glue=glue))
                glue = " "
            at += len(piece.text)
        whole = self.dictation
        said = Dictation(whole.text, tuple(cut), whole.kind, whole.warnings)
        return replace(self, dictation=said)

    @property
    def asked_row(self) -> RowState | None:
        """The row that the question on the table is about."""
        return self.row(self.asked.key) if self.asked else None

    # -- names ------------------------------------------------------------------

    def foods(self, text: str) -> list[FoodValue]:
        """The foods that the marking finds in ``text``."""
        return [m.value for _, _, m in self.food_marks(text)]

    def food_marks(self, text: str | None) -> list[tuple[Doc, int, Mark]]:
        """The marks of foods in ``text`` that do not only name a part of the dish."""
        parts = self._parts()
        return [f for f in self.marks(text, FOOD) if f[2].value.name not in parts]

    def holds_amount(self, text: str) -> bool:
        """Whether ``text`` says how much."""
        return any(not m.value.article for _, _, m in self.marks(text, AMOUNT))

    def holds_figure(self, text: str) -> bool:
        """Whether ``text`` says how much in figures."""
        found = self.marks(text, AMOUNT)
        return any(not m.value.article and m.value.vague is None for _, _, m in found)

    def number(self, text: str) -> float | None:
        """The number that ``text`` is, as the marking's readers have it."""
        for doc, _ in self.docs(text):
            found = numerals(doc)
            if found:
                return found[0].best
        return None

    def new_food(self, text: str, *, known: bool = False) -> FoodValue | None:
        """The food that ``text`` names and nothing else; with ``known`` only one of the pantry.

        An unknown name is taken as it stands when it is short and holds no verb.
        """
        foods = self.foods(text)
        if foods and (foods[0].known or not known):
            return foods[0]
        words = plain_words(text)
        held = self.pantry.vocabulary().get(" ".join(words))
        if held is not None:
            return FoodValue(name=held)
        if known or not 0 < len(words) <= _LONGEST_NAME or self.marks(text, ACTION):
            return None
        if not all(word.replace("-", "").isalpha() for word in words):
            return None
        return FoodValue(name=" ".join(words), known=False)

    def known_food(self, text: str) -> bool:
        """Whether ``text`` names a food of the pantry."""
        return any(food.known for food in self.foods(text))

    def only_name(self, text: str) -> bool:
        """Whether ``text`` is a name and no more: nothing is done, timed or served in it."""
        return not self.marks(text, ACTION, TIME, TEMPERATURE, PORTIONS)

    def is_name(self, text: str) -> bool:
        """Whether ``text`` is a food's name: nothing else stands before it, no doing after it."""
        for doc, _, food in self.food_marks(text):
            before = doc[: food.start]
            if any(t.tag_ in ("VBD", "VBZ", "VBP", "CD") for t in doc[food.end :]):
                return False
            return not any(
                t.tag_[:2] in ("UH", "RB", "JJ", "NN", "VB") and t.lower_ not in _ARTICLES
                for t in before
            )
        return True

    def only_food(self, text: str, *, known: bool = False) -> FoodValue | None:
        """:meth:`new_food`, where ``text`` names one food and tells nothing besides."""
        foods = self.foods(text)
        if len(foods) > 1 or not self.only_name(text):
            return None
        return self.new_food(text, known=known)

    def answers_to(self, text: str, row: RowState) -> bool:
        """Whether ``text`` names this row."""
        plain = " ".join(plain_words(text))
        names = [*(food.name for food in self.foods(text)), plain, *singulars(plain)]
        return any(n and (n == row.name or related(n, row.name)) for n in names)

    def every_row(self, text: str) -> list[RowState]:
        """All rows that ``text`` may name, by the closest kind of likeness that any has."""
        foods = self.foods(text)
        names = [food.name for food in foods]
        plain = " ".join(w for w in plain_words(text) if w not in self._parts())
        names += [plain, *singulars(plain)]
        rows = list(self.known.rows.values())
        misheard = [q.key for q in self.questions if q.heard_word and q.heard_word == plain]
        found = [r for r in rows if r.key in misheard]
        found = found or [r for r in rows if r.name in names]
        found = found or [r for r in rows if any(n and related(n, r.name) for n in names)]
        found = found or [r for r in rows if self._same_food([n for n in names if n], r.name)]
        if not found and plain and not self.known_food(text):  # "sunflower", of sunflower seeds
            found = [r for r in rows if r.name.startswith(plain + " ")]
        if not found and (any(f.definite for f in foods) or _definite(text)):
            heads = {r.key: r for name in names if name for r in self.headed(name)}
            found = list(heads.values())
        return [r for r in found if not r.swap_for] or found

    def rows_of(self, doc: Doc, food: Mark) -> list[RowState]:
        """The rows that a marked food may be, with the article before it."""
        article = "the " if food.value.definite else ""
        return self.every_row(article + doc[food.start : food.end].text)

    def headed(self, name: str) -> list[RowState]:
        """The rows whose names end in ``name``: "the rice", where only brown rice is in."""
        names = (name, *singulars(name))
        rows = self.known.rows.values()
        return [r for r in rows if any(r.name.endswith(" " + n) for n in names)]

    def _same_food(self, names: Sequence[str], other: str) -> bool:
        """Whether one of ``names`` begins as ``other`` does and is the same food of the pantry.

        "Bulgur wheat" and "bulgur"; a chicken is no chicken stock.
        """
        for name in names:
            short, long = sorted((name.split(), other.split()), key=len)
            if not 0 < len(short) < len(long) or long[: len(short)] != short:
                continue
            a, b = self.pantry.match(name), self.pantry.match(other)
            if a.food is not None and b.food is not None and a.food.id == b.food.id:
                return True
        return False

    def rows_named(
        self, text: str, *, near: RowState | None = None, within: str = ""
    ) -> list[RowState]:
        """The rows that ``text`` names, by full name, else by a shorter, longer or common name.

        Raises :class:`Ambiguous` where several parts of the dish hold one and
        nothing says which: a part named in ``text`` or in the words ``within``
        which it stands, or ``near`` when it is among them.
        """
        found = self.every_row(text)
        if len(found) < 2:
            return found
        around = f"{text} {within}".casefold().split()
        said = {part for part in self._parts() if part in around}
        here = [r for r in found if r.component in said]
        if here:
            return here
        if near in found:
            return [near]
        if len({r.name for r in found}) == 1 or len({r.component for r in found}) > 1:
            parts = " or ".join(f"the {r.name} in the {_part(r.component)}" for r in found)
            raise Ambiguous(f"Which one, {parts}? Say it with its place; nothing was changed.")
        return found[:1]

    def _parts(self) -> set[str]:
        return {row.component for row in self.known.rows.values()}


def _definite(text: str) -> bool:
    return text.casefold().split()[:1] != [] and text.casefold().split()[0] in _DEFINITE


def _part(component: str) -> str:
    return "main part" if component == "main" else component


def plain_words(text: str) -> list[str]:
    """Lower-case words without leading articles and signs."""
    words = [w.strip(",;:.!?\"'“”()").casefold() for w in text.split()]
    words = [w for w in words if w]
    while words and words[0] in _ARTICLES:
        words = words[1:]
    return words


def singulars(phrase: str) -> list[str]:
    """What ``phrase`` may be in the singular."""
    found = []
    if phrase.endswith("ies"):
        found.append(phrase[:-3] + "y")
    if phrase.endswith("es"):
        found.append(phrase[:-2])
    if phrase.endswith("s"):
        found.append(phrase[:-1])
    return found
