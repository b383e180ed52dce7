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
from hobnote.following.moods import negated, within
from hobnote.marking.actions import ActionValue
from hobnote.marking.fragments import stand_in_words
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    CLAIM,
    FOOD,
    HEAT,
    PART,
    PORTIONS,
    RELATIVE,
    TEMPERATURE,
    TIME,
    UNTIL,
    VESSEL,
    Mark,
)

_HELPERS: Final = frozenset(
    {"let", "leave", "keep", "get", "start", "go", "give", "have", "use", "need", "want", "put",
     "set", "take", "pop", "stick", "follow", "turn", "come"}
)  # fmt: skip
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
_AT_ONCE: Final = frozenset({"give", "turn", "flip", "break", "drain", "remove"})
_TAKEN_OUT: Final = frozenset({"take", "leave", "keep"})
_HANDS_OFF: Final = frozenset(
    {"touch", "move", "stir", "disturb", "fiddle", "poke", "lift", "open"}
)
RECALLING: Final = frozenset({"forgot", "forget", "forgotten", "meant", "misspoke"})
_LETTING: Final = frozenset({"let", "leave", "get"})
_OFF_HEAT: Final = frozenset({"off heat", "off the"})
_BEFORE_TIME: Final = frozenset(
    {"for", "another", "about", "a", "good", "the", "it's", "its", "just", "maybe", "around", "say"}
)  # fmt: skip
_BEFORE_VESSEL: Final = frozenset({"in", "the", "into", "to", "a", "it's", "'s", "it", "that"})
_OWN: Final = frozenset({"i", "i'm", "'m", "m", "im", "we", "we're", "'re", "you", "keep", "start"})
_SELF: Final = frozenset({"it", "they", "that", "this", "he", "she", "which", "who", "there"})
_MODALS: Final = frozenset(
    {"will", "'ll", "ll", "should", "can", "may", "might", "would", "'d", "could", "does", "do",
     "did", "to", "must", "just", "always", "never"}
)  # fmt: skip
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
    acts = _without_helpers(clause, _usable(clause))
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
        anew = joint == "," and (verb in _AT_ONCE or (kind == "prep" and bool(vessel)))
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


def _usable(clause: Clause) -> list[Mark]:
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
