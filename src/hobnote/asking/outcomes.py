"""What comes of a message, before anything is kept."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from hobnote.following.events import Event

Does = Literal["change", "look", "undo", "redo", "bye", "unclear"]


@dataclass(frozen=True, slots=True)
class Outcome:
    """``events`` for a change, ``lines`` to show, ``count`` of turns to undo or redo."""

    does: Does
    events: tuple[Event, ...] = ()
    lines: tuple[str, ...] = ()
    count: int = 1


@dataclass(slots=True)
class Making:
    """Events being gathered for a change."""

    events: list[Event] = field(default_factory=list)

    def done(self, *lines: str) -> Outcome:
        """The change."""
        return Outcome("change", tuple(self.events), lines)


def change(*events: Event, lines: tuple[str, ...] = ()) -> Outcome:
    """A change by these events."""
    return Outcome("change", events, lines)


def look(*lines: str) -> Outcome:
    """An answer that changes nothing."""
    return Outcome("look", lines=lines)


def unclear(*lines: str) -> Outcome:
    """Not understood; ``lines`` say what would be."""
    return Outcome("unclear", lines=lines)
