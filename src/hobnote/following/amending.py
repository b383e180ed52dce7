"""Late words about an earlier step: "I forgot, it simmers for twenty", "bake it for 25 instead"."""

from __future__ import annotations

from typing import Final

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.doing import Details
from hobnote.following.doings import Doing
from hobnote.following.objects import kind_of
from hobnote.following.scene import Scene
from hobnote.following.state import StepState
from hobnote.following.usable import RECALLING
from hobnote.following.verbless import Verbless
from hobnote.marking.marks import ACTION, AMOUNT, FOOD, TIME
from hobnote.record import Heard, Range

_ITSELF: Final = frozenset({"it", "they", "that", "these", "those", "mine", "ours"})
_DENIED: Final = frozenset({"not", "n't", "nt", "isn't", "wasn't"})
_OVEN: Final = frozenset({"bake", "roast"})
REACH: Final = 6
"""Tokens within which "instead" or "not twenty" belongs to the time before it."""


def spoken(minutes: Range) -> str:
    """ "25 minutes", "1 hour 30 minutes", "20 to 25 minutes"."""
    if minutes.low != minutes.high:
        return f"{minutes.low:g} to {_long(minutes.high)}"
    return _long(minutes.high)


def _long(minutes: float) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours or minutes < 90:
        return f"{minutes:g} minutes"
    said = f"{hours:g} hour{'s' if hours > 1 else ''}"
    return f"{said} {rest:g} minutes" if rest else said


class Amending(Verbless):
    """Finds the earlier step that late words are about, and changes it."""

    def _amends(
        self, scene: Scene, doing: Doing, verb: str, found: Details, heard: tuple[Heard, ...]
    ) -> bool:
        """Whether ``doing`` only puts an earlier step right; if so, that step is changed."""
        if found.minutes is None and found.oven is None and found.heat is None:
            return False
        told = self._told(doing)
        if not told and not self._put_right(scene, doing):
            return False
        step = self._meant_step(scene, doing, verb, told)
        if step is None or step.utterance == self._now:
            return False
        self.state.emit(
            ev.StepChanged(
                key=step.key, text=self._retimed(step, found.minutes), heat=found.heat,
                temperature_c=found.oven, core_c=found.core, minutes=found.minutes,
                until=found.until, heard=heard,
            )
        )  # fmt: skip
        step.timed = step.timed or found.minutes is not None
        return True

    def _instead_of(self, scene: Scene, clause: Clause) -> bool:
        """ "an hour, not forty minutes": the step that had the old time gets the new one."""
        times = clause.of(TIME)
        if len(times) != 2 or not self.state.steps:
            return False
        doc = clause.doc
        before = [{x.lower_ for x in doc[max(0, t.start - 2) : t.start]} for t in times]
        olds = [t for t, words in zip(times, before, strict=True) if _DENIED & words]
        if len(olds) != 1:
            return False
        old = olds[0]
        new = times[1] if old is times[0] else times[0]
        for step in reversed(self.state.steps):
            if step.timed and self._minutes(step) == old.value.high:
                minutes = Range(low=new.value.low, high=new.value.high)
                text = self._retimed(step, minutes)
                heard = self.heard(scene, clause.start, clause.end)
                self.state.emit(
                    ev.StepChanged(key=step.key, text=text, minutes=minutes, heard=heard)
                )
                return True
        return False

    def _retimed(self, step: StepState, minutes: Range | None) -> str | None:
        """The step's words with the new time in place of the old one; None when they may stay."""
        if minutes is None:
            return None
        text = next(
            (
                e.text
                for e in reversed(self.state.events)
                if isinstance(e, ev.Stepped | ev.StepChanged) and e.key == step.key and e.text
            ),
            "",
        )
        if step.said_time and step.said_time in text:
            new = text.replace(step.said_time, spoken(minutes))
            step.said_time = spoken(minutes)
            return new
        return f"{text} for {spoken(minutes)}" if text and not step.timed else None

    @staticmethod
    def _told(doing: Doing) -> bool:
        """ "it cooked for half an hour": how long it was, told afterwards."""
        action = doing.action
        if action is None or action.value.form != "past":
            return False
        before = doing.clause.doc[action.start - 1].lower_ if action.start else ""
        return before in _ITSELF and action.value.kind in ("cook", "hold")

    @staticmethod
    def _put_right(scene: Scene, doing: Doing) -> bool:
        """Whether words of correcting lead to the doing, or "instead" follows its time."""
        doc = doing.clause.doc
        at = doing.action.start if doing.action is not None else doing.start
        first = scene.clauses[0]
        if doc[first.start].text.startswith("*"):
            return True
        after = [t.lower_ for t in doc[at : min(at + 2 * REACH, scene.clauses[-1].end)]]
        if "instead" in after and "of" not in after:
            return True
        cues = [m.end for c in scene.clauses for m in c.cues("correction") if m.end <= at]
        cues += [i + 1 for i in range(first.start, at) if doc[i].lower_ in RECALLING]
        if not cues:
            return False
        between = [
            m
            for c in scene.clauses
            for m in c.of(FOOD, AMOUNT, ACTION)
            if max(cues) <= m.start < at and (m.label != ACTION or m.value.kind != "weigh")
        ]
        return not [m for m in between if m.label != FOOD]

    def _meant_step(
        self, scene: Scene, doing: Doing, verb: str, told: bool
    ) -> StepState | None:
        named = {r.key for r in self.objects.named(scene, doing, doing.start, doing.end)}
        for step in reversed(self.state.steps):
            same = step.verb == verb or {step.verb, verb} <= _OVEN
            if not same and kind_of(verb) == "cook" and step.kind == "cook":
                same = bool(named & set(step.ingredients)) or (told and verb == "cook")
            if same and (not named or named & set(step.ingredients)):
                return step
        return None
