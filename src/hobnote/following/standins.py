"""Two foods that stand for one another by the words between them: "A or B", "A could be B"."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from typing import Final

from hobnote.following.clauses import Clause
from hobnote.following.roles import Role
from hobnote.marking.marks import AMOUNT, Mark

_OR_GAP: Final = frozenset(
    {"or", "even", "some", "the", "a", ",", "else", "maybe", "just", "use", "any", "whatever",
     "really", "an", "you", "can", "plain", "/"}
)  # fmt: skip
_BE: Final = frozenset(
    {"could", "can", "may", "might", "also", "be", "just", "as", "well", "easily", "equally"}
)
_FALLBACK: Final = (("failing", "that"), ("if", "not"), ("otherwise",), ("or", "else"),
                    ("failing", "which"))  # fmt: skip

Standing = Callable[[Mark], bool]
"""Whether a food is a row of the recipe already."""


def could_be(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    condition: str | None,
    roles: dict[Mark, Role],
    standing: Standing,
) -> None:
    """The A could also be B."""
    doc = clauses[0].doc
    for a, b in itertools.pairwise(foods):
        gap = {doc[i].lower_ for i in range(a.end, b.start)} - {"a", "some", "the"}
        if "be" in gap and len(gap) > 1 and gap <= _BE and standing(a) and b not in roles:
            roles[a] = Role("original")
            roles[b] = Role("swap", a, condition, shares_amount=True, explicit=True)


def not_that(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    condition: str | None,
    roles: dict[Mark, Role],
    standing: Standing,
    modal: bool,
) -> None:
    """If you're vegan use B, not A."""
    if not modal:
        return
    doc = clauses[0].doc
    for b, a in itertools.pairwise(foods):
        gap = [doc[i].lower_ for i in range(b.end, a.start) if doc[i].lower_ not in (",", "the")]
        if gap == ["not"] and standing(a):
            roles[a] = Role("original")
            roles[b] = Role("swap", a, condition, explicit=True)


def fallback(clauses: Sequence[Clause], foods: Sequence[Mark], roles: dict[Mark, Role]) -> None:
    """Failing that, B. If not, B."""
    doc, start = clauses[0].doc, clauses[0].start
    lead = [t.lower_ for t in doc[start : foods[0].start] if not t.is_punct]
    for words in _FALLBACK:
        rest = lead[len(words) :]
        if tuple(lead[: len(words)]) == words and len(rest) <= 1 and foods[0] not in roles:
            roles[foods[0]] = Role("swap", None, shares_amount=True, tentative=True)


def either(clauses: Sequence[Clause], foods: Sequence[Mark], roles: dict[Mark, Role]) -> None:
    """A or B: B may stand in for A, in the same amount. "Or B." alone speaks of the topic."""
    doc = clauses[0].doc
    measured = {i for c in clauses for m in c.of(AMOUNT) for i in range(m.start, m.end)}
    first = foods[0]
    lead = [t.lower_ for t in doc[clauses[0].start : first.start]]
    if lead[:1] == ["or"] and len(lead) <= 4 and first not in roles:
        roles[first] = Role("swap", None, None, shares_amount=True)
    for a, b in itertools.pairwise(foods):
        gap = [doc[i] for i in range(a.end, b.start)]
        words = [t.lower_ for t in gap]
        if words == ["/"] and b not in roles:
            words = ["or"]  # "couscous/bulgur"
            gap = []
        if "or" not in words or b in roles or any(t.is_sent_start for t in gap):
            continue
        if any(c.cues("serving") for c in clauses if c.start <= b.start < c.end):
            continue  # "have it with mash or dumplings": both are beside the dish
        rest = words[words.index("or") + 1 :]
        plain = all(
            w in _OR_GAP or t.i in measured or t.tag_ in ("JJ", "NN", "VBN", "CD", "NNS", "IN")
            for w, t in zip(words, gap, strict=False)
        )
        if plain and len(gap) <= 6 and not ({"not", "without", "no"} & set(rest)):
            roles[b] = Role("swap", a, None, shares_amount=True, explicit=True)
