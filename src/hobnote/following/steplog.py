"""The method as it grows: steps are emitted, refined, joined and taken back here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from hobnote.following import events as ev
from hobnote.following.doing import (
    Details,
)
from hobnote.following.doings import Doing
from hobnote.following.objects import Objects, gathers, prepares, stays, unique
from hobnote.following.scene import Walker
from hobnote.following.state import RowState, State, StepState
from hobnote.following.wording import tidy
from hobnote.marking.marks import HEAT
from hobnote.record import Heard, HeatLevel

NEAR: Final = 2
"""Utterances up to which details without a verb speak of the latest step."""


class StepLog(Walker):
    """Emits step events on ``state`` and remembers what the next step needs to know."""

    def __init__(self, state: State) -> None:
        super().__init__(state)
        self.objects = Objects(state)
        self.implied: StepState | None = None
        self.implied_part = "main"
        self.begun: set[str] = set()
        self.baking = False
        self.pending_oven: float | None = None
        self.fat: RowState | None = None
        self.brought: str | None = None

    @property
    def _now(self) -> int:
        return self.state.utterance

    @property
    def _nothing_yet(self) -> bool:
        """Nothing is done or measured yet, so nothing can be served: the dish is being named."""
        return not self.state.steps and not any(r.measured for r in self.state.living())

    def _new(
        self,
        verb: str,
        kind: str,
        text: str,
        rows: Sequence[RowState],
        found: Details,
        heard: tuple[Heard, ...],
        *,
        implied: bool = False,
    ) -> None:
        """Emit a step and make it the latest."""
        if kind == "add" and not rows and " " not in text and found == Details():
            return  # "add" and nothing told of it
        state = self.state
        key = state.key("s")
        keys = [r.key for r in rows]
        state.emit(
            ev.Stepped(
                key=key, verb=verb, text=text, component=state.component,
                ingredients=tuple(keys), vessel=found.vessel, heat=found.heat,
                temperature_c=found.oven, core_c=found.core, minutes=found.minutes,
                until=found.until, alongside=state.alongside, heard=heard,
            )
        )  # fmt: skip
        state.alongside = None
        step = StepState(
            key, verb, kind, state.utterance, keys, timed=found.minutes is not None,
            heated=found.heat is not None, tempered=found.oven is not None,
            cored=found.core is not None, vessel=found.vessel, said_time=found.said_time,
        )  # fmt: skip
        state.steps.append(step)
        state.vessel = found.vessel or state.vessel
        if implied:
            self.implied, self.implied_part = step, state.component
            return
        self.implied = None
        self.objects.use(rows, verb)
        if (kind == "cook" and found.vessel != "oven") or gathers(verb):
            self.begun.add(state.component)

    def _change(
        self,
        rows: Sequence[RowState],
        found: Details,
        heard: tuple[Heard, ...],
        text: str | None = None,
    ) -> None:
        last = self.state.steps[-1]
        self.state.emit(
            ev.StepChanged(
                key=last.key, text=text, ingredients=tuple(r.key for r in rows),
                vessel=found.vessel, heat=found.heat, temperature_c=found.oven,
                core_c=found.core, minutes=found.minutes, until=found.until, heard=heard,
            )
        )  # fmt: skip
        last.ingredients.extend(r.key for r in rows if r.key not in last.ingredients)
        last.timed = last.timed or found.minutes is not None
        last.heated = last.heated or found.heat is not None
        last.tempered = last.tempered or found.oven is not None
        last.cored = last.cored or found.core is not None
        last.vessel = found.vessel or last.vessel
        last.utterance = self._now

    def _continues(self, verb: str, rows: Sequence[RowState], found: Details) -> bool:
        """The same verb on nothing new, right after itself: more about the same step."""
        state = self.state
        if not state.steps:
            return False
        last = state.steps[-1]
        near = self._now - last.utterance <= 1
        new = [r for r in rows if r.key not in last.ingredients]
        timed = found.minutes is not None and last.timed
        return near and last.verb == verb and not new and not timed

    def _settle(self, verb: str, kind: str, rows: Sequence[RowState]) -> None:
        """An implied "add" before this step gives way where the step takes its foods."""
        step, self.implied = self.implied, None
        if step is None:
            return
        mine = self.objects.rows_of(step)
        taken = [r for r in mine if r in rows]
        keeps = stays(verb) or kind in ("hold", "serve", "heat")
        keeps = keeps or (step.verb == "mix" and not gathers(verb) and kind != "cook")
        if not taken or keeps:
            self.objects.use(mine, step.verb)
            return
        left = [r for r in mine if r not in taken]
        heard = self._heard_of(step)
        self._drop(step)
        if left and not prepares(verb):
            text = tidy("add " + ", ".join(r.name for r in left))
            self._new("add", "add", text, left, Details(), heard)

    def _heard_of(self, step: StepState) -> tuple[Heard, ...]:
        found: list[Heard] = []
        for event in reversed(self.state.events):
            if isinstance(event, ev.Stepped | ev.StepChanged) and event.key == step.key:
                found[:0] = event.heard
                if isinstance(event, ev.Stepped):
                    break
        return tuple(found)

    def _drop(self, step: StepState) -> None:
        self.state.emit(ev.StepDropped(key=step.key))
        self.state.steps.remove(step)

    def _minutes(self, step: StepState) -> float:
        """The latest minutes of a step."""
        for event in reversed(self.state.events):
            mine = isinstance(event, ev.Stepped | ev.StepChanged) and event.key == step.key
            if mine and event.minutes is not None:  # type: ignore[union-attr]
                return event.minutes.high  # type: ignore[union-attr]
        return 0.0

    def _pending(self) -> HeatLevel | None:
        pending, self.state.pending_heat = self.state.pending_heat, None
        return cast(HeatLevel | None, pending)

    def _fried_in(self, verb: str, kind: str, rows: list[RowState]) -> list[RowState]:
        """The rows with the fat that was heated right before."""
        fat, last = self.fat, self.state.steps[-1] if self.state.steps else None
        if kind == "cook":
            self.fat = None
        if fat is None or last is None or kind != "cook" or stays(verb):
            return rows
        return unique([*rows, fat]) if fat.key in last.ingredients else rows

    def _baked(self, doing: Doing) -> bool:
        """Whether a time without a cooking verb is time in the oven: it is hot, a tin was named."""
        weak = doing.action is None or doing.action.value.kind != "cook"
        weak = weak and not any(m.value.level for m in doing.of(HEAT))
        return weak and self.baking and self.state.oven
