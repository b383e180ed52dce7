"""Cuts a marked Doc into clauses: the stretch in which amounts, foods and verbs belong together.

A clause never crosses an utterance boundary. It ends where a new verb takes
over ("chop the onion | and fry it"), at strong joints ("then", "but",
"because", "while"), at semicolons, dashes and brackets.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from spacy.tokens import Doc

from hobnote.marking.marks import ACTION, CUE, UNTIL, Mark, marks

_JOINTS: Final = frozenset(
    {"then", "but", "because", "cause", "'cause", "while", "whilst", "although", "though",
     "which", "since", "unless", "so", "if", "whereas", "otherwise", "cos", "coz", "cuz", "bc",
     "'cos", "'coz"}
)  # fmt: skip
_BREAKS: Final = frozenset({";", "–", "—", "-", "(", ")", "...", "…", ":", "\n"})
_SKIP: Final = frozenset(
    {"and", ",", "then", "i", "we", "you", "'ll", "'m", "'re", "will", "going", "to", "just",
     "gonna", "can", "also", "now", "you'll", "i'll", "am", "are", "'ve", "have", "so", "let",
     "'s", "gently", "slowly", "it", "that", "they", "should", "want", "wanna", "need", "got"}
)  # fmt: skip


_HELPERS: Final = frozenset({"let", "leave"})
_DIGRESSIONS: Final = frozenset({"past", "hypothetical", "other", "plug"})
_LEAD: Final = frozenset(
    {"and", "i", "we", "you", "but", "so", "it", "'s", "just", "or", "the", ","}
)


@dataclass(slots=True)
class Clause:
    """Tokens ``start`` to ``end`` of ``doc`` with the marks inside; ``first`` of its utterance."""

    doc: Doc
    start: int
    end: int
    marks: list[Mark] = field(default_factory=list)
    first: bool = False

    def of(self, *labels: str) -> list[Mark]:
        """The clause's marks with one of ``labels``."""
        return [m for m in self.marks if m.label in labels]

    def cues(self, *kinds: str) -> list[Mark]:
        """The clause's cues of these kinds."""
        return [m for m in self.marks if m.label == CUE and m.value in kinds]

    def lowers(self) -> list[str]:
        """The clause's words in lower case."""
        return [t.lower_ for t in self.doc[self.start : self.end]]

    @property
    def text(self) -> str:
        """The clause's words as they stand."""
        return self.doc[self.start : self.end].text


def utterances(doc: Doc) -> list[list[Clause]]:
    """The clauses of ``doc``, grouped by utterance."""
    everything = marks(doc)
    grouped: list[list[Clause]] = []
    starts = [i for i, t in enumerate(doc) if t.is_sent_start or i == 0]
    for a, b in zip(starts, [*starts[1:], len(doc)], strict=True):
        inside = [m for m in everything if a <= m.start < b]
        cuts = _cuts(doc, a, b, inside)
        clauses = [
            Clause(doc, x, y, [m for m in inside if x <= m.start < y], first=x == a)
            for x, y in zip(cuts, [*cuts[1:], b], strict=True)
            if x < y
        ]
        if clauses:
            grouped.append(clauses)
    return grouped


def _cuts(doc: Doc, start: int, end: int, inside: list[Mark]) -> list[int]:
    whole: set[int] = set()
    for m in inside:
        if m.label != UNTIL:
            whole.update(range(m.start + 1, m.end))
    until = {i for m in inside if m.label == UNTIL for i in range(m.start, m.end)}
    verbs = [m for m in inside if m.label == ACTION and m.start not in until]
    denied = {
        i for m in inside if m.label == CUE and m.value == "negation"
        for i in range(m.start, m.end)
    }  # fmt: skip
    cuts = {start}
    for i in range(start + 1, end):
        lower = doc[i].lower_
        if i in whole:
            continue
        if lower in _JOINTS and i not in until:
            cuts.add(i)
        elif lower in _BREAKS and not _inside_word(doc, i):
            cuts.add(i + 1 if i + 1 < end else i)
    for m in inside:
        # a digression starts its own clause, so that what came before keeps its mood
        if m.label == CUE and m.value in _DIGRESSIONS and m.start not in until:
            cuts.add(_lead_in(doc, start, m.start))
    for n, mark in enumerate(verbs):
        if n == 0:
            continue
        i = mark.start
        helper = verbs[n - 1].value.verb in _HELPERS
        if helper and all(doc[j].lower_ in _SKIP for j in range(verbs[n - 1].end, i)):
            continue  # "leave it to cool", "let it simmer" are one doing
        while i - 1 > start and _steps_back(doc, i - 1, whole, denied):
            i -= 1
        opened = doc[i].lower_ in ("and", ",", "then") or i < mark.start
        if opened or doc[mark.start - 1].lower_ in (",", "and"):
            cuts.add(i)
    return sorted(cuts)


def _steps_back(doc: Doc, i: int, whole: set[int], denied: set[int]) -> bool:
    """Whether token ``i`` goes with the verb after it ("and then I", "don't")."""
    return i in denied or (doc[i].lower_ in _SKIP and i not in whole)


def _lead_in(doc: Doc, start: int, i: int) -> int:
    """Back over "and", "because I" to where the digression's clause begins."""
    while i - 1 > start and doc[i - 1].lower_ in _LEAD:
        i -= 1
    return i


def _inside_word(doc: Doc, i: int) -> bool:
    """A hyphen without blanks around it belongs to a word ("self-raising")."""
    if doc[i].lower_ != "-" or i == 0:
        return False
    return not doc[i - 1].whitespace_
