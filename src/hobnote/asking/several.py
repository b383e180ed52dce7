"""Several things told in one message: "serves six, and the oil was a tablespoon".

A message is cut at its joints and each piece read as a message of its own. It
is taken so only where every piece tells something, each about something else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from hobnote.asking.context import Context
from hobnote.asking.outcomes import Outcome, change
from hobnote.asking.questions import Question
from hobnote.asking.refusals import words
from hobnote.asking.settling import AMOUNTS, FOODS
from hobnote.following import events as ev
from hobnote.following.resume import known
from hobnote.marking.marks import AMOUNT, FOOD, HEAT, PORTIONS, TEMPERATURE, TIME

_JOINT: Final = re.compile(
    r"\s*[,;.!]\s+(?:and\s+|also\s+|oh\s+)*|\s+(?:and|plus|&)\s+(?:also\s+|then\s+)?"
    r"|\n+|\s+(?=at \d)"
)
_MOST: Final = 4
Reader = Callable[[Context], Outcome | None]


def several(context: Context, read: Reader) -> Outcome | None:
    """What all pieces of the message come to; None where one of them tells nothing."""
    for cuts in _cuttings(_joints(context)):
        outcome = _all(context, _pieces(context.text, cuts), read)
        if outcome is not None:
            return outcome
    return None


def _joints(context: Context) -> list[tuple[int, int]]:
    """Where the message may be cut: not within a figure or a name, nor before "no" or "but"."""
    text = context.text
    inside: list[tuple[int, int]] = []
    for doc, base, mark in context.marks(None, AMOUNT, FOOD, HEAT, PORTIONS, TEMPERATURE, TIME):
        span = doc[mark.start : mark.end]
        inside.append((base + span.start_char, base + span.end_char))
    found = []
    for joint in _JOINT.finditer(text):
        start, end = joint.span()
        rest = text[end:].casefold().split()
        within = any(a < end and start < b and not (end <= a or b <= start) for a, b in inside)
        if not start or not rest or (within and start != end):
            continue
        if rest[0].strip(",") not in words("starts over"):
            found.append((start, end))
    return found


def _cuttings(joints: list[tuple[int, int]]) -> Iterator[list[tuple[int, int]]]:
    if not 0 < len(joints) <= _MOST:
        return
    yield joints
    if len(joints) > 1:
        yield from ([joint] for joint in joints)


def _pieces(text: str, cuts: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    starts = [0, *(end for _, end in cuts)]
    ends = [*(start for start, _ in cuts), len(text)]
    return [(a, b) for a, b in zip(starts, ends, strict=True) if text[a:b].strip(" .,;!")]


def _all(context: Context, pieces: Sequence[tuple[int, int]], read: Reader) -> Outcome | None:
    if len(pieces) < 2:
        return None
    events: list[ev.Event] = []
    touched: set[str] = set()
    now = context
    for start, end in pieces:
        outcome = read(now.part((start, end)))
        if outcome is None or outcome.does != "change":
            return None
        about = {_about(event) for event in outcome.events if not isinstance(event, ev.Settled)}
        if about & touched or not outcome.events:
            return None
        touched |= about
        events += outcome.events
        now = replace(_after(now, outcome.events), dictation=context.dictation)
    return change(*events)


def _about(event: ev.Event) -> str:
    return str(getattr(event, "key", None) or event.kind)


def _after(context: Context, events: Sequence[ev.Event]) -> Context:
    """The recipe with ``events`` taken up; a question that was not shown cannot be answered."""
    told = [*context.events, *events]
    left = [q for q in context.questions if not _answered(q, events)]
    asked = context.asked if context.asked in left else None
    return replace(
        context, events=told, known=known(told), questions=left, asked=asked, last=()
    )


def _answered(question: Question, events: Sequence[ev.Event]) -> bool:
    for event in events:
        key = getattr(event, "key", None)
        if isinstance(event, ev.Portioned) and question.kind == "missing portions":
            return True
        if isinstance(event, ev.Settled) and (event.flag, key) == (question.kind, question.key):
            return True
        if key is None or key != question.key:
            continue
        if isinstance(event, ev.Dropped):
            return True
        if isinstance(event, ev.Measured | ev.Related) and question.kind in AMOUNTS:
            return True
        if isinstance(event, ev.Described) and event.name and question.kind in FOODS:
            return True
    return False
