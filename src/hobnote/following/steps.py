"""Step events of one utterance: what is done, with what, where, how hot, how long, until when."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, cast

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.doing import (
    Details,
    fat_verb,
    heat_of,
    is_idiom,
    is_keeping,
    is_mixed,
    minutes_of,
    oven_verb,
    temperatures_of,
    until_of,
    vessel_in,
    vessel_verb,
)
from hobnote.following.doings import Doing, denials, doings
from hobnote.following.moods import within
from hobnote.following.objects import Objects, gathers, prepares, stays, unique
from hobnote.following.printed import STRONG, last_cooking, printed, same_cooking
from hobnote.following.scene import Scene, Walker
from hobnote.following.state import RowState, State, StepState
from hobnote.following.wording import instruction, tidy
from hobnote.marking.lexicon import verbs
from hobnote.marking.marks import ACTION, FOOD, HEAT, TEMPERATURE, TIME, UNTIL, VESSEL, Mark
from hobnote.record import Heard, HeatLevel

_WHILE: Final = frozenset({"while", "whilst", "as", "meanwhile"})
_GOING_ON: Final = frozenset({"that", "it", "they", "those", "the", "this", "everything", "thats"})
_NOT: Final = frozenset({"n't", "nt", "not", "never", "dont", "don't"})
_MORE: Final = frozenset(
    {"another", "more", "rest", "remaining", "again", "other", "second", "extra", "half"}
)
_HOB: Final = frozenset({"pan", "frying pan", "saucepan", "pot", "wok", "casserole"})
NEAR: Final = 2
"""Utterances up to which details without a verb speak of the latest step."""


class Steps(Walker):
    """Turns the verbs, times and heat of an utterance into events on ``state``."""

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

    def take(self, scene: Scene) -> None:
        """Emit the step events of one utterance."""
        blocked = False
        for n, clause in enumerate(scene.clauses):
            rows = unique(scene.rows[m.start] for m in clause.of(FOOD) if m.start in scene.rows)
            self.objects.gather(rows, bool(_MORE & set(clause.lowers())))
            for vessel in clause.of(VESSEL):
                made = vessel_verb(vessel.value)
                self.baking = made in ("bake", "roast") if made else self.baking
            if any(m.value.level for m in clause.of(HEAT)):
                self.baking = False
            condition = _conditional(clause)
            denied = n > 0 and scene.clauses[n - 1].lowers()[-1] in _NOT
            if scene.moods[n] == "recipe" and not (condition or blocked or denied):
                self._clause(scene, clause)
            blocked = (blocked and not _resumes(clause)) or (condition and _leads(scene, n))
            self.objects.note(r for r in rows if self.objects.said.get(r.key) != self._now)

    @property
    def _now(self) -> int:
        return self.state.utterance

    # -- clauses and doings ------------------------------------------------------

    def _clause(self, scene: Scene, clause: Clause) -> None:
        scopes = denials(clause)
        marks = clause.of(TIME, HEAT, TEMPERATURE, UNTIL)
        details = [m for m in marks if not within(m.start, scopes) and not is_idiom(clause, m)]
        better = clause.cues("alternative") and not clause.of(ACTION)
        if better or is_keeping(clause, details) or self._background(clause):
            return
        if self._total(scene, clause, details):
            return
        for doing in doings(clause):
            own = [m for m in details if doing.start <= m.start < doing.end]
            self._doing(scene, doing, own)

    def _shared(self, scene: Scene, doing: Doing, verb: str) -> list[RowState]:
        """ "peel, core and chop the apples": the object stands after the last of the verbs."""
        if not prepares(verb) or len([w for w in doing.after() if w not in (",", "and")]):
            return []
        later = [m for c in scene.clauses for m in c.of(ACTION, FOOD) if m.start >= doing.end]
        for mark in later:
            if mark.label == FOOD:
                row = scene.rows.get(mark.start)
                return [row] if row is not None else []
            if not prepares(mark.value.verb):
                return []
        return []

    def _doing(self, scene: Scene, doing: Doing, details: Sequence[Mark]) -> None:
        verb = printed(self.state, doing, details)
        if verb == "time":
            self._lasts(scene, doing, details)
        elif verb in (None, "add") and not details and self._joins(scene, doing):
            return
        elif verb is not None:
            self._step(scene, doing, verb, details)
        elif details:
            self._refine(scene, doing, details)
        else:
            self._foods(scene, doing)

    def _lasts(self, scene: Scene, doing: Doing, details: Sequence[Mark]) -> None:
        """ "that takes ten minutes": how long the latest step lasts."""
        last = self.state.steps[-1] if self.state.steps else None
        if last is None or last.timed or self._now - last.utterance > NEAR:
            return
        self._change([], _details(doing, details), self.heard(scene, doing.start, doing.end))

    def _foods(self, scene: Scene, doing: Doing) -> None:
        """Foods without a verb or a time: served, or added once mixing or cooking goes on."""
        clause = doing.clause
        rows = self.objects.named(scene, doing, doing.start, doing.end)
        heard = self.heard(scene, doing.start, doing.end)
        if clause.cues("serving"):
            if rows:
                self._new("serve", "serve", _serving(rows), rows, Details(), heard)
            return
        listed = any(m.value.verb in ("need", "have", "use", "get") for m in clause.of(ACTION))
        into = self._placed(scene, doing, rows, heard)
        if into or self._fat(doing, rows, heard):
            return
        fresh = [r for r in rows if r in self.state.gathered and not r.optional]
        if not fresh or listed:
            return
        if self.state.component not in self.begun:
            self._stirred_together(fresh, heard)
            return
        opened = clause.doc[clause.start].lower_ in ("then", "and", "now", "next")
        new = [r for r in fresh if r.utterance == self._now]
        if new or opened:
            self._add(new or fresh, heard)

    def _stirred_together(self, fresh: Sequence[RowState], heard: tuple[Heard, ...]) -> None:
        """The foods of a dressing or sauce are mixed when nothing else is said of them."""
        part = self.state.component
        if not is_mixed(part):
            return
        last = self.state.steps[-1] if self.state.steps else None
        rows = [r for r in self.state.gathered if r.alive and r.component == part]
        text = tidy("mix " + ", ".join(r.name for r in rows))
        if self.implied is not None and self.implied is last and self.implied_part == part:
            self._change(fresh, Details(), heard, text=text)
        elif len(rows) > 1:
            self._new("mix", "prep", text, rows, Details(), heard, implied=True)

    def _placed(
        self, scene: Scene, doing: Doing, rows: Sequence[RowState], heard: tuple[Heard, ...]
    ) -> bool:
        """ "Into the tin with it", "straight onto a rack": what was made is put there."""
        words = [w for w in doing.lowers() if w not in ("then", "and", "straight", ",", "all")]
        vessel = vessel_in(doing)
        if vessel is None or words[:1] not in (["into"], ["onto"], ["in"], ["on"]):
            return False
        if not self.state.steps or (words[0] in ("in", "on") and not rows):
            return False
        what = list(rows) or self.objects.of(scene, doing, "put")
        self._settle("put", "weak", what)
        text = instruction(doing, "put", [r.name for r in what])
        self._new("put", "weak", text, what, Details(vessel=vessel), heard)
        return True

    def _fat(self, doing: Doing, rows: Sequence[RowState], heard: tuple[Heard, ...]) -> bool:
        """ "Big pan, medium heat, a spoon of oil": the oil is heated."""
        if len(rows) != 1 or not (doing.of(HEAT) or vessel_in(doing) in _HOB):
            return False
        verb = fat_verb(rows[0].name)
        if verb is None:
            return False
        levels = heat_of(doing.of(HEAT)) or self._pending()
        found = Details(heat=levels, vessel=vessel_in(doing))
        self._settle(verb, "heat", rows)
        self._new(verb, "heat", instruction(doing, verb, [rows[0].name]), rows, found, heard)
        self.fat = rows[0]
        self.begun.add(self.state.component)
        return True

    def _add(self, rows: Sequence[RowState], heard: tuple[Heard, ...]) -> None:
        """Foods that go in though no verb says so; several in a row are one step."""
        last = self.state.steps[-1] if self.state.steps else None
        if last is not None and last is not self.implied:
            listing = last.utterance == self._now and (last.kind == "add" or gathers(last.verb))
            if listing and not last.timed:
                self._change(rows, Details(), heard)
                return
        if (
            self.implied is not None
            and self.implied is last
            and self.state.component == self.implied_part
        ):
            everything = unique([*self.objects.rows_of(last), *rows])
            text = tidy("add " + ", ".join(r.name for r in everything))
            self._change(rows, Details(), heard, text=text)
            return
        text = tidy("add " + ", ".join(r.name for r in rows))
        self._new("add", "add", text, rows, Details(), heard, implied=True)

    def _background(self, clause: Clause) -> bool:
        """ "while that simmers": what is next runs alongside the last timed step."""
        words = clause.lowers()
        first, second = words[0], words[1] if len(words) > 1 else ""
        opens = first in _WHILE or (first in ("and", "so", "then") and second in _WHILE)
        if not opens or not self.state.steps:
            return False
        last = last_cooking(self.state)
        if first == "meanwhile":
            self.state.alongside = last.key if last else None
            return False
        if not any(w in _GOING_ON for w in words[1:3]):
            return False
        self.state.alongside = last.key if last else None
        orders = [m for m in clause.of(ACTION) if m.value.kind in STRONG]
        orders = [m for m in orders if m.value.form == "base" and m.start - clause.start > 2]
        return not clause.of(TIME) and not orders

    def _total(self, scene: Scene, clause: Clause, details: Sequence[Mark]) -> bool:
        """ "so twelve minutes all told", "make that three hours": it replaces what was said."""
        minutes, more = minutes_of(details)
        cues = clause.cues("total", "correction")
        if minutes is None or more or clause.of(FOOD):
            return False
        near = [
            c for c in cues for t in details
            if t.label == TIME and (0 <= t.start - c.end <= 3 or 0 <= c.start - t.end <= 3
                                    or c.start <= t.start < c.end)
        ]  # fmt: skip
        if not near:
            return False
        if any(m.value.kind in STRONG or m.value.verb == "go" for m in clause.of(ACTION)):
            return False
        timed = [s for s in self.state.steps if s.timed and self._now - s.utterance <= NEAR + 1]
        if not timed:
            return False
        parts = {s.key: self._minutes(s) for s in timed}
        whole = sum(parts[s.key] for s in timed[-2:])
        if len(timed) > 1 and abs(whole - minutes.high) <= 0.1 * minutes.high:
            return True  # "…, another ten, so thirty all told" says nothing new
        step = min(timed, key=lambda s: abs(parts[s.key] - minutes.high))
        heard = self.heard(scene, clause.start, clause.end)
        self.state.emit(ev.StepChanged(key=step.key, minutes=minutes, heard=heard))
        return True

    def _minutes(self, step: StepState) -> float:
        """The latest minutes of a step."""
        for event in reversed(self.state.events):
            mine = isinstance(event, ev.Stepped | ev.StepChanged) and event.key == step.key
            if mine and event.minutes is not None:  # type: ignore[union-attr]
                return event.minutes.high  # type: ignore[union-attr]
        return 0.0

    def _joins(self, scene: Scene, doing: Doing) -> bool:
        """ "two cloves of garlic, in with the onions": they join the step that has the onions."""
        doc = doing.clause.doc
        at = next((i for i in range(doing.start, doing.end - 1) if doc[i].lower_ == "with"), None)
        if at is None or doc[at + 1].lower_ not in ("the", "that", "those"):
            return False
        anchors = {r.key for r in self.objects.named(scene, doing, at, doing.end)}
        rows = [r for r in self.objects.named(scene, doing, doing.start, at) if not r.optional]
        step = next((s for s in reversed(self.state.steps) if anchors & set(s.ingredients)), None)
        if not rows or step is None or step is self.state.steps[-1]:
            return False
        keys = tuple(r.key for r in rows if r.key not in step.ingredients)
        heard = self.heard(scene, doing.start, doing.end)
        self.state.emit(ev.StepChanged(key=step.key, ingredients=keys, heard=heard))
        step.ingredients.extend(keys)
        self.objects.use(rows, "add")
        return True

    # -- steps --------------------------------------------------------------------

    def _step(self, scene: Scene, doing: Doing, verb: str, details: Sequence[Mark]) -> None:
        if verb == "cook" and self._baked(doing):
            verb = "bake"
        if verb == "bake" and self._only_heats(doing, details):
            verb = "preheat"
        rows = self._shared(scene, doing, verb) or self.objects.of(scene, doing, verb)
        found = _details(doing, details)
        heard = self.heard(scene, doing.start, doing.end)
        kind = str(verbs().get(verb, {}).get("kind", "cook"))
        if kind in ("cook", "heat"):
            found.heat = found.heat or self._pending()
        if kind == "cook" and found.minutes is not None:
            found.oven, self.pending_oven = found.oven or self.pending_oven, None
        _, more = minutes_of(details)
        if verb == "heat" and found.oven is not None and not doing.of(FOOD):
            verb, rows = "preheat", []
        if verb == "preheat":
            found.vessel = found.vessel or "oven"
            self.state.oven, rows = True, []
        rows = self._fried_in(verb, kind, rows)
        if verb == "bake" and doing.action is not None and doing.action.value.verb != "bake":
            verb = oven_verb([r.name for r in self.state.living()])
        self._settle(verb, kind, rows)
        if self._continues(verb, rows, found) and not more:
            self._change(rows, found, heard)
            return
        text = instruction(doing, verb, [r.name for r in rows])
        self._new(verb, kind, text, rows, found, heard)
        if doing.action is not None and doing.action.value.verb == "bring":
            self.brought = self.state.steps[-1].key

    def _only_heats(self, doing: Doing, details: Sequence[Mark]) -> bool:
        """ "oven on to 180, bake, not fan": nothing is there to bake yet."""
        hot = any(m.label == TEMPERATURE for m in details)
        return hot and not self.state.steps and not doing.of(TIME, FOOD, UNTIL)

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
        return weak and self.baking and self.state.oven

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
        for event in self.state.events:
            if isinstance(event, ev.Stepped | ev.StepChanged) and event.key == step.key:
                found.extend(event.heard)
        return tuple(found)

    def _drop(self, step: StepState) -> None:
        self.state.emit(ev.StepDropped(key=step.key))
        self.state.steps.remove(step)

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
            heated=found.heat is not None, tempered=found.oven is not None, vessel=found.vessel,
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

    def _refine(self, scene: Scene, doing: Doing, details: Sequence[Mark]) -> None:
        """Times, heat and cues without a verb: about the last step, or a step of their own."""
        state = self.state
        _, more = minutes_of(details)
        found = _details(doing, details)
        heard = self.heard(scene, doing.start, doing.end)
        rows = self.objects.named(scene, doing, doing.start, doing.end)
        if self._preheats(doing, found, rows):
            state.oven = True
            found.vessel = "oven"
            self._new("preheat", "heat", instruction(doing, "preheat"), [], found, heard)
            return
        if self._leads_on(scene, doing, found):
            state.pending_heat = found.heat
            return
        if found.core is not None and found.minutes is None and self._core(found, heard):
            return
        if self._belongs(found, rows, more):
            self._change([], found, heard)
            return
        if found.minutes is not None or (found.oven is not None and rows):
            self._timed(scene, doing, found, rows, heard)
        elif found.heat is not None and found.vessel and found.until and not rows:
            self._new("heat", "heat", instruction(doing, "heat"), [], found, heard)
        elif found.heat is not None:
            state.pending_heat = found.heat
            self._foods(scene, doing)
        elif rows:
            self._foods(scene, doing)
        elif found.oven is not None:
            self.pending_oven = found.oven

    def _preheats(self, doing: Doing, found: Details, rows: Sequence[RowState]) -> bool:
        """The oven and a temperature, no time and no food: it is being heated."""
        if found.oven is None or found.minutes is not None or rows:
            return False
        last = self.state.steps[-1] if self.state.steps else None
        if found.vessel not in ("oven", None) or (found.vessel is None and last is not None):
            return False
        return last is None or not (last.tempered and last.kind == "cook")

    def _core(self, found: Details, heard: tuple[Heard, ...]) -> bool:
        last = last_cooking(self.state)
        if last is None:
            return False
        self.state.emit(
            ev.StepChanged(key=last.key, core_c=found.core, until=found.until, heard=heard)
        )
        return True

    def _timed(
        self,
        scene: Scene,
        doing: Doing,
        found: Details,
        rows: Sequence[RowState],
        heard: tuple[Heard, ...],
    ) -> None:
        """A time of its own without a verb: what is done there, or what was done before."""
        verb = vessel_verb(found.vessel) or self._same_cooking(rows)
        if {"off", "heat"} <= set(doing.lowers()):
            verb = "rest"
        elif verb in (None, "cook"):
            verb = "bake" if found.oven is not None or self._baked(doing) else "cook"
        verb = verb or "cook"
        found.heat = found.heat or self._pending()
        found.oven, self.pending_oven = found.oven or self.pending_oven, None
        rows = list(rows) or self.objects.of(scene, doing, verb)
        kind = str(verbs().get(verb, {}).get("kind", "cook"))
        rows = self._fried_in(verb, kind, rows)
        if verb == "bake":
            verb = oven_verb([r.name for r in self.state.living()])
        self._settle(verb, kind, rows)
        self._new(verb, kind, instruction(doing, verb, [r.name for r in rows]), rows, found, heard)

    @staticmethod
    def _leads_on(scene: Scene, doing: Doing, found: Details) -> bool:
        """ "turn it right down and simmer for 20": the heat is for what comes next."""
        if found.heat is None or found.minutes is not None or found.oven is not None:
            return False
        after = [m for c in scene.clauses for m in c.of(ACTION) if m.start >= doing.end][:2]
        return any(m.value.kind in ("cook", "hold", "add") for m in after)

    def _belongs(self, found: Details, rows: Sequence[RowState], more: bool) -> bool:
        """Whether verbless details are about the latest step rather than a new one."""
        if not self.state.steps:
            return False
        last = self.state.steps[-1]
        if self._now - last.utterance > NEAR or more:
            return False
        clash = (
            (found.minutes is not None and last.timed)
            or (found.oven is not None and last.tempered and found.minutes is None)
            or (found.heat is not None and last.heated)
        )
        elsewhere = found.vessel is not None and found.vessel != (last.vessel or found.vessel)
        fresh = any(r.key not in last.ingredients for r in rows)
        idle = last.kind in ("prep", "serve", "add") and not gathers(last.verb)
        idle = idle and (found.heat is not None or found.minutes is not None)
        if found.minutes is not None:
            made = vessel_verb(found.vessel) if found.vessel else None
            idle = idle or (made is not None and last.kind not in ("cook", "hold"))
            idle = idle or (last.kind == "heat" and last.utterance != self._now)
        heats = last.verb == "preheat" and found.minutes is not None
        heats = heats or (last.key == self.brought and found.minutes is not None)
        return not clash and not elsewhere and not fresh and not idle and not heats

    def _same_cooking(self, rows: Sequence[RowState]) -> str | None:
        last = self.state.steps[-1] if self.state.steps else None
        near = last is not None and self._now - last.utterance <= NEAR
        if last is not None and last.kind != "cook" and self.baking and self.state.oven:
            return "bake"
        if last is not None and last.key == self.brought:
            return "simmer"
        new = last is not None and any(r.key not in last.ingredients for r in rows)
        return same_cooking(self.state) if near and not new else None

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
        last.vessel = found.vessel or last.vessel
        last.utterance = self._now

    def _pending(self) -> HeatLevel | None:
        pending, self.state.pending_heat = self.state.pending_heat, None
        return cast(HeatLevel | None, pending)


def _details(doing: Doing, details: Sequence[Mark]) -> Details:
    minutes, _ = minutes_of(details)
    oven, core = temperatures_of(details)
    return Details(heat_of(details), minutes, oven, core, vessel_in(doing), until_of(details))


def _conditional(clause: Clause) -> bool:
    """ "if it's too thick": what follows is advice. "If you like" only makes it optional."""
    words = clause.lowers()
    while words and words[0] in ("and", "but", "so", "or", "then", ",", "or", "well"):
        words = words[1:]
    return bool(words) and words[0] in ("if", "unless") and not clause.cues("optional")


def _leads(scene: Scene, n: int) -> bool:
    """Whether a condition stands before what hangs on it ("if it's stiff, add milk")."""
    words = scene.clauses[n].lowers()
    if words[0] in ("and", "but", "so") or n == 0:
        return True
    before = scene.clauses[n - 1]
    joint = before.lowers()[-1] in ("but", "and", "so", "or", ".") or len(before.lowers()) <= 2
    return joint or not (before.of(ACTION, TIME, TEMPERATURE, FOOD))


def _resumes(clause: Clause) -> bool:
    return clause.lowers()[0] in ("then", "while")


def _serving(rows: Sequence[RowState]) -> str:
    return tidy("serve with " + ", ".join(r.name for r in rows))
