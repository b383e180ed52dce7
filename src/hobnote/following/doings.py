"""Cuts a clause into doings: one verb each, with what was said of it before and after.

"chop the onions, fry them in butter for ten minutes" are two doings. A verb
that only helps another one ("let it *rest*", "bring it to the *boil*") makes
no doing of its own, and neither does what the food does by itself ("it
bubbles"), what something is for ("water to loosen") or how long it keeps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from hobnote.following.clauses import Clause
from hobnote.following.usable import usable
from hobnote.marking.fragments import stand_in_words
from hobnote.marking.lexicon import verbs
from hobnote.marking.marks import (
    AMOUNT,
    FOOD,
    PART,
    RELATIVE,
    TEMPERATURE,
    TIME,
    VESSEL,
    Mark,
)

_HELPERS: Final = frozenset(
    {"let", "leave", "keep", "get", "start", "go", "give", "have", "use", "need", "want", "put",
     "set", "take", "pop", "stick", "follow", "turn", "come"}
)  # fmt: skip
_AT_ONCE: Final = frozenset({"give", "turn", "flip", "break", "drain", "remove"})
_TIMED_WORK: Final = frozenset(
    {"knead", "stir", "rub", "press", "squeeze", "rinse", "wash", "roll", "fold", "strain", "pat"}
)
_OFF_HEAT: Final = frozenset({"off heat", "off the"})
_BEFORE_TIME: Final = frozenset(
    {"for", "another", "about", "a", "good", "the", "it's", "its", "just", "maybe", "around", "say"}
)  # fmt: skip
_BEFORE_VESSEL: Final = frozenset({"in", "the", "into", "to", "a", "it's", "'s", "it", "that"})
_LEAD: Final = frozenset(
    {"and", ",", "then", "you", "i", "we", "now", "just", "also", "'ll", "will", "'m", "'re",
     "going", "to", "gonna", "so", "n", "&", "gently", "slowly", "-", "–"}
)  # fmt: skip
_PHRASE: Final = frozenset(
    {"and", "the", "a", "of", "some", "with", "all", "that", "your", "my", "those", "both",
     "back", "this", "every", "each"}
)  # fmt: skip


@dataclass(slots=True)
class Doing:
    """Tokens ``start`` to ``end`` of a clause's Doc around one verb; None when none was said."""

    clause: Clause
    action: Mark | None
    start: int
    end: int

    def of(self, *labels: str) -> list[Mark]:
        """The doing's marks with one of ``labels``."""
        return [
            m for m in self.clause.marks if m.label in labels and self.start <= m.start < self.end
        ]

    def lowers(self) -> list[str]:
        """The doing's words in lower case."""
        return [t.lower_ for t in self.clause.doc[self.start : self.end]]

    def after(self) -> list[str]:
        """The words after the verb, in lower case; all words when there is none."""
        start = self.action.end if self.action is not None else self.start
        return [t.lower_ for t in self.clause.doc[start : self.end]]


def doings(clause: Clause) -> list[Doing]:
    """The doings of ``clause`` in order; exactly one without an action when nothing is done."""
    acts = _without_helpers(clause, usable(clause))
    if not acts:
        return [Doing(clause, None, clause.start, clause.end)]
    starts = [clause.start]
    first = acts[0]
    cut = _before_first(clause, first)
    for previous, act in pairwise(acts):
        starts.append(max(previous.end, _begin(clause, previous, act)))
    ends = [*starts[1:], clause.end]
    found = [Doing(clause, a, s, e) for a, s, e in zip(acts, starts, ends, strict=True)]
    if cut is not None:
        found[0].start = cut
        found.insert(0, Doing(clause, None, clause.start, cut))
    return [part for doing in found for part in _trailing(doing)]


def _trailing(doing: Doing) -> list[Doing]:
    """A time that begins anew behind its verb: "turn them, four more minutes", "mix and fridge an
    hour", "bring to a simmer, and then twelve minutes on low"."""
    doc, action = doing.clause.doc, doing.action
    if action is None:
        return [doing]
    kind, verb = action.value.kind, action.value.verb
    for time in doing.of(TIME):
        i = time.start
        while i - 1 >= action.end and doc[i - 1].lower_ in _BEFORE_TIME:
            i -= 1
        vessel = [m for m in doing.of(VESSEL) if action.end < m.start < i]
        if vessel and i - vessel[-1].end <= 1:
            i = vessel[-1].start
            while i - 1 >= action.end and doc[i - 1].lower_ in _BEFORE_VESSEL:
                i -= 1
        joint = doc[i - 1].lower_ if i - 1 >= action.end else ""
        apart = joint in (",", "and") and doc[time.end : time.end + 2].text.lower() in _OFF_HEAT
        then = apart or (
            joint in ("then", "and") and (kind != "cook" or doc[i - 2].lower_ in ("and", ","))
        )
        quick = kind == "prep" and verbs().get(verb, {}).get("takes") != "all"
        quick = quick and verb not in _TIMED_WORK
        anew = joint == "," and (verb in _AT_ONCE or quick or (kind == "prep" and bool(vessel)))
        if i > action.end + 1 and (then or anew):
            rest = Doing(doing.clause, None, i, doing.end)
            doing.end = i
            return [doing, rest]
    return [doing]


def _before_first(clause: Clause, first: Mark) -> int | None:
    """Where what was said before the first verb is a doing of its own.

    "Oven at 180 and line a tin": the oven's heat is not the lining's.
    """
    doc = clause.doc
    i = first.start
    while i - 1 > clause.start and doc[i - 1].lower_ in _LEAD:
        i -= 1
    hot = [m for m in clause.of(TEMPERATURE, TIME) if m.end <= i]
    if (
        i == first.start
        or not hot
        or (first.value.kind in ("cook", "hold", "weak") and first.value.verb not in _AT_ONCE)
    ):
        return None
    return i


def _without_helpers(clause: Clause, acts: Sequence[Mark]) -> list[Mark]:
    """Verbs without those that only help the next one: "let it rest", "go and chop"."""
    doc = clause.doc
    found: list[Mark] = []
    for n, act in enumerate(acts):
        following = acts[n + 1] if n + 1 < len(acts) else None
        if (
            following is not None
            and following.value.form == "fragment"
            and following.value.verb in ("cover", "uncover")
            and following.start - act.end <= 2
            and act.value.kind == "weak"
        ):
            continue  # "take the lid off"
        if following is not None and act.value.verb in _HELPERS:
            between = [t.lower_ for t in doc[act.end : following.start]]
            food = any(act.end <= m.start < following.start for m in clause.of(FOOD, AMOUNT, TIME))
            direct = act.value.verb in ("let", "leave", "get", "keep")
            joined = not between or between[-1] in ("to", "and", "it", "them", "that", "on", "for")
            gone = act.value.verb in ("go", "take", "get") and between == ["and"]
            linked = not between or (joined and "and" not in between and "," not in between)
            if gone or (linked and len(between) <= 4 and (direct or not food)):
                continue
            if direct and len(between) <= 5 and "and" not in between and "," not in between:
                continue
        found.append(act)
    return found


def _begin(clause: Clause, previous: Mark, act: Mark) -> int:
    """Where the words of ``act`` begin: at its lead-in, or before the food that it follows."""
    doc = clause.doc
    i = act.start
    while i - 1 >= previous.end and doc[i - 1].lower_ in _LEAD:
        i -= 1
    if act.value.form == "fragment" or act.value.verb in ("go", "come") or _subject(clause, act):
        fragment = act.value.form == "fragment"
        if fragment and doc[act.start - 1].lower_ in stand_in_words():
            return act.start - 1  # "fry two onions | meat back in"
        j = _front(clause, previous.end, act.start if fragment else i)
        own = any(previous.end <= m.start < j for m in clause.of(FOOD, PART))
        broken = any(t.lower_ in (",", "and", "then") for t in doc[previous.end : j + 1])
        if j < act.start and (own or broken or fragment):
            return j
    return i


def _subject(clause: Clause, act: Mark) -> bool:
    return act.start > clause.start and clause.doc[act.start - 1].lower_ in ("you", "i", "we")


def _front(clause: Clause, least: int, i: int) -> int:
    """Back over foods and amounts that stand right before token ``i``."""
    doc = clause.doc
    inside = {k for m in clause.of(FOOD, AMOUNT, RELATIVE, PART) for k in range(m.start, m.end)}
    start = i
    while i - 1 >= least and (i - 1 in inside or doc[i - 1].lower_ in _PHRASE):
        i -= 1
        if i in inside or doc[i].lower_ in ("the", "a", "some", "all"):
            start = i
    return start
