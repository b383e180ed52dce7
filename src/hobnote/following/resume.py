"""Taking a recipe up again: the follower's state, rebuilt from its events alone.

A message in a conversation goes through the same follower as the first note.
What the follower remembered then (rows, their amounts, the part of the dish,
the last step) is worked out again from the events, so a conversation that was
stopped and resumed cannot differ from one that was not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from hobnote.following import events as ev
from hobnote.following.amounts import added, scaled
from hobnote.following.order import moved
from hobnote.following.state import RowState, State, StepState
from hobnote.marking.lexicon import verbs
from hobnote.reading.dictation import Dictation

_LONG_AGO = 0
_JUST_NOW = 1000
"""Utterance numbers: what the last message touched was said just now, all else long ago."""


@dataclass(slots=True)
class Known:
    """The rows and steps that a list of events leaves, by key, in order of appearance."""

    rows: dict[str, RowState] = field(default_factory=dict)
    steps: dict[str, StepState] = field(default_factory=dict)
    component: str = "main"
    touched: list[str] = field(default_factory=list)
    """Keys of rows, the latest touched last; dropped rows are not among them."""
    gone: list[RowState] = field(default_factory=list)
    """Rows that were dropped and have not come back, the latest last."""

    def places(self) -> dict[tuple[str, int], str]:
        """(component, position in it) of every row of the tallied record, to its key."""
        found: dict[tuple[str, int], str] = {}
        counts: dict[str, int] = {}
        for row in self.rows.values():
            n = counts.get(row.component, 0)
            found[row.component, n] = row.key
            counts[row.component] = n + 1
        return found


def known(events: Sequence[ev.Event]) -> Known:
    """What ``events`` leave, without weighing anything."""
    now = Known()
    for event in events:
        _take(now, event)
    return now


def state_of(
    events: Sequence[ev.Event], dictation: Dictation, *, prefix: str = "", recent: int = 0
) -> State:
    """The follower's state after ``events``, ready for ``dictation``, the next message.

    ``prefix`` keeps its keys apart from earlier ones. The last ``recent``
    events are those of the message just before it.
    """
    now = known(events)
    state = State(dictation, prefix=prefix, utterance=_JUST_NOW)
    fresh = {_key(event) for event in events[len(events) - recent :]} if recent else set()
    for row in now.rows.values():
        row.utterance = _JUST_NOW if row.key in fresh else _LONG_AGO
    for step in now.steps.values():
        step.utterance = _JUST_NOW if step.key in fresh else _LONG_AGO
    state.rows = list(now.rows.values())
    state.steps = list(now.steps.values())
    state.component = now.component
    state.recent = [now.rows[key] for key in now.touched]
    state.topic = state.recent[-1] if state.recent else None
    measured = [row for row in state.recent if row.measured]
    state.last_measured = measured[-1] if measured else None
    state.weighing = any(row.amount.basis == "weighed" for row in state.rows)
    return state


def _key(event: ev.Event) -> str | None:
    return getattr(event, "key", None)


def _take(now: Known, event: ev.Event) -> None:
    match event:
        case ev.Named():
            if event.key not in now.rows:
                now.rows[event.key] = RowState(
                    event.key,
                    event.name,
                    event.component,
                    swap_for=event.swap_for,
                    optional=event.optional,
                )
                now.component = event.component
                now.gone = [row for row in now.gone if row.key != event.key]
        case ev.Opened():
            now.component = event.name
        case ev.Dropped():
            row = now.rows.pop(event.key, None)
            if row is not None:
                now.gone.append(row)
            if event.key in now.touched:
                now.touched.remove(event.key)
        case ev.Stepped():
            details = verbs().get(event.verb, {})
            now.steps[event.key] = StepState(
                event.key,
                event.verb,
                details.get("kind", "cook"),
                _LONG_AGO,
                list(event.ingredients),
                timed=event.minutes is not None,
                heated=event.heat is not None,
                tempered=event.temperature_c is not None,
                cored=event.core_c is not None,
                vessel=event.vessel,
            )
        case ev.StepChanged():
            _change(now, event)
        case ev.StepDropped():
            now.steps.pop(event.key, None)
        case ev.Moved(what="row"):
            now.rows = moved(now.rows, event.key, event.before)
        case ev.Moved():
            now.steps = moved(now.steps, event.key, event.before)
        case _:
            _row(now, event)
    if isinstance(event, ev.Named | ev.Measured | ev.Related | ev.Described | ev.Mentioned):
        _touch(now, event.key)


def _change(now: Known, event: ev.StepChanged) -> None:
    step = now.steps.get(event.key)
    if step is None:
        return
    step.ingredients.extend(k for k in event.ingredients if k not in step.ingredients)
    gone = event.cleared
    step.timed = event.minutes is not None or (step.timed and "minutes" not in gone)
    step.heated = event.heat is not None or (step.heated and "heat" not in gone)
    step.vessel = event.vessel or (None if "vessel" in gone else step.vessel)
    step.tempered = event.temperature_c is not None or (
        step.tempered and "temperature_c" not in gone
    )


def _row(now: Known, event: ev.Event) -> None:
    row = now.rows.get(_key(event) or "")
    if row is None:
        return
    if isinstance(event, ev.Measured):
        if event.how == "add" and row.measured:
            row.amount = added(row.amount, event.amount) or row.amount
        elif event.how != "also" or not row.measured:
            row.amount = event.amount
    elif isinstance(event, ev.Related) and event.to in now.rows:
        row.amount = scaled(now.rows[event.to].amount, event.factor, event.said)
    elif isinstance(event, ev.Described):
        row.name = event.name or row.name
        row.component = event.component or row.component
        row.optional = row.optional if event.optional is None else event.optional


def _touch(now: Known, key: str) -> None:
    if key not in now.rows:
        return
    if key in now.touched:
        now.touched.remove(key)
    now.touched.append(key)
