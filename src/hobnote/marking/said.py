"""What was said as the food marker sees it: misspelt and mis-heard words put right."""

from __future__ import annotations

from spacy.tokens import Doc

from hobnote.marking.lexicon import words
from hobnote.marking.marks import MISHEARD, marks
from hobnote.marking.spelling import Spelling


class Said:
    """The words of a Doc with probable mis-hearings put right, each with its tokens.

    ``lowers[i]`` was said in tokens ``starts[i]`` to ``ends[i]``; ``replaced[i]``
    tells that the recogniser wrote something else there.
    """

    __slots__ = ("doc", "ends", "lowers", "replaced", "starts")

    def __init__(self, doc: Doc, spelling: Spelling) -> None:
        self.doc = doc
        self.lowers: list[str] = []
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.replaced: list[bool] = []
        heard = {m.start: m for m in marks(doc, MISHEARD) if m.value.kind == "food"}
        i = 0
        while i < len(doc):
            mark = heard.get(i)
            if mark is None:
                lower = doc[i].lower_
                mended = spelling.mend(lower)
                self._add(mended, i, i + 1, replaced=mended != lower)
                i += 1
                continue
            for word in words(mark.value.suggestion):
                self._add(word, i, mark.end, replaced=True)
            i = mark.end

    def _add(self, word: str, start: int, end: int, *, replaced: bool) -> None:
        self.lowers.append(word)
        self.starts.append(start)
        self.ends.append(end)
        self.replaced.append(replaced)

    def tag(self, i: int) -> str:
        """The tag of word ``i``; a word put right is a noun."""
        return "NN" if self.replaced[i] else self.doc[self.starts[i]].tag_

    def opens(self, i: int) -> bool:
        """Whether an utterance begins at word ``i``."""
        return bool(self.doc[self.starts[i]].is_sent_start)
