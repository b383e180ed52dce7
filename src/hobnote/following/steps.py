"""Step events of one utterance: what is done, where, how hot, how long, until when."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.doing import (
    Details,
    happens,
    has_object,
    heat_of,
    instruction,
    is_done,
    is_idiom,
    is_keeping,
    is_purpose,
    minutes_of,
    temperatures_of,
    until_of,
    vessel_of,
    vessel_verb,
)
from hobnote.following.moods import negated, within
from hobnote.following.scene import Scene, Walker
from hobnote.following.state import RowState, StepState
from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import (
    ACTION,
    CLAIM,
    FOOD,
    HEAT,
    PORTIONS,
    TEMPERATURE,
    TIME,
    UNTIL,
    VESSEL,
    Mark,
)
from hobnote.record import Heard, HeatLevel

_STRONG: Final = frozenset({"cook", "prep", "add", "hold", "serve", "heat"})
_PRONOUNS: Final = frozenset(
    {"it", "them", "that", "those", "these", "this", "everything", "lot", "all", "together"}
)
_SUBJECTS: Final = frozenset({"i", "we", "i've", "we've", "'ve", "you", "gets", "get", "got"})
_MOVING: Final = frozenset({"put", "pop", "stick", "place", "break", "lower"})
_IDLE: Final = frozenset({"have", "need", "use", "want"})
_WHILE: Final = frozenset({"while", "whilst", "as", "meanwhile"})


class Steps(Walker):
    """Turns the verbs, times and heat of an utterance into events on ``state``."""

    def take(self, scene: Scene) -> None:
        """Emit the step events of one utterance."""
        state = self.state
        conditional = False
        for n, clause in enumerate(scene.clauses):
            for mark in clause.of(FOOD):
                row = scene.rows.get(mark.start)
                if row is not None and row not in state.gathered and not row.swap_for:
                    state.gathered.append(row)
            conditional = conditional or clause.doc[clause.start].lower_ in ("if", "unless")
            if scene.moods[n] == "recipe" and not conditional:
                self._clause(scene, clause)
        self._additions(scene)

    def _additions(self, scene: Scene) -> None:
        """Once cooking goes on, foods measured without a verb are added."""
        state = self.state
        if not any(s.kind == "cook" and s.vessel != "oven" for s in state.steps):
            return
        if any(scene.moods[n] != "recipe" for n in range(len(scene.clauses))):
            return
        acting = any(c.of(ACTION) for c in scene.clauses)
        rows = [r for r in _unique(list(scene.rows.values())) if r in state.gathered]
        fresh = [r for r in rows if r.utterance == state.utterance and not r.optional]
        if acting or not fresh or state.component != "main":
            return
        clauses = scene.clauses
        heard = self.heard(scene, clauses[0].start, clauses[-1].end)
        names = ", ".join(r.name for r in fresh)
        self._new("add", "add", f"Add {names}", fresh, Details(), heard)

    def _clause(self, scene: Scene, clause: Clause) -> None:
        scopes = negated(clause)
        until = clause.of(UNTIL)
        actions = [
            m
            for m in clause.of(ACTION)
            if not within(m.start, scopes)
            and not any(u.start <= m.start < u.end for u in until)
            and cast(ActionValue, m.value).kind != "weigh"
            and not is_purpose(clause, m)
            and not any(c.start <= m.start < c.end for c in clause.cues("correction"))
            and not any(f.start <= m.start < f.end for f in clause.of(CLAIM, PORTIONS))
        ]
        details = clause.of(TIME, HEAT, TEMPERATURE, UNTIL)
        details = [m for m in details if not within(m.start, scopes) and not is_idiom(m)]
        if self._background(clause, actions) or is_keeping(clause, details):
            return
        if self._preheats(scene, clause, details):
            return
        chosen = self._main(clause, actions, details)
        if chosen is not None:
            self._step(scene, clause, *chosen, details)
        elif details:
            self._refine(scene, clause, details)
        elif clause.cues("serving"):
            rows = _unique([scene.rows[m.start] for m in clause.of(FOOD) if m.start in scene.rows])
            if rows:
                heard = self.heard(scene, clause.start, clause.end)
                text = instruction(clause, None)
                self._new("serve", "serve", text, rows, Details(), heard)

    def _preheats(self, scene: Scene, clause: Clause, details: Sequence[Mark]) -> bool:
        """The oven and a temperature, no time and no food: it is being heated."""
        oven, _ = temperatures_of(details)
        if oven is None or vessel_of(clause) != "oven":
            return False
        if any(m.label == TIME for m in details) or any(
            m.start in scene.rows for m in clause.of(FOOD)
        ):
            return False
        if any(s.tempered and s.kind == "cook" for s in self.state.steps[-1:]):
            return False
        self.state.oven = True
        found = Details(oven=oven, vessel="oven")
        heard = self.heard(scene, clause.start, clause.end)
        self._new("preheat", "heat", instruction(clause, None), [], found, heard)
        return True

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
        orders = [m for m in actions if m.value.kind in _STRONG and m.value.form == "base"]
        return not clause.of(TIME) and not orders

    def _last_cook(self) -> StepState | None:
        for step in reversed(self.state.steps):
            if step.kind in ("cook", "hold", "heat", "weak") and (
                step.timed or step.kind != "weak"
            ):
                return step
        return self.state.steps[-1] if self.state.steps else None

    def _main(
        self, clause: Clause, actions: Sequence[Mark], details: Sequence[Mark]
    ) -> tuple[str, Mark] | None:
        """The verb that an editor would print with its mark; None when nothing is done."""
        timed = any(m.label in (TIME, TEMPERATURE, UNTIL) for m in details)
        done = [
            m
            for m in actions
            if (is_done(clause, m) or (timed and m.value.kind in ("cook", "hold")))
            and not (happens(m) and not clause.of(TIME))
        ]
        strong = [m for m in done if m.value.kind in _STRONG]
        short = clause.end - clause.start <= 5
        usable = [
            m
            for m in strong
            if clause.of(FOOD, VESSEL) or details or short or has_object(clause, m)
        ]
        if usable:
            cooking = [m for m in usable if m.value.kind in ("cook", "hold", "heat")]
            chosen = cooking[-1] if details and cooking else usable[0]
            return chosen.value.verb, chosen
        weak = [m for m in done if m.value.kind == "weak" and m.value.verb not in _IDLE]
        if not weak:
            return None
        if timed:
            return self._weak_verb(clause, weak[0]), weak[0]
        for mark in weak:
            verb = self._moving(clause, mark)
            if verb is not None:
                return verb, mark
        return None

    @staticmethod
    def _moving(clause: Clause, mark: Mark) -> str | None:
        """A weak verb that does something even without a time."""
        value: ActionValue = mark.value
        if value.verb in ("cover", "uncover"):
            return value.verb
        if value.verb == "turn" and value.particle in ("over", "out"):
            return "turn"
        if value.verb == "take" and value.particle in ("out", "off"):
            return "remove"
        if not clause.of(FOOD, VESSEL):
            return None
        if value.verb == "go":
            return "add" if value.particle or clause.of(VESSEL) else None
        return value.verb if value.verb in _MOVING else None

    def _weak_verb(self, clause: Clause, action: Mark) -> str:
        """What a weak verb with a time comes to: in the oven it is baking."""
        verb: str = action.value.verb
        words = clause.lowers()
        if verb == "bring":
            return "boil" if "boil" in words else "simmer" if "simmer" in words else verb
        if "aside" in words or (verb in ("leave", "let") and "go" not in words):
            return "rest" if verb in ("keep", "put", "let", "set") else verb
        if verb in ("put", "pop", "stick", "place", "go", "give", "get", "take", "turn", "keep"):
            done = vessel_verb(vessel_of(clause))
            if done is not None:
                return done
            hot = any(m.value.kind == "oven" for m in clause.of(TEMPERATURE))
            if hot or (verb == "go" and self.state.oven and action.value.particle == "in"):
                return "bake"
        if verb in ("give", "go", "get", "turn", "take", "keep", "let", "start", "follow"):
            last = self._last_cook()
            return last.verb if last is not None and last.kind == "cook" else "cook"
        return verb

    def _step(
        self, scene: Scene, clause: Clause, verb: str, action: Mark, details: Sequence[Mark]
    ) -> None:
        rows = self._rows(scene, clause)
        minutes, more = minutes_of(details)
        oven, core = temperatures_of(details)
        found = Details(
            heat=heat_of(details) or self._take_pending(),
            minutes=minutes,
            oven=oven,
            core=core,
            vessel=vessel_of(clause),
            until=until_of(details),
        )
        heard = self.heard(scene, clause.start, clause.end)
        if verb == "heat" and oven is not None and not rows:
            verb = "preheat"
        if self._continues(verb, rows, minutes is not None) and not more:
            self._change(rows, found, heard)
            return
        self._new(verb, action.value.kind, instruction(clause, action), rows, found, heard)

    def _new(
        self,
        verb: str,
        kind: str,
        text: str,
        rows: Sequence[RowState],
        found: Details,
        heard: tuple[Heard, ...],
    ) -> None:
        """Emit a step and make it the latest."""
        state = self.state
        key = state.key("s")
        keys = [r.key for r in rows]
        state.gathered = [r for r in state.gathered if r not in rows]
        state.emit(
            ev.Stepped(
                key=key, verb=verb, text=text, component=state.component,
                ingredients=tuple(keys), vessel=found.vessel, heat=found.heat,
                temperature_c=found.oven, core_c=found.core, minutes=found.minutes,
                until=found.until, alongside=state.alongside, heard=heard,
            )
        )  # fmt: skip
        state.alongside = None
        state.steps.append(
            StepState(
                key, verb, kind, state.utterance, keys, timed=found.minutes is not None,
                heated=found.heat is not None, tempered=found.oven is not None,
                vessel=found.vessel,
            )
        )  # fmt: skip
        state.vessel = found.vessel or state.vessel

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
        minutes, more = minutes_of(details)
        oven, core = temperatures_of(details)
        found = Details(heat_of(details), minutes, oven, core, vessel_of(clause), until_of(details))
        heard = self.heard(scene, clause.start, clause.end)
        rows = [scene.rows[m.start] for m in clause.of(FOOD) if m.start in scene.rows]
        if oven is not None and minutes is None and (found.vessel == "oven" or not state.steps):
            self._new("preheat", "heat", instruction(clause, None), rows, found, heard)
            return
        if self._leads_on(scene, clause, found):
            state.pending_heat = found.heat
            return
        if self._belongs(found, rows, more):
            self._change([], found, heard)
            return
        if minutes is not None:
            verb = vessel_verb(found.vessel) or self._same_cooking() or "cook"
            found.heat = found.heat or self._take_pending()
            rows = rows or self._rows(scene, clause)
            self._new(verb, "cook", instruction(clause, None), rows, found, heard)
        elif found.heat is not None:
            state.pending_heat = found.heat
        elif oven is not None:
            self._new("preheat", "heat", instruction(clause, None), rows, found, heard)

    @staticmethod
    def _leads_on(scene: Scene, clause: Clause, found: Details) -> bool:
        """ "turn it right down and simmer for 20": the heat is for what comes next."""
        if found.heat is None or found.minutes is not None or found.oven is not None:
            return False
        after = [c for c in scene.clauses if c.start >= clause.end][:1]
        return any(m.value.kind in ("cook", "hold") for c in after for m in c.of(ACTION))

    def _belongs(self, found: Details, rows: Sequence[RowState], more: bool) -> bool:
        """Whether verbless details are about the latest step rather than a new one."""
        if not self.state.steps:
            return False
        last = self.state.steps[-1]
        if self.state.utterance - last.utterance > 2 or more:
            return False
        clash = (
            (found.minutes is not None and last.timed)
            or (found.oven is not None and last.tempered)
            or (found.heat is not None and last.heated)
        )
        elsewhere = found.vessel is not None and found.vessel != (last.vessel or found.vessel)
        fresh = any(r.key not in last.ingredients for r in rows)
        idle = found.heat is not None and last.kind in ("prep", "serve") and not found.minutes
        return not clash and not elsewhere and not fresh and not idle

    def _same_cooking(self) -> str | None:
        last = self.state.steps[-1] if self.state.steps else None
        near = last is not None and self.state.utterance - last.utterance <= 2
        return last.verb if last is not None and near and last.kind == "cook" else None

    def _change(self, rows: Sequence[RowState], found: Details, heard: tuple[Heard, ...]) -> None:
        last = self.state.steps[-1]
        self.state.emit(
            ev.StepChanged(
                key=last.key, ingredients=tuple(r.key for r in rows), vessel=found.vessel,
                heat=found.heat, temperature_c=found.oven, core_c=found.core,
                minutes=found.minutes, until=found.until, heard=heard,
            )
        )  # fmt: skip
        last.timed = last.timed or found.minutes is not None
        last.heated = last.heated or found.heat is not None
        last.tempered = last.tempered or found.oven is not None
        last.vessel = found.vessel or last.vessel
        last.utterance = self.state.utterance

    # -- details ---------------------------------------------------------------

    def _rows(self, scene: Scene, clause: Clause) -> list[RowState]:
        """The rows that the clause acts on: those it names, else those gathered or last used."""
        state = self.state
        rows = _unique([scene.rows[m.start] for m in clause.of(FOOD) if m.start in scene.rows])
        if rows:
            return rows
        words = clause.lowers()
        pronoun = any(w in _PRONOUNS for w in words)
        mixing = any(m.value.kind == "prep" for m in clause.of(ACTION))
        gathered = [r for r in state.gathered if r.alive and r.component == state.component]
        if gathered and (pronoun or mixing):
            plural = any(
                w in ("everything", "all", "lot", "those", "them", "together") for w in words
            )
            recent = [r for r in gathered if state.utterance - r.utterance <= 1]
            return gathered if mixing or plural or not recent else recent[-1:]
        if not pronoun:
            return []
        last = state.steps[-1] if state.steps else None
        if last is not None and last.ingredients:
            return [r for r in state.living() if r.key in last.ingredients]
        topic = state.topic
        return [topic] if topic is not None and topic.utterance >= state.utterance - 1 else []

    def _take_pending(self) -> HeatLevel | None:
        pending, self.state.pending_heat = self.state.pending_heat, None
        return cast(HeatLevel | None, pending)


def _unique(rows: Sequence[RowState]) -> list[RowState]:
    found: list[RowState] = []
    for row in rows:
        if row not in found and not row.swap_for:
            found.append(row)
    return found
