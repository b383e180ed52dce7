"""What is said without a verb: times, heat, and foods that go in, lie in a tin, or are served."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from hobnote.following import events as ev
from hobnote.following.doing import (
    Details,
    fat_verb,
    heat_of,
    is_mixed,
    minutes_of,
    oven_verb,
    temperatures_of,
    until_of,
    vessel_in,
    vessel_verb,
)
from hobnote.following.doings import Doing
from hobnote.following.objects import gathers, prepares, unique
from hobnote.following.printed import last_cooking, same_cooking
from hobnote.following.scene import Scene
from hobnote.following.state import RowState
from hobnote.following.steplog import NEAR, StepLog
from hobnote.following.wording import instruction, tidy
from hobnote.marking.lexicon import verbs
from hobnote.marking.marks import ACTION, FOOD, HEAT, TIME, UNTIL, VESSEL, Mark
from hobnote.record import Heard

_MOVED: Final = frozenset({"put", "return", "remove", "transfer"})
_MACHINES: Final = frozenset({"blend", "process", "mix", "steam", "microwave", "grill", "barbecue"})
_HOB: Final = frozenset({"pan", "frying pan", "saucepan", "pot", "wok", "casserole"})


class Verbless(StepLog):
    """Makes steps of, or refines steps by, doings that have no verb."""

    def _refine(self, scene: Scene, doing: Doing, details: Sequence[Mark]) -> None:
        """Times, heat and cues without a verb: about the last step, or a step of their own."""
        state = self.state
        _, more = minutes_of(details)
        found = details_of(doing, details)
        heard = self.heard(scene, doing.start, doing.end)
        rows = self.objects.named(scene, doing, doing.start, doing.end)
        untils = doing.of(UNTIL)
        if untils and doing.of(HEAT) and not doing.of(TIME):  # "till the sugar's gone"
            rows = self.objects.named(scene, doing, doing.start, untils[0].start)
        if self._preheats(doing, found, rows):
            state.oven = True
            found.vessel = "oven"
            self._new("preheat", "heat", instruction(doing, "preheat"), [], found, heard)
            return
        if self._leads_on(scene, doing, found):
            state.pending_heat = found.heat
            return
        if found.core is not None and found.minutes is None:
            if not doing.clause.cues("correction") and self._told_core():
                return  # "ours is on seventy-nine": what it came to, not what it should be
            if self._core(found, heard):
                return
        if self._belongs(found, rows, more):
            self._change([], found, heard)
            return
        if found.minutes is not None or (found.oven is not None and rows):
            self._timed(scene, doing, found, rows, heard)
        elif found.heat is not None and found.until and not rows and self._waits_for_heat(found):
            verb = "boil" if "boil" in found.until else "heat"
            rows = [] if found.vessel else self.objects.of(scene, doing, "simmer")
            names = [r.name for r in rows]
            self._settle(verb, "heat", rows)
            self._new(verb, "heat", instruction(doing, verb, names), rows, found, heard)
        elif found.heat is not None:
            state.pending_heat = found.heat
            self._foods(scene, doing)
        elif rows:
            self._foods(scene, doing)
        elif found.oven is not None:
            self.pending_oven = found.oven

    def _waits_for_heat(self, found: Details) -> bool:
        """ "medium heat till it boils" when what is heated is not cooking yet."""
        last = self.state.steps[-1] if self.state.steps else None
        return bool(found.vessel) or (last is not None and last.kind not in ("cook", "heat"))

    def _preheats(self, doing: Doing, found: Details, rows: Sequence[RowState]) -> bool:
        """The oven and a temperature, no time and no food: it is being heated."""
        if found.oven is None or found.minutes is not None or rows:
            return False
        last = self.state.steps[-1] if self.state.steps else None
        if found.vessel not in ("oven", None) or (found.vessel is None and last is not None):
            return False
        return last is None or not (last.tempered and last.kind == "cook")

    def _told_core(self) -> bool:
        last = last_cooking(self.state)
        return last is not None and last.cored

    def _core(self, found: Details, heard: tuple[Heard, ...]) -> bool:
        last = last_cooking(self.state)
        if last is None or last.verb == "preheat":
            return False
        self.state.emit(
            ev.StepChanged(key=last.key, core_c=found.core, until=found.until, heard=heard)
        )
        last.cored = True
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
        machine = [vessel_verb(str(m.value)) for m in doing.of(VESSEL)]
        verb = next((v for v in machine if v in _MACHINES), None)
        verb = verb or vessel_verb(found.vessel) or self._same_cooking(rows)
        still = self._still(doing, found)
        if {"off", "heat"} <= set(doing.lowers()):
            verb = "rest"
        elif still is not None:
            verb = still
        elif found.heat is not None and verb in ("bake", "roast"):
            verb = "cook"
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

    def _still(self, doing: Doing, found: Details) -> str | None:
        """ "you wait. Thirty minutes.", "twenty minutes' patience": nothing is cooked."""
        if found.heat is not None or found.oven is not None:
            return None
        clause = doing.clause
        said = {t.lower_ for t in clause.doc[max(0, clause.start - 4) : clause.end]}
        if {"wait", "patience", "waiting"} & said:
            return "rest"
        if {"cold", "cool"} & said and not doing.of(FOOD):
            return "cool"
        if {"fridge", "refrigerator"} & said and found.vessel in (None, "fridge"):
            return "chill"
        return None

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
        idle = idle or last.verb in _MOVED
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

    def _foods(self, scene: Scene, doing: Doing) -> None:
        """Foods without a verb or a time: served, or added once mixing or cooking goes on."""
        clause = doing.clause
        rows = self.objects.named(scene, doing, doing.start, doing.end)
        heard = self.heard(scene, doing.start, doing.end)
        if clause.cues("serving"):
            if rows and not self._nothing_yet:
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
        if not rows and (not self.state.steps or words[0] in ("in", "on")):
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

    def _joins(self, scene: Scene, doing: Doing) -> bool:
        """ "two cloves of garlic, in with the onions": they join the step that has the onions."""
        doc = doing.clause.doc
        at = next((i for i in range(doing.start, doing.end - 1) if doc[i].lower_ == "with"), None)
        if at is None or doc[at + 1].lower_ not in ("the", "that", "those"):
            return False
        anchors = {r.key for r in self.objects.named(scene, doing, at, doing.end)}
        rows = [r for r in self.objects.named(scene, doing, doing.start, at) if not r.optional]
        held = (s for s in self.state.steps if anchors & set(s.ingredients))
        step = next((s for s in held if not prepares(s.verb)), None)
        if not rows or step is None or step is self.state.steps[-1]:
            return False
        keys = tuple(r.key for r in rows if r.key not in step.ingredients)
        heard = self.heard(scene, doing.start, doing.end)
        self.state.emit(ev.StepChanged(key=step.key, ingredients=keys, heard=heard))
        step.ingredients.extend(keys)
        self.objects.use(rows, "add")
        return True


def details_of(doing: Doing, details: Sequence[Mark]) -> Details:
    minutes, _ = minutes_of(details)
    oven, core = temperatures_of(details)
    times = [m for m in details if m.label == TIME]
    doc = doing.clause.doc
    said = doc[times[0].start : times[-1].end].text if times else ""
    return Details(heat_of(details), minutes, oven, core, vessel_in(doing), until_of(details), said)


def _serving(rows: Sequence[RowState]) -> str:
    return tidy("serve with " + ", ".join(r.name for r in rows))
