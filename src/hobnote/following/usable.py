"""Which verbs of a clause are done: not denied, not a description, a purpose or a story.

A verb that only sets the heat ("turn it to low"), what the food does by itself
("it bubbles"), what something is for ("water to loosen") and what happened
another time make no doing.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from hobnote.following.clauses import Clause
from hobnote.following.moods import negated, within
from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import ACTION, CLAIM, FOOD, HEAT, PORTIONS, TIME, UNTIL, Mark

_TO_BE: Final = frozenset({"let", "leave", "put", "set", "place", "pop", "bring", "take", "keep"})
_FORWARD: Final = frozenset(
    {"going", "want", "need", "needs", "wants", "have", "has", "got", "ready", "start", "time",
     "try", "remember", "used", "wanna", "able", "bring", "brought", "is", "was", "up", "back",
     "on", "first", "then", "now", "and", "aside", "allow", "how", "ought", "do"}
)  # fmt: skip
_ADVERBS: Final = frozenset(
    {"just", "gently", "slowly", "really", "barely", "only", "quickly", "fully", "properly"}
)
_NO_STEP_BEFORE_ING: Final = frozenset(
    {"before", "after", "without", "for", "from", "of", "by", "like", "when", "avoid", "stop",
     "about", "than", "in", "need", "is", "'s", "no", "mind", "instead", "worth", "while",
     "whilst", "through", "as", "are", "was", "were", "be", "it", "they", "that", "goes"}
)  # fmt: skip
_HEAT_SETTERS: Final = frozenset(
    {"turn", "reduce", "lower", "put", "set", "bring", "take", "heat", "get", "drop", "keep", "go"}
)  # fmt: skip
_ENDS: Final = frozenset({".", ",", "!", "and", "then", "until", "till", "\n", "with"})
_TAKEN_OUT: Final = frozenset({"take", "leave", "keep"})
_HANDS_OFF: Final = frozenset(
    {"touch", "move", "stir", "disturb", "fiddle", "poke", "lift", "open"}
)
RECALLING: Final = frozenset({"forgot", "forget", "forgotten", "meant", "misspoke"})
_LETTING: Final = frozenset({"let", "leave", "get"})
_OWN: Final = frozenset({"i", "i'm", "'m", "m", "im", "we", "we're", "'re", "you", "keep", "start"})
_SELF: Final = frozenset({"it", "they", "that", "this", "he", "she", "which", "who", "there"})
_MODALS: Final = frozenset(
    {"will", "'ll", "ll", "should", "can", "may", "might", "would", "'d", "could", "does", "do",
     "did", "to", "must", "just", "always", "never"}
)  # fmt: skip


def denials(clause: Clause) -> list[range]:
    """Token ranges in which nothing is done or said: a negation up to the next verb but one.

    "don't stir it | simmer for ten minutes": without punctuation the next
    order ends the negation, unless "or" joins it. "Take the beef out" denies nothing,
    and "don't touch it for three minutes" tells how long it cooks.
    """
    doc = clause.doc
    found: list[range] = []
    for scope in negated(clause):
        if doc[scope.start].lower_ in _TAKEN_OUT:
            continue
        acts = [m for m in clause.of(ACTION) if scope.start <= m.start < scope.stop]
        end = scope.stop
        for previous, act in pairwise(acts):
            between = [t.lower_ for t in doc[previous.end : act.start]]
            if previous.value.verb in _LETTING and len(between) <= 2:
                continue  # "don't let it boil"
            if act.value.form == "base" and not {"or", "nor"} & set(between):
                end = act.start
                break
        if any(doc[i].lower_ in _HANDS_OFF for i in range(scope.start, min(end, scope.start + 5))):
            end = min([end, *(m.start for m in clause.of(TIME) if m.start >= scope.start)])
        found.append(range(scope.start, end))
    return found


def usable(clause: Clause) -> list[Mark]:
    scopes = denials(clause)
    silent = clause.of(UNTIL, CLAIM, PORTIONS) + clause.cues("correction", "total")
    doc = clause.doc
    named = {m.start for m in clause.of(FOOD) if doc[m.end : m.end + 2].text == "with it"}
    found: list[Mark] = []
    for m in clause.of(ACTION):
        value: ActionValue = m.value
        if value.kind == "weigh" or within(m.start, scopes) or m.start in named:
            continue
        waits = value.verb == "wait" and any(0 <= t.start - m.end <= 3 for t in clause.of(TIME))
        if not waits and any(
            s.start <= m.start < s.end and (s.label != PORTIONS or value.verb == "serve")
            for s in silent
        ):
            continue
        if (
            _sets_heat(clause, m)
            or is_purpose(clause, m)
            or _describes(clause, m)
            or _happens(clause, m)
        ):
            continue
        found.append(m)
    return found


def _sets_heat(clause: Clause, action: Mark) -> bool:
    """ "turn it to medium", "reduce to low", "heat down": the heat is changed, nothing is done."""
    if action.value.verb not in _HEAT_SETTERS:
        return False
    near = [m for m in clause.of(HEAT) if m.end > action.start and m.start - action.end <= 4]
    foods = [m for m in clause.of(FOOD) if any(action.end <= m.start < h.start for h in near)]
    return bool(near) and not foods and not any(h.start > action.end + 4 for h in near)


def _words_before(clause: Clause, mark: Mark, reach: int = 4) -> list[str]:
    return [t.lower_ for t in clause.doc[max(clause.start, mark.start - reach) : mark.start]]


def is_purpose(clause: Clause, action: Mark) -> bool:
    """ "a splash of water to loosen": what something is for, not a step."""
    doc = clause.doc
    i = action.start - 1
    while i > clause.start and doc[i].lower_ in _ADVERBS:
        i -= 1
    if i == clause.start and doc[i].lower_ == "to" and not clause.first:
        led = doc[i - 1].lower_ in _FORWARD or doc[i - 1].is_punct
        if not led and doc[i - 1].tag_ in ("NN", "NNS") and not clause.of(TIME):
            return bool(action.value.kind != "serve")  # "against the side to thicken it"
        return action.value.kind not in ("serve", "hold", "cook") and not clause.of(TIME)
    if i <= clause.start or doc[i].lower_ != "to" or doc[i].is_sent_start:
        return False
    if doc[i - 1].lower_ in _FORWARD or doc[i - 1].is_punct:
        return False
    if action.value.kind not in ("hold", "cook"):
        return True
    if any(0 <= t.start - action.end <= 4 for t in clause.of(TIME)):
        return False
    # "leave it to cool", "put it on to boil"
    return not any(
        m.value.verb in _TO_BE and 0 < action.start - m.end <= 5
        for m in clause.of(ACTION)
        if m.start < action.start
    )


def _describes(clause: Clause, action: Mark) -> bool:
    """A participle that only describes ("red pepper, diced", "before peeling", "stirring")."""
    value: ActionValue = action.value
    before = _words_before(clause, action)
    if value.form == "past":
        own = any(w in ("i", "we", "i've", "we've", "'ve", "you", "gets", "get", "got")
                  for w in before)  # fmt: skip
        timed = bool(clause.of(TIME)) and value.kind in ("cook", "hold")
        if {"after", "once", "when", "before", "until"} & set(before[-3:]):
            return True
        if told(clause, action):
            return True
        next_word = clause.doc[action.end].lower_ if action.end < clause.end else "."
        inside = value.particle == "in" and value.kind in ("prep", "add") and next_word in _ENDS
        onto = inside or (
            value.particle in ("over", "on", "through") and value.verb not in ("turn", "get")
        )
        return not own and not timed and not onto
    if value.form == "ing":
        if any(w in _OWN for w in before[-2:]):
            return False
        return bool(before) and (
            before[-1] in _NO_STEP_BEFORE_ING
            or any(m.end <= action.start for m in clause.of(ACTION))
        )
    return False


def told(clause: Clause, action: Mark) -> bool:
    """ "I poured it on hot once": what happened another time."""
    value: ActionValue = action.value
    if value.form != "past":
        return False
    after = [t.lower_ for t in clause.doc[action.end : clause.end] if not t.is_punct]
    if "once" in after:
        i = after.index("once")
        return i + 1 == len(after) or after[i + 1] in ("and", "but")
    pairs = set(pairwise(after))
    return any((word, "time") in pairs for word in ("last", "first", "one", "that"))


def _happens(clause: Clause, action: Mark) -> bool:
    """ "it tears", "they will shrink": what the food does, not what the cook does."""
    value: ActionValue = action.value
    if value.verb in ("go", "come") or value.form not in ("s", "base"):
        return False
    if value.subject is not None and "before" in _words_before(clause, action, 3):
        return value.kind != "serve"  # "that's before you squeeze it"
    timed = bool(clause.of(TIME)) and value.kind in ("cook", "hold")
    if value.form == "s":
        recalled = bool(RECALLING & set(clause.lowers())) or bool(clause.cues("correction"))
        return not timed or (value.subject is None and not recalled)
    before = _words_before(clause, action, 3)
    modal = len(before) > 1 and before[-1] in ("should", "will", "'ll")
    if modal and value.subject is None and before[-2] not in ("i", "we", "you"):
        return not timed  # "the fish should flake"
    if before[-1:] and before[-1] in _SELF and {"before", "when", "once", "as"} & set(before):
        return True
    while before and before[-1] in _MODALS:
        before.pop()
    helped = any(
        m.value.verb in ("let", "make", "leave", "keep") and 0 <= action.start - m.end <= 4
        for m in clause.of(ACTION)
    )
    modal = len(before) < len(_words_before(clause, action, 3))
    alone = bool(before) and before[-1] in _SELF
    return alone and not helped and not timed and value.subject != "you" and modal
