"""Step events of one utterance: what is done, where, how hot, how long, until when."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.ingredients import Scene
from hobnote.following.moods import negated, within
from hobnote.following.state import RowState, State, StepState
from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import (
    ACTION,
    FOOD,
    HEAT,
    TEMPERATURE,
    TIME,
    UNTIL,
    VESSEL,
    HeatValue,
    Mark,
    TemperatureValue,
    TimeValue,
)
from hobnote.record import Heard, HeatLevel, Range

_STRONG: Final = frozenset({"cook", "prep", "add", "hold", "serve", "heat"})
_LEADING: Final = frozenset(
    {"so", "and", "then", "okay", "ok", "now", "right", "i'm", "i", "we", "we're", "going", "to",
     "gonna", "just", "you", "will", "'ll", "'m", "'re", ",", "well", "next", "let", "me", "am",
     "are", "want", "need", "also", "that", "which", "'ve", "have", "let's", "'s", "."}
)  # fmt: skip
_WHILE: Final = frozenset({"while", "whilst", "as", "meanwhile"})
_OVEN_VERBS: Final = frozenset({"bake", "roast", "preheat", "grill", "broil", "heat", "put", "pop",
                                "stick", "cook"})  # fmt: skip


class Steps:
    """Turns the verbs, times and heat of an utterance into events on ``state``."""

    def __init__(self, state: State) -> None:
        self.state = state

    def take(self, scene: Scene) -> None:
        """Emit the step events of one utterance."""
        for n, clause in enumerate(scene.clauses):
            if scene.moods[n] != "recipe":
                continue
            self._clause(scene, clause)

    def _clause(self, scene: Scene, clause: Clause) -> None:
        scopes = negated(clause)
        until = [m for m in clause.of(UNTIL)]
        actions = [
            m
            for m in clause.of(ACTION)
            if not within(m.start, scopes)
            and not any(u.start <= m.start < u.end for u in until)
            and cast(ActionValue, m.value).kind != "weigh"
        ]
        details = clause.of(TIME, HEAT, TEMPERATURE, UNTIL)
        details = [m for m in details if not within(m.start, scopes)]
        if self._background(clause, actions):
            return
        action = self._main(clause, actions, details)
        if action is None:
            if details:
                self._refine(scene, clause, details)
            return
        self._step(scene, clause, action, details)

    def _background(self, clause: Clause, actions: Sequence[Mark]) -> bool:
        """ "while that simmers": what is next runs alongside the last timed step."""
        first = clause.doc[clause.start].lower_
        second = clause.doc[min(clause.start + 1, clause.end - 1)].lower_
        opens = first in _WHILE or (first in ("and", "so", "then") and second in _WHILE)
        if not opens or not self.state.steps:
            return False
        last = self._last_cook()
        if first == "meanwhile":
            self.state.alongside = last.key if last else None
            return False
        subject = {"that", "it", "they", "those", "the", "this", "everything"}
        words = clause.lowers()
        if not any(w in subject for w in words[1:3]):
            return False
        self.state.alongside = last.key if last else None
        return not clause.of(TIME)

    def _last_cook(self) -> StepState | None:
        for step in reversed(self.state.steps):
            if step.kind in ("cook", "hold", "heat", "weak") and (
                step.timed or step.kind != "weak"
            ):
                return step
        return self.state.steps[-1] if self.state.steps else None

    def _main(
        self, clause: Clause, actions: Sequence[Mark], details: Sequence[Mark]
    ) -> Mark | None:
        """The verb that an editor would print, or None when the clause does nothing."""
        strong = [m for m in actions if m.value.kind in _STRONG]
        usable = [m for m in strong if clause.of(FOOD, VESSEL) or details or _object(clause, m)]
        if usable:
            cooking = [m for m in usable if m.value.kind in ("cook", "hold", "heat")]
            if details and cooking:
                return cooking[-1]
            return usable[0]
        weak = [m for m in actions if m.value.kind == "weak"]
        if not weak:
            return None
        timed = any(m.label in (TIME, TEMPERATURE, UNTIL) for m in details)
        moving = [m for m in weak if m.value.verb in ("put", "pop", "stick", "place", "go", "get")]
        if timed:
            return weak[0]
        if moving and (clause.of(VESSEL) or clause.of(FOOD)) and clause.of(FOOD, VESSEL):
            return moving[0]
        return None

    def _step(self, scene: Scene, clause: Clause, action: Mark, details: Sequence[Mark]) -> None:
        state = self.state
        value: ActionValue = action.value
        rows = self._rows(scene, clause)
        heat = self._heat(details) or cast(HeatLevel | None, self._take_pending())
        minutes, more = self._minutes(details)
        oven, core = self._temperatures(details)
        vessel = self._vessel(clause)
        heard = self._heard(scene, clause.start, clause.end)
        verb = "preheat" if value.verb == "heat" and oven is not None and not rows else value.verb
        if self._continues(verb, rows, minutes is not None) and not more:
            self._change(rows, heat, minutes, oven, core, vessel, self._until(details), heard)
            return
        key = state.key("s")
        state.emit(
            ev.Stepped(
                key=key,
                verb=verb,
                text=instruction(clause, action),
                component=state.component,
                ingredients=tuple(r.key for r in rows),
                vessel=vessel,
                heat=heat,
                temperature_c=oven,
                core_c=core,
                minutes=minutes,
                until=self._until(details),
                alongside=state.alongside,
                heard=heard,
            )
        )
        state.alongside = None
        state.steps.append(
            StepState(
                key, verb, value.kind, state.utterance, [r.key for r in rows],
                timed=minutes is not None, heated=heat is not None,
                until=self._until(details) is not None, tempered=oven is not None,
            )
        )  # fmt: skip
        if vessel:
            state.vessel = vessel

    def _continues(self, verb: str, rows: Sequence[RowState], timed: bool) -> bool:
        """The same verb on nothing new, right after itself: more about the same step."""
        state = self.state
        if not state.steps:
            return False
        last = state.steps[-1]
        near = state.utterance - last.utterance <= 1
        new = [r for r in rows if r.key not in last.ingredients]
        return near and last.verb == verb and not new and not (timed and last.timed)

    def _refine(self, scene: Scene, clause: Clause, details: Sequence[Mark]) -> None:
        """Times, heat and cues without a verb: about the last step, or a step of their own."""
        state = self.state
        heat = self._heat(details)
        minutes, more = self._minutes(details)
        oven, core = self._temperatures(details)
        until = self._until(details)
        heard = self._heard(scene, clause.start, clause.end)
        vessel = self._vessel(clause)
        if oven is not None and vessel == "oven" and minutes is None:
            self._own_step(scene, clause, "preheat", heard, oven=oven)
            return
        last = state.steps[-1] if state.steps else None
        near = last is not None and state.utterance - last.utterance <= 2
        if last is not None and near:
            clash = (minutes is not None and last.timed) or (oven is not None and last.tempered)
            if not clash and not more and not (heat is not None and last.heated):
                self._change([], heat, minutes, oven, core, vessel, until, heard)
                return
        if minutes is not None:
            verb = last.verb if last is not None and near and last.kind == "cook" else "cook"
            self._own_step(
                scene, clause, verb, heard, heat=heat, minutes=minutes, oven=oven, until=until
            )
        elif heat is not None:
            state.pending_heat = heat
            state.pending_heard = heard
        elif oven is not None:
            self._own_step(scene, clause, "preheat", heard, oven=oven)

    def _own_step(
        self,
        scene: Scene,
        clause: Clause,
        verb: str,
        heard: tuple[Heard, ...],
        *,
        heat: HeatLevel | None = None,
        minutes: Range | None = None,
        oven: float | None = None,
        until: str | None = None,
    ) -> None:
        state = self.state
        rows = self._rows(scene, clause)
        key = state.key("s")
        state.emit(
            ev.Stepped(
                key=key, verb=verb, text=instruction(clause, None), component=state.component,
                ingredients=tuple(r.key for r in rows), vessel=self._vessel(clause), heat=heat,
                temperature_c=oven, minutes=minutes, until=until, alongside=state.alongside,
                heard=heard,
            )
        )  # fmt: skip
        state.alongside = None
        state.steps.append(
            StepState(
                key, verb, "heat" if verb == "preheat" else "cook", state.utterance,
                [r.key for r in rows], timed=minutes is not None, heated=heat is not None,
                tempered=oven is not None,
            )
        )  # fmt: skip

    def _change(
        self,
        rows: Sequence[RowState],
        heat: HeatLevel | None,
        minutes: Range | None,
        oven: float | None,
        core: float | None,
        vessel: str | None,
        until: str | None,
        heard: tuple[Heard, ...],
    ) -> None:
        last = self.state.steps[-1]
        self.state.emit(
            ev.StepChanged(
                key=last.key, ingredients=tuple(r.key for r in rows), vessel=vessel, heat=heat,
                temperature_c=oven, core_c=core, minutes=minutes, until=until, heard=heard,
            )
        )  # fmt: skip
        last.timed = last.timed or minutes is not None
        last.heated = last.heated or heat is not None
        last.tempered = last.tempered or oven is not None
        last.utterance = self.state.utterance

    # -- details ---------------------------------------------------------------

    def _rows(self, scene: Scene, clause: Clause) -> list[RowState]:
        rows = [scene.rows[m.start] for m in clause.of(FOOD) if m.start in scene.rows]
        words = clause.lowers()
        if not rows and any(w in ("it", "them", "that", "those", "these", "this") for w in words):
            last = self.state.steps[-1] if self.state.steps else None
            topic = self.state.topic
            if topic is not None and topic.utterance >= self.state.utterance - 1:
                return [topic]
            if last is not None:
                return [r for r in self.state.living() if r.key in last.ingredients]
        return list(dict.fromkeys(rows)) if False else _unique(rows)

    @staticmethod
    def _vessel(clause: Clause) -> str | None:
        found = clause.of(VESSEL)
        return found[-1].value if found else None

    @staticmethod
    def _heat(details: Sequence[Mark]) -> HeatLevel | None:
        levels = [
            m.value.level
            for m in details
            if m.label == HEAT and isinstance(m.value, HeatValue) and m.value.level
        ]
        return cast(HeatLevel, levels[-1]) if levels else None

    def _take_pending(self) -> str | None:
        pending, self.state.pending_heat = self.state.pending_heat, None
        return pending

    @staticmethod
    def _minutes(details: Sequence[Mark]) -> tuple[Range | None, bool]:
        times = [m for m in details if m.label == TIME and isinstance(m.value, TimeValue)]
        if not times:
            return None, False
        value: TimeValue = times[-1].value
        return Range(low=value.low, high=value.high), value.more

    @staticmethod
    def _temperatures(details: Sequence[Mark]) -> tuple[float | None, float | None]:
        oven: float | None = None
        core: float | None = None
        for m in details:
            if m.label != TEMPERATURE or not isinstance(m.value, TemperatureValue):
                continue
            if m.value.kind == "core":
                core = round(m.value.celsius)
            else:
                oven = round(m.value.celsius)
        return oven, core

    @staticmethod
    def _until(details: Sequence[Mark]) -> str | None:
        cues = [m for m in details if m.label == UNTIL]
        return str(cues[0].value) if cues else None

    def _heard(self, scene: Scene, start: int, end: int) -> tuple[Heard, ...]:
        span = scene.clauses[0].doc[start:end]
        return self.state.heard(scene.base, span.start_char, span.end_char)


def _unique(rows: Sequence[RowState]) -> list[RowState]:
    found: list[RowState] = []
    for row in rows:
        if row not in found and not row.swap_for:
            found.append(row)
    return found


def _object(clause: Clause, action: Mark) -> bool:
    """Whether something follows the verb for it to act on."""
    after = clause.doc[action.end : clause.end]
    return any(
        t.lower_ in ("it", "them", "that", "everything", "those", "these", "all", "this")
        or t.tag_ in ("NN", "NNS")
        for t in after
    )


def instruction(clause: Clause, action: Mark | None) -> str:
    """The clause as a short instruction: from its verb on, the verb in its base form."""
    doc = clause.doc
    start = clause.start
    if action is not None and action.start - clause.start <= 8:
        value: ActionValue = action.value
        lead = [t.lower_ for t in doc[clause.start : action.start]]
        if all(w in _LEADING for w in lead) or (len(lead) <= 3 and not clause.of(FOOD)):
            rest = doc[action.start + 1 : clause.end].text
            return _tidy(f"{value.verb} {rest}")
    while start < clause.end and doc[start].lower_ in _LEADING:
        start += 1
    return _tidy(doc[start : clause.end].text)


def _tidy(text: str) -> str:
    text = " ".join(text.split()).strip(" ,;:-–—.!…")
    return text[:1].upper() + text[1:]
