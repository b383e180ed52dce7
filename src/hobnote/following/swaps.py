"""Who stands in for whom: the roles of the foods of an utterance that offers a swap.

A role says that a food replaces another ("you can use kefir instead of
buttermilk"), is only named as what was replaced, or is not in the dish at all
("I'm using kefir instead of buttermilk": buttermilk).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from spacy.tokens import Doc

from hobnote.following.clauses import Clause
from hobnote.following.eaters import for_eaters, none_left
from hobnote.following.moods import drops, negated
from hobnote.following.roles import Role
from hobnote.following.standins import Standing, could_be, either, fallback, not_that
from hobnote.marking.marks import CUE, FOOD, RELATIVE, Mark

_MODAL: Final = frozenset(
    {"can", "could", "may", "might", "if", "would", "or", "works", "work", "fine", "should",
     "want", "like", "prefer", "maybe", "whatever", "either", "feel", "free", "swap", "d"}
)  # fmt: skip
_WITH: Final = frozenset({"with", "by", "to"})
_DIETS: Final = frozenset(
    {"vegan", "vegans", "vegetarian", "vegetarians", "veggie", "veggies", "coeliac", "coeliacs",
     "dairy", "gluten", "calories", "fat", "lighter", "cheaper", "protein", "healthier"}
)  # fmt: skip
_ASIDE: Final = frozenset(
    {"also", "just", "would", "will", "probably", "even", "easily", "then", "there", "honestly",
     "really", "definitely", "actually", "as", "well", "too", "totally", "usually", "often"}
)  # fmt: skip
"""Words that may stand between a food and the "works too" that is said of it."""
_FIRST: Final = frozenset({"i", "we", "i'm", "we're", "i've", "we've", "i'd"})
_ALSO: Final = frozenset({"also", "too", "version", "sometimes"})
_FREE: Final = Role("free")


def swap_roles(clauses: Sequence[Clause], known: Standing = lambda _: False) -> dict[Mark, Role]:
    """The role of every food of the utterance that has one.

    ``known`` tells foods that earlier utterances put into the recipe: what is
    told to go "instead of" one of those is on offer, what goes instead of a food
    never named before is simply what the cook uses.
    """
    foods = sorted((m for c in clauses for m in c.of(FOOD)), key=lambda m: m.start)
    cues = [m for c in clauses for m in c.marks if m.label == CUE]
    roles: dict[Mark, Role] = {}
    if not foods:
        return roles
    words = [t.lower_ for c in clauses for t in c.doc[c.start : c.end]]

    def standing(mark: Mark) -> bool:
        earlier = any(f.end <= mark.start and f.value.name == mark.value.name for f in foods)
        return earlier or known(mark)

    modal = any(w in _MODAL for w in words) or any(
        c.value in ("condition", "lacking", "optional", "eater", "alternative") for c in cues
    )
    condition = _condition(clauses)
    for cue in cues:
        if cue.value == "instead":
            offered = modal or _offered(_beside(clauses, cue), foods, cue, standing)
            _instead(clauses, foods, cue, offered, condition, roles)
        elif cue.value == "swap":
            _swap_verb(clauses, foods, cue, condition, roles)
        elif cue.value == "lacking":
            _lacking(clauses, foods, cue, condition, roles)
        elif cue.value == "lacking_after":
            _lacking_after(foods, cue, condition, roles)
        elif cue.value == "only":
            near = [f for f in foods if 0 <= f.start - cue.end <= 4 and f not in roles]
            if near:
                roles[near[0]] = Role("swap", None, condition)
    for cue in cues:
        if cue.value == "alternative":
            _alternative(clauses, foods, cue, condition, roles)
        elif cue.value == "instead_after" and not any(
            c.value == "instead" and c.start == cue.start for c in cues
        ):
            before = [f for f in foods if f.end <= cue.start]
            if before and before[-1] not in roles and (modal or not _FIRST & _beside(clauses, cue)):
                roles[before[-1]] = Role("swap", _previous(foods, before[-1]), condition)
    none_left(clauses, foods, condition, roles, standing)
    could_be(clauses, foods, condition, roles, standing)
    not_that(clauses, foods, condition, roles, standing, modal)
    fallback(clauses, foods, roles)
    _left_out(clauses, foods, roles, condition)
    _same_amount(clauses, foods, roles, modal, condition)
    either(clauses, foods, roles)
    for_eaters(clauses, foods, condition, roles)
    return roles


def _beside(clauses: Sequence[Clause], cue: Mark) -> set[str]:
    """The words around the cue: its clause, from the joint before the food offered."""
    clause = next((c for c in clauses if c.start <= cue.start < c.end), clauses[-1])
    doc, start = clause.doc, clause.start
    foods = [m.start for m in clause.of(FOOD) if m.end <= cue.start]
    until = foods[-1] if foods else cue.start
    joints = [i for i in range(start, until) if doc[i].lower_ in ("and", "but", "so", ",")]
    return {t.lower_ for t in doc[joints[-1] if joints else start : clause.end]}


def _offered(words: set[str], foods: Sequence[Mark], cue: Mark, standing: Standing) -> bool:
    """Whether "B instead of A" offers B: A stands, and it is not what the cook does now."""
    after = [f for f in foods if f.start >= cue.end]
    if not after or not standing(after[0]):
        return False
    return bool(_ALSO & words) or not _FIRST & words


def _lacking_after(
    foods: Sequence[Mark], cue: Mark, condition: str | None, roles: dict[Mark, Role]
) -> None:
    """when peaches are out of season I use mangoes: A stands before the cue."""
    before = [f for f in foods if f.end <= cue.start]
    after = [f for f in foods if f.start >= cue.end and f not in roles]
    if before and after:
        roles[after[0]] = Role("swap", before[-1], condition, explicit=True)
        roles[before[-1]] = Role("original")


def _same_amount(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    roles: dict[Mark, Role],
    modal: bool,
    condition: str | None,
) -> None:
    """ "rice flour, same weight": as much of B as there was of A means B for A."""
    doc = clauses[0].doc
    for clause in clauses:
        for relative in clause.of(RELATIVE):
            value = relative.value
            of = relative.end < len(doc) and doc[relative.end].lower_ == "of"
            if value.factor != 1 or value.reference or value.of_rest or of:
                continue
            before = [f for f in foods if f.end <= relative.start and relative.start - f.end <= 8]
            if not before or before[-1] in roles or doc[relative.end - 1].lower_ == "of":
                continue
            alone = len(foods) == 1 and before[-1].start - clauses[0].start <= 3
            if modal or alone or any(c.cues("condition") for c in clauses):
                roles[before[-1]] = Role("swap", None, condition)


def _left_out(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    roles: dict[Mark, Role],
    condition: str | None,
) -> None:
    """for the veggie crew leave out A and use B: B is offered instead of A."""
    if not any(c.cues("condition", "lacking", "optional") for c in clauses):
        return
    scopes = [(c, s) for c in clauses for s in negated(c) if drops(c, s)]
    doc = clauses[0].doc
    out = [
        f
        for f in foods
        if any(f.start in s for _, s in scopes)
        or any(t.lower_ in ("leave", "drop") for t in doc[max(0, f.start - 2) : f.start])
    ]
    if not out or out[0] in roles:
        return
    new = [
        f
        for f in foods
        if f.start > out[-1].start and f not in out and roles.get(f, _FREE).kind != "original"
    ]
    if new:
        roles[out[0]] = Role("original")
        roles[new[0]] = Role("swap", out[0], condition, explicit=True)


def _previous(foods: Sequence[Mark], food: Mark) -> Mark | None:
    earlier = [f for f in foods if f.end <= food.start]
    return earlier[-1] if earlier else None


def _condition(clauses: Sequence[Clause]) -> str | None:
    """The utterance's if-clause, as said."""
    for clause in clauses:
        if clause.doc[clause.start].lower_ == "if":
            return clause.text.strip(" ,.")
    return None


def _instead(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    cue: Mark,
    modal: bool,
    condition: str | None,
    roles: dict[Mark, Role],
) -> None:
    after = [f for f in foods if f.start >= cue.end]
    if not after or after[0].start - cue.end > 4:
        return
    replaced = after[0]
    before = [f for f in foods if f.end <= cue.start and f.value.name != replaced.value.name]
    if before and len(after) > 1 and _opens(clauses, cue):
        before = []  # "350 g of mince, and instead of the mince you can take lentils"
    new = before[-1] if before else (after[1] if len(after) > 1 else None)
    if modal and new is not None:
        roles[new] = Role("swap", replaced, condition, explicit=True)
        roles[replaced] = Role("original")
    else:
        roles[replaced] = Role("out")


def _opens(clauses: Sequence[Clause], cue: Mark) -> bool:
    """Whether the cue begins a clause, joints aside."""
    doc, i = clauses[0].doc, cue.start
    starts = {c.start for c in clauses}
    while i not in starts and doc[i - 1].lower_ in ("and", "or", "but", "so", "also", "oh"):
        i -= 1
    return i in starts or doc[i - 1].is_punct


def _swap_verb(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    cue: Mark,
    condition: str | None,
    roles: dict[Mark, Role],
) -> None:
    """swap A for B, replace A with B: B is new; substitute B for A: A is replaced."""
    after = [f for f in foods if f.start >= cue.end]
    if len(after) < 2:
        if len(after) == 1:
            previous = _previous(foods, after[0])
            roles[after[0]] = Role("swap", previous, condition)
        return
    doc = clauses[0].doc
    first, second = after[0], after[1]
    gap = {doc[i].lower_ for i in range(first.end, second.start)}
    verb = doc[cue.start].lower_
    if verb.startswith("sub") and "for" in gap and not gap & _WITH:
        first, second = second, first
    roles[second] = Role("swap", first, condition, explicit=True)
    roles[first] = Role("original")


def _lacking(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    cue: Mark,
    condition: str | None,
    roles: dict[Mark, Role],
) -> None:
    """if you haven't got A, use B: A was there already."""
    doc = clauses[0].doc
    after = [f for f in foods if f.start >= cue.end]
    if not after:
        earlier = [f for f in foods if f.end <= cue.start]
        if earlier and earlier[-1] not in roles:
            roles[earlier[-1]] = Role("swap", _previous(foods, earlier[-1]), condition)
        return
    offered = [
        f
        for f in foods
        if f.end <= cue.start
        and any(
            m.value in ("alternative", "instead_after") and abs(m.start - f.start) <= 8
            for c in clauses
            for m in c.marks
            if m.label == CUE and m.start < cue.start
        )
    ]
    if offered and offered[-1] not in roles:
        # "you can use oats instead if someone's off bread": B was said before A
        roles[offered[-1]] = Role("swap", after[0], condition, explicit=True)
        roles[after[0]] = Role("original")
        return
    near = after[0].start - cue.end <= 4
    if {t.lower_ for t in doc[cue.start : cue.end]} & _DIETS:
        # "if you want it vegan, margarine for the butter": what is named first is new
        near = False
        if any(r.kind == "swap" and f.end <= cue.start for f, r in roles.items()):
            return  # "tamari in place of the soy if you're gluten free": told already
        if len(after) > 1 and _for(doc, after[0], after[1]):
            roles[after[1]] = Role("original")
            roles[after[0]] = Role("swap", after[1], condition, explicit=True)
            return
    if len(after) == 1 and cue.end < len(doc) and doc[cue.end].text in (",", ":"):
        near = False  # "if none, ham": nothing named is lacking, the ham is new
    original = after[0] if near else None
    new = after[1:] if near else after
    if original is not None and new:
        roles[original] = Role("original")
    for food in new[:1]:
        named = original is not None
        roles[food] = Role("swap", original, condition, explicit=named)
    if original is not None and not new:
        earlier = [f for f in foods if f.end <= cue.start]
        if earlier:
            roles[original] = Role("original")
            roles.setdefault(earlier[-1], Role("swap", original, condition, explicit=True))


def _for(doc: Doc, new: Mark, old: Mark) -> bool:
    """Whether nothing but "for the" stands between two foods."""
    words = [doc[i].lower_ for i in range(new.end, old.start)]
    return words in (["for"], ["for", "the"], ["for", "that"], ["for", "your"])


def _alternative(
    clauses: Sequence[Clause],
    foods: Sequence[Mark],
    cue: Mark,
    condition: str | None,
    roles: dict[Mark, Role],
) -> None:
    """B works too; you could use B: B replaces what was spoken of before."""
    doc = clauses[0].doc
    leading = any(t.lower_ in ("use", "for", "with", "take") for t in doc[cue.start : cue.end])
    if leading:
        near = [f for f in foods if f.start >= cue.end and f.start - cue.end <= 8]
        chosen = near[:1]
    else:
        near = [
            f
            for f in foods
            if f.end <= cue.start
            and all(doc[i].lower_ in _ASIDE or doc[i].is_punct for i in range(f.end, cue.start))
        ]
        chosen = near[-1:]
    named = [
        f
        for f in foods
        if 0 <= f.start - cue.end <= 4 and "for" in {t.lower_ for t in doc[cue.end : f.start]}
    ]
    for food in chosen:
        if food in roles:
            continue
        if named and not leading:  # "chickpeas work for the beans"
            roles[food] = Role("swap", named[0], condition, explicit=True)
            roles[named[0]] = Role("original")
        else:
            roles[food] = Role("swap", _previous(foods, food), condition)
