"""Turns: the messages of one recipe, in order, and what undo and redo leave standing. Pure.

A log only grows. ``said`` turns carry events; ``asked`` turns (a look-up, a
message not understood) change nothing; ``undo`` and ``redo`` turns name how
many ``said`` turns they take back or bring back. What stands is a fold of the log.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Literal

from hobnote.following.events import Event

Kind = Literal["said", "asked", "undo", "redo"]
_SHOWN = 60


@dataclass(frozen=True, slots=True)
class Draft:
    """A turn before it is kept. ``count`` counts for undo and redo only.

    ``reply`` is what was answered, line by line; the events, not it, say what changed.
    """

    kind: Kind
    text: str
    events: tuple[Event, ...] = ()
    who: str = "cook"
    count: int = 0
    reply: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Turn:
    """A kept turn. ``version`` counts from 1 within its recipe; ``at`` is UTC."""

    version: int
    kind: Kind
    text: str
    events: tuple[Event, ...] = ()
    who: str = "cook"
    count: int = 0
    at: datetime = field(default_factory=lambda: datetime.now(UTC))
    reply: tuple[str, ...] = ()

    @classmethod
    def of(cls, draft: Draft, version: int) -> Turn:
        """``draft`` as the turn number ``version``, now."""
        return cls(
            version,
            draft.kind,
            draft.text,
            draft.events,
            draft.who,
            draft.count,
            reply=draft.reply,
        )

    def told(self) -> str:
        """Who said what, cut short."""
        words = " ".join(self.text.split())
        if len(words) > _SHOWN:
            words = words[: _SHOWN - 1].rstrip() + "…"
        return f"{self.who}: {words}"


@dataclass(slots=True)
class Standing:
    """What a log comes to: the turns that hold, those that redo would bring back, who undid what.

    ``fate`` maps the version of a ``said`` turn that does not hold to the undo
    turn that took it back.
    """

    holds: list[Turn] = field(default_factory=list)
    undone: list[Turn] = field(default_factory=list)
    fate: dict[int, Turn] = field(default_factory=dict)


def standing(turns: Iterable[Turn]) -> Standing:
    """Fold a log. A new ``said`` turn makes what was undone before it final."""
    now = Standing()
    for turn in turns:
        if turn.kind == "said":
            now.holds.append(turn)
            now.undone.clear()
        elif turn.kind == "undo":
            for _ in range(min(turn.count, len(now.holds))):
                taken = now.holds.pop()
                now.undone.append(taken)
                now.fate[taken.version] = turn
        elif turn.kind == "redo":
            for _ in range(min(turn.count, len(now.undone))):
                back = now.undone.pop()
                now.holds.append(back)
                now.fate.pop(back.version, None)
    return now


def surviving(turns: Sequence[Turn]) -> list[Turn]:
    """The ``said`` turns that hold, oldest first."""
    return standing(turns).holds


def withdrawn(turns: Sequence[Turn]) -> list[Turn]:
    """The turns that redo would bring back, the next one last."""
    return standing(turns).undone
