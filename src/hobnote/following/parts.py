"""Parts of the dish as they are opened in speech ("now the dressing"), and the dish's title."""

from __future__ import annotations

from typing import Final

from spacy.tokens import Doc

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.scene import Scene, Walker
from hobnote.following.state import State
from hobnote.marking.lexicon import table
from hobnote.marking.marks import ACTION, AMOUNT, FOOD, PART, FoodValue, Mark

_TITLE_STOP: Final = frozenset(
    {",", ".", "for", "with", "and", "so", "!", "?", ";", "-", "–", "—", "today", "which", "that",
     "it", "i", "we", "because", "but", "again", "this", "tonight", "then", "okay", "\n", "first"}
)  # fmt: skip
EARLY: Final = 3
"""Utterances within which a dish that is only mentioned may give the title."""
_BEFORE_DISH: Final = frozenset({"NN", "NNP", "JJ", "NNS"})
_SECOND: Final = frozenset({"other", "second", "next", "quick", "last", "new"})
_ON_TOP: Final = frozenset({"drizzle", "icing", "glaze", "topping", "crumble", "crumb"})
_HOLDING: Final = frozenset({"in", "into", "of", "with", "over", "from", "inside", "under", "is"})
_WHILE: Final = frozenset({"while", "whilst"})  # "while that's going, the sauce" opens it
_WITHIN: Final = frozenset({"because", "while", "whilst", "if", "when", "once", "until", "till"})
_SKIP: Final = frozenset({"a", "the", "my", "our", "some", "your", "an", "famous", "usual", "is"})
_LEAD: Final = frozenset(
    {"so", "right", "ok", "okay", "alright", "hey", "hi", "hello", "well", "um", "uh", "er", "now",
     "quick", "one", "and", "yes", "yeah", "then", "everyone", "all", ",", "-", "–", "—", ":", "#",
     "guys", "folks", "morning", "evening", "afternoon", "good"}
)  # fmt: skip
"""What may stand before the dish's name in the first words of a note."""
SHORT: Final = 6
"""Most words of a first line that is a title although it opens with a verb."""


class Parts(Walker):
    """Opens and closes parts of the dish on ``state``."""

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.titled = self.guessed = False
        self.title: frozenset[str] = frozenset()

    def take(self, scene: Scene) -> None:
        """Emit the part and title events of one utterance; a title clause gets its own mood."""
        for n, clause in enumerate(scene.clauses):
            if scene.moods[n] not in ("recipe", "hypothetical"):
                continue
            if not self.titled and self.state.utterance <= 6 and self._title(scene, clause):
                scene.moods[n] = "title"
                continue
            if not (self.titled or self.guessed) and self.state.utterance <= EARLY:
                self._mentioned(scene, clause)
            self._part(scene, clause)

    def _part(self, scene: Scene, clause: Clause) -> None:
        state = self.state
        if clause.cues("main_open") and state.component != "main":
            state.component = "main"
            return
        if self._alternative(scene, clause):
            return
        for mark in clause.of(PART):
            opens = [
                m
                for m in clause.cues("component_open", "choice")
                if m.start == mark.start or 0 <= mark.start - m.end <= 2
            ]
            if not opens or mark.value == state.component or self._served(clause, mark):
                continue
            if self._is_whole(scene, clause, mark) or self._made(clause, mark):
                continue
            state.component = str(mark.value)
            optional = bool(clause.cues("optional"))
            span = clause.doc[opens[0].start : mark.end]
            heard = state.heard(scene.base, span.start_char, span.end_char)
            state.emit(ev.Opened(name=state.component, optional=optional, heard=heard))
            return
        if state.component != "main" and self._returns(clause):
            state.component = "main"

    def _is_whole(self, scene: Scene, clause: Clause, mark: Mark) -> bool:
        """ "Dip. Beetroot and white bean.": what is made as a whole is no part of itself."""
        alone = mark.end >= clause.end - 1 and not clause.of(AMOUNT)
        first = self.state.utterance <= 1 and mark.start - clause.start <= 1 and alone
        head = str(mark.value).split()[-1]
        return first or (head in self.title and head not in _ON_TOP)

    def _made(self, clause: Clause, mark: Mark) -> bool:
        """ "lettuce, a bit of cabbage, and the sauce": a part that has its foods is only used."""
        doc = clause.doc
        opening = doc[clause.start].lower_
        if opening in _WITHIN and (opening not in _WHILE or mark.start - clause.start <= 2):
            return True
        after = doc[mark.end].lower_ if mark.end < len(doc) else "."
        before = [t.lower_ for t in doc[max(clause.start, mark.start - 2) : mark.start]]
        if before[-1:] == ["the"] and before[0] in _HOLDING:
            return True  # "no oil in the dough"
        if after in (":", "is", "'s") or mark.start == clause.start:
            return False
        head = str(mark.value).split()[-1]
        parts = {r.component for r in self.state.living()} - {"main"}
        others = head == mark.value and any(p.split()[-1] == head != p for p in parts)
        return others or (mark.value in parts and any(m.end <= mark.start for m in clause.of(FOOD)))

    def _alternative(self, scene: Scene, clause: Clause) -> bool:
        """ "Or the sesame one", "or, second, the yoghurt dressing": a choice beside the part."""
        state = self.state
        doc = clause.doc
        current = state.component
        if current == "main" or clause.start != scene.clauses[0].start:
            return False
        if doc[clause.start].lower_ != "or":
            return False
        head = current.split()[-1]
        name = self._other_name(scene, clause, head)
        if name is None or name == current:
            return False
        heard = self.heard(scene, clause.start, clause.end)
        state.emit(ev.Opened(name=current, choice=head))
        state.emit(ev.Opened(name=name, choice=head, heard=heard))
        state.component = name
        return True

    @staticmethod
    def _other_name(scene: Scene, clause: Clause, head: str) -> str | None:
        """What tells the alternative: its own name, the word before "one", or "other"."""
        doc = clause.doc
        for mark in clause.of(PART):
            words = str(mark.value).split()
            if words[-1] == head and len(words) > 1 and words[0] not in ("other", "second"):
                return str(mark.value)
        for i in range(clause.start + 1, clause.end):
            if doc[i].lower_ == "one" and doc[i - 1].tag_ in ("NN", "JJ", "NNS", "NNP"):
                word = doc[i - 1].lower_
                scene.parts.add(i - 1)
                return f"{'other' if word in _SECOND else word} {head}"
        return None

    @staticmethod
    def _served(clause: Clause, part: Mark) -> bool:
        """ "pour the dressing over": the part is used, not begun."""
        return any(
            m.end <= part.start
            and m.value.kind in ("add", "serve", "prep", "cook")
            and m.value.verb not in ("mix", "whisk", "blend", "combine")
            and part.start - m.end <= 2
            for m in clause.of(ACTION)
        )

    def _returns(self, clause: Clause) -> bool:
        """Whether the clause goes back to the dish: its name, or a food of the main part."""
        state = self.state
        if any(m.value == state.component and self._served(clause, m) for m in clause.of(PART)):
            return True
        if not clause.of(ACTION):
            return False
        doc = clause.doc
        lowers = clause.lowers()
        for start, _, kind in table("dishes.csv", "kind").find(lowers):
            if kind == "dish" and start > 0 and lowers[start - 1] in ("the", "that", "your"):
                return True
        here = {r.name for r in state.living() if r.component == state.component}
        for mark in clause.of(FOOD):
            value = mark.value
            if not isinstance(value, FoodValue) or not value.definite or value.name in here:
                continue
            if any(m.end <= mark.start and mark.start - m.end <= 3 for m in clause.of(AMOUNT)):
                continue
            row = state.find(value, "main", measured=False)
            if row is not None and row.component == "main" and doc[mark.start].i >= clause.start:
                return True
        return False

    def _title(self, scene: Scene, clause: Clause) -> bool:
        """Take the dish's name; True when the clause says nothing else."""
        doc = clause.doc
        for cue in clause.cues("title"):
            span = self._name(clause, cue.end)
            if span is None:
                continue
            self._emit(scene, doc, *span)
            return not clause.of(AMOUNT) and not clause.of(ACTION)
        closed = doc[clause.end - 1].is_punct or clause.end == len(doc)
        first = self.state.utterance == 1 and clause.first and closed
        start = clause.start
        while start < clause.end and doc[start].lower_ in _LEAD:
            start += 1
        while start < clause.end and doc[start].lower_ in _SKIP:
            start += 1
        acting = clause.of(ACTION) and not self._headline(clause, start)
        if first and not clause.of(AMOUNT) and not acting and clause.end - clause.start <= 14:
            span = self._name(clause, start)
            if span is not None and span[0] == start:
                self._emit(scene, doc, *span)
                return True
        return False

    @staticmethod
    def _headline(clause: Clause, start: int) -> bool:
        """ "Roast veg couscous.": a short line whose only verb opens the dish's name."""
        doc, actions = clause.doc, clause.of(ACTION)
        plain = all(doc[i].tag_ not in ("DT", "PRP", "PRP$") for i in range(start, clause.end))
        alone = len(actions) == 1 and actions[0].start == start
        return alone and plain and clause.end - start <= SHORT

    def _mentioned(self, scene: Scene, clause: Clause) -> None:
        """ "I'd write down the regatta porridge": a dish named early, until a title is said."""
        doc = clause.doc
        for start, end, kind in table("dishes.csv", "kind").find(clause.lowers()):
            first, last = clause.start + start, clause.start + end
            while first > clause.start and doc[first - 1].tag_ in _BEFORE_DISH:
                first -= 1
            named = last - first > end - start or doc[first - 1].lower_ in ("the", "this", "my")
            if kind == "dish" and named and first > 0:
                self._emit(scene, doc, first, last, sure=False)
                return

    @staticmethod
    def _name(clause: Clause, start: int) -> tuple[int, int] | None:
        """The noun phrase from ``start`` on that names a dish: it holds a dish word or a food."""
        doc = clause.doc
        while start < clause.end and doc[start].lower_ in _SKIP:
            start += 1
        end = start
        foods = {m.start for m in clause.of(FOOD)}
        while end < clause.end and end - start < 7:
            if doc[end].lower_ in _TITLE_STOP and not (
                doc[end].lower_ in ("and", "with") and end > start and end + 1 in foods
            ):
                break
            end += 1
        if end == start or any(m.start < end and m.end > start for m in clause.of(AMOUNT)):
            return None
        lowers = [t.lower_ for t in doc[start:end]]
        dish = any(kind == "dish" for _, _, kind in table("dishes.csv", "kind").find(lowers))
        food = any(start <= m.start < end for m in clause.of(FOOD))
        nouns = doc[end - 1].tag_ in ("NN", "NNS", "NNP", "NNPS")
        return (start, end) if nouns and (dish or (food and end - start >= 2)) else None

    def _emit(self, scene: Scene, doc: Doc, start: int, end: int, sure: bool = True) -> None:
        self.titled, self.guessed = sure, True
        span = doc[start:end]
        self.title = frozenset(t.lower_ for t in span[-1:])
        heard = self.state.heard(scene.base, span.start_char, span.end_char)
        self.state.emit(ev.Titled(title=span.text.lower(), heard=heard))
