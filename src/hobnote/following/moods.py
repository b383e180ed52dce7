"""The mood of each clause: the recipe, or a story, a wish, another dish, a plug.

Only a clause in the mood ``recipe`` may bring ingredients and steps in.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from hobnote.following.clauses import Clause
from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    CLAIM,
    CUE,
    FOOD,
    HEAT,
    PART,
    TEMPERATURE,
    TIME,
    UNTIL,
    Mark,
)

Mood = Literal["recipe", "title", "past", "hypothetical", "other", "plug"]

ASIDE_SCORE: Final = 0.8
"""Learned aside score from which an utterance without measured evidence is an aside."""

SHORTEST_ASIDE: Final = 5
"""Tokens from which an utterance may be an aside on its learned score alone."""

_RESUME: Final = frozenset(
    {"but", "so", "anyway", "anyways", "today", "now", "right", "okay", "ok", "however", "this",
     "here", "then", "i'm", "we're", "let's"}
)  # fmt: skip
_NOT_NEGATING: Final = frozenset(
    {"too", "much", "more", "very", "just", "only", "quite", "idea", "problem", "rush",
     "worries", "doubt", "matter", "longer", "later", "less", "fuss", "bother", "need", "sure",
     "exactly", "gonna", "going", "forget", "be", "worry", "panic", "even", "that", "all",
     "bad", ",", "."}
)  # fmt: skip
_ANSWERING: Final = frozenset(
    {"sorry", "wait", "hang", "hold", "i", "it", "make", "a", "an", "the", "that", "let", "we",
     "you", "actually", "hundred", "not"}
)  # fmt: skip
_SCOPE_END: Final = frozenset({"but", "just", "only", "instead", "because", ",", "or", "so", "use"})
_SAID_OF: Final = frozenset(
    {"from", "at", "in", "is", "are", "tastes", "taste", "looks", "smells", "goes", "would",
     "pairs", "better", "cheaper", "compared", "unlike", "than", "out", "down"}
)  # fmt: skip
_LEAVING: Final = frozenset({"leave", "leaving", "left", "keep", "take"})
_DROPPING: Final = frozenset(
    {"leave", "leaving", "left", "skip", "skipping", "omit", "ditch", "hold", "take"}
)


def moods(clauses: Sequence[Clause], aside_score: float | None = None) -> list[Mood]:
    """One mood a clause. ``aside_score`` is the learned score of the utterance, if any."""
    found: list[Mood] = []
    current: Mood = "recipe"
    for clause in clauses:
        own = _own_mood(clause)
        if own != "recipe":
            current = own
        elif current != "recipe" and _resumes(clause):
            current = "recipe"
        found.append(current)
    for n in range(len(found) - 1, 0, -1):
        if found[n] == "other" and found[n - 1] == "recipe" and _told_of(*clauses[n - 1 : n + 1]):
            found[n - 1] = "other"
    if (
        aside_score is not None
        and aside_score >= ASIDE_SCORE
        and not any(_evidence(c) or c.of(PART) for c in clauses)
        and clauses[-1].end - clauses[0].start >= SHORTEST_ASIDE
    ):
        return ["other" if m == "recipe" else m for m in found]
    return found


def _told_of(clause: Clause, after: Clause) -> bool:
    """ "the bagel | from the café next door": what the digression is said of goes with it."""
    doc = clause.doc
    if clause.of(ACTION, AMOUNT, TIME, CLAIM) or clause.cues("list", "total"):
        return False
    if doc[clause.end - 1].is_punct or doc[clause.end - 1].is_space:
        return False
    return doc[after.start].lower_ in _SAID_OF


def _digressing(clause: Clause, *kinds: str) -> bool:
    """Whether a cue says so outside an until-phrase ("till it's like damp sand")."""
    untils = clause.of(UNTIL)
    return any(not any(u.start <= cue.start < u.end for u in untils) for cue in clause.cues(*kinds))


def _own_mood(clause: Clause) -> Mood:
    if _digressing(clause, "plug"):
        return "plug"
    if _digressing(clause, "past") or _third_person(clause):
        holding = any(m.value.kind == "hold" for m in clause.of(ACTION) if _acts(m))
        return "recipe" if holding else "past"
    if _digressing(clause, "hypothetical") and not clause.cues("optional"):
        return "hypothetical"
    if _digressing(clause, "other"):
        return "other"
    return "recipe"


_THEY_DO: Final = frozenset({"puts", "adds", "uses", "makes", "does", "swears", "throws"})


def _third_person(clause: Clause) -> bool:
    """Somebody else does it: "he used veal bones", "she puts mustard in hers"."""
    doc = clause.doc
    for i in range(clause.start, clause.end - 2):
        mine = doc[i].lower_ == "my" and doc[i + 1].tag_ == "NN"
        if mine and doc[i + 2].lower_ in _THEY_DO:
            return True  # "my buddy puts a whole beer in his"
    return any(
        doc[i].lower_ in ("he", "she") and doc[i + 1].tag_ in ("VBD", "VBZ", "VBP", "RB", "MD")
        for i in range(clause.start, clause.end - 1)
    )


def _acts(mark: Mark) -> bool:
    return isinstance(mark.value, ActionValue)


def _resumes(clause: Clause) -> bool:
    """Whether the clause goes back to the dish after a digression."""
    words = clause.lowers()
    opening = any(w in _RESUME for w in words[:2])
    return opening and _evidence(clause)


def _evidence(clause: Clause) -> bool:
    """Whether something is measured, timed or done in the clause."""
    if clause.of(TIME, HEAT, TEMPERATURE) and clause.of(ACTION):
        return True
    exact = any(getattr(m.value, "unit", None) is not None for m in clause.of(AMOUNT))
    if exact and (clause.of(FOOD) or clause.cues("total", "correction")):
        return True
    if clause.of(FOOD) and any(getattr(m.value, "vague", None) for m in clause.of(AMOUNT)):
        return True  # "a handful of parsley", "some spring onion"
    doing = any(
        m.value.kind in ("add", "cook", "prep", "hold") and m.value.form in ("base", "ing")
        for m in clause.of(ACTION)
        if _acts(m)
    )
    return doing and bool(clause.of(FOOD))


def negated(clause: Clause) -> list[range]:
    """Token ranges of ``clause`` in the scope of a negation."""
    ranges: list[range] = []
    doc = clause.doc
    corrections = {i for m in clause.cues("correction") for i in range(m.start, m.end)}
    for cue in clause.cues("negation"):
        if cue.start in corrections and cue.end - cue.start == 1 and doc[cue.start].lower_ == "no":
            continue
        measured = any(m.end > cue.end for m in clause.of(AMOUNT))
        measured = measured or doc[clause.end - 1].text == ":"
        if doc[cue.start].lower_ == "forgot" and measured:
            continue  # "forgot garlic: 3 cloves"
        after = doc[cue.end].lower_ if cue.end < clause.end else ","
        last = doc[cue.end - 1].lower_
        if last in ("no", "not", "n't", "nt") and after in _NOT_NEGATING:
            continue
        if last == "no" and (
            after in _ANSWERING or any(m.start == cue.end for m in clause.of(AMOUNT))
        ):
            continue  # "four, no five eggs"
        ranges.append(range(cue.start, _scope_end(clause, cue.end)))
    for i in range(clause.start, clause.end):
        if doc[i].lower_ in _LEAVING:  # "leave the sugar out"
            out = next(
                (j for j in range(i + 1, min(i + 7, clause.end)) if doc[j].lower_ == "out"), 0
            )
            if out > i + 1 and any(i < m.start < out for m in clause.of(FOOD)):
                ranges.append(range(i, out + 1))
        if doc[i].lower_ == "neither":  # "Capers neither."
            ranges.append(range(clause.start, i + 1))
    return ranges


def _scope_end(clause: Clause, start: int) -> int:
    """Where a negation ends: at a joint, or where a measured food follows a negated one."""
    doc = clause.doc
    amounts = {m.start for m in clause.of(AMOUNT)}
    foods = [m for m in clause.of(FOOD) if m.start >= start]
    begun = False
    for i in range(start, clause.end):
        if doc[i].lower_ in _SCOPE_END or (begun and i in amounts):
            return i
        if doc[i].lower_ in ("it", "them") and any(m.start == i + 1 for m in foods):
            return i + 1
        begun = begun or any(m.end - 1 <= i for m in foods)
    return clause.end


def drops(clause: Clause, scope: range) -> bool:
    """Whether the negation takes out something that was in ("leave out", "skip", "actually no")."""
    doc = clause.doc
    first = doc[scope.start].lower_
    if first in _DROPPING:
        return True
    if first == "not" and scope.start > 0 and doc[scope.start - 1].lower_ in ("no", ","):
        return True
    return first == "no" and any(m.start < scope.start for m in clause.cues("correction"))


def within(position: int, ranges: Sequence[range]) -> bool:
    """Whether a token index lies in one of ``ranges``."""
    return any(position in r for r in ranges)


def cue_before(clause: Clause, position: int, kinds: Sequence[str], reach: int = 3) -> Mark | None:
    """The nearest cue of ``kinds`` ending at most ``reach`` tokens before ``position``."""
    near = [
        m
        for m in clause.marks
        if m.label == CUE and m.value in kinds and m.end <= position and position - m.end <= reach
    ]
    return max(near, key=lambda m: m.end, default=None)
