"""Which flag belongs to which row or step, and which were settled already. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from hobnote.following import events as ev
from hobnote.following.resume import Known, known
from hobnote.record import Flag, Record

AMOUNTS: Final = frozenset(
    {"vague amount", "missing amount", "measures disagree", "unlikely amount", "frying oil"}
)
FOODS: Final = frozenset({"unmatched food", "unsure food", "generic food", "mis-heard word"})


def flag_keys(
    record: Record, events: Sequence[ev.Event], now: Known | None = None
) -> dict[str, str | None]:
    """Flag id to the key of the row, step or claim that it is about; None: the dish.

    ``now`` is what ``events`` leave, where that is worked out already.
    """
    places = (now or known(events)).places()
    found: dict[str, str | None] = {flag.id: None for flag in record.flags}
    for component in record.components:
        for place, row in enumerate(component.ingredients):
            for id_ in row.flags:
                found[id_] = places.get((component.name, place))
    for flag in record.flags:
        if found[flag.id] is None:
            found[flag.id] = _other(flag, events)
    return found


def _other(flag: Flag, events: Sequence[ev.Event]) -> str | None:
    """Flags that no row lists: mis-hearings, ovens, claims."""
    if flag.kind == "mis-heard word":
        for event in events:
            if isinstance(event, ev.Misheard) and list(event.heard) == flag.heard:
                return event.key or f"word {event.word}"
        return f"word {flag.heard_word}"
    starts = [heard.start for heard in flag.heard]
    if flag.kind in ("missing temperature", "low temperature"):
        for event in events:
            if isinstance(event, ev.Stepped) and [h.start for h in event.heard] == starts[:1]:
                return event.key
        for event in events:
            if isinstance(event, ev.Stepped) and set(starts) & {h.start for h in event.heard}:
                return event.key
    if flag.kind == "claim differs":
        for event in events:
            if isinstance(event, ev.Claimed) and list(event.heard) == flag.heard:
                return claim_key(event)
    return None


def claim_key(event: ev.Claimed) -> str:
    """What names a claim: its nutrient and what it is about."""
    return f"claim {event.claim.nutrient} {event.claim.scope}"


def settled(events: Sequence[ev.Event]) -> set[tuple[str, str | None]]:
    """(kind of flag, key) of every question that was answered, skipped or confirmed.

    A later amount or name for the row opens its questions again.
    """
    closed: set[tuple[str, str | None]] = set()
    for event in events:
        if isinstance(event, ev.Settled):
            closed.add((event.flag, event.key))
        elif isinstance(event, ev.Measured | ev.Related):
            closed -= {(kind, event.key) for kind in AMOUNTS}
        elif isinstance(event, ev.Described) and event.name is not None:
            closed -= {(kind, event.key) for kind in FOODS}
    return closed


def without_settled(
    record: Record, events: Sequence[ev.Event], now: Known | None = None
) -> Record:
    """``record`` without the flags whose questions were settled; the others keep their ids."""
    closed = settled(events)
    if not closed:
        return record
    keys = flag_keys(record, events, now)
    gone = {flag.id for flag in record.flags if (flag.kind, keys[flag.id]) in closed}
    if not gone:
        return record
    components = [
        component.model_copy(
            update={
                "ingredients": [
                    row.model_copy(update={"flags": [f for f in row.flags if f not in gone]})
                    for row in component.ingredients
                ]
            }
        )
        for component in record.components
    ]
    flags = [flag for flag in record.flags if flag.id not in gone]
    return record.model_copy(update={"components": components, "flags": flags})
