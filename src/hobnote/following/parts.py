"""Parts of the dish as they are opened in speech ("now the dressing"), and the dish's title."""

from __future__ import annotations

from typing import Final

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.ingredients import Scene
from hobnote.following.state import State
from hobnote.marking.lexicon import table
from hobnote.marking.marks import AMOUNT, PART

_TITLE_STOP: Final = frozenset(
    {",", ".", "for", "with", "and", "so", "!", "?", ";", "-", "–", "—", "today", "which", "that",
     "it", "i", "we", "because", "but", "again", "this", "tonight", "then", "okay", "\n", "first"}
)  # fmt: skip
_SKIP: Final = frozenset({"a", "the", "my", "our", "some", "your", "an", "famous", "usual", "is"})


class Parts:
    """Opens and closes parts of the dish on ``state``."""

    def __init__(self, state: State) -> None:
        self.state = state
        self.titled = False

    def take(self, scene: Scene) -> None:
        """Emit the part and title events of one utterance."""
        for n, clause in enumerate(scene.clauses):
            if scene.moods[n] not in ("recipe", "hypothetical"):
                continue
            self._part(scene, clause)
            if not self.titled and self.state.utterance <= 6:
                self._title(scene, clause)

    def _part(self, scene: Scene, clause: Clause) -> None:
        state = self.state
        if clause.cues("main_open") and state.component != "main":
            state.component = "main"
            return
        for mark in clause.of(PART):
            opens = [
                m
                for m in clause.cues("component_open", "choice")
                if m.end == mark.start or 0 <= mark.start - m.end <= 2
            ]
            if not opens or mark.value == state.component:
                continue
            state.component = str(mark.value)
            optional = bool(clause.cues("optional"))
            span = clause.doc[opens[0].start : mark.end]
            heard = state.heard(scene.base, span.start_char, span.end_char)
            state.emit(ev.Opened(name=state.component, optional=optional, heard=heard))

    def _title(self, scene: Scene, clause: Clause) -> None:
        doc = clause.doc
        for cue in clause.cues("title"):
            start = cue.end
            while start < clause.end and doc[start].lower_ in _SKIP:
                start += 1
            end = start
            while end < clause.end and end - start < 6 and doc[end].lower_ not in _TITLE_STOP:
                end += 1
            lowers = [t.lower_ for t in doc[start:end]]
            if not lowers or any(m.start < end and m.end > start for m in clause.of(AMOUNT)):
                continue
            dishes = table("dishes.csv", "kind").find(lowers)
            if not any(kind == "dish" for _, _, kind in dishes):
                continue
            self.titled = True
            span = doc[start:end]
            heard = self.state.heard(scene.base, span.start_char, span.end_char)
            self.state.emit(ev.Titled(title=span.text.lower(), heard=heard))
            return
