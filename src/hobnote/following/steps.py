"""Step events of one utterance: what is done, with what, where, how hot, how long, until when."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from hobnote.following import events as ev
from hobnote.following.amending import Amending
from hobnote.following.clauses import Clause
from hobnote.following.doing import (
    is_idiom,
    is_keeping,
    minutes_of,
    oven_verb,
    vessel_verb,
)
from hobnote.following.doings import Doing, doings
from hobnote.following.moods import within
from hobnote.following.objects import prepares, unique
from hobnote.following.printed import STRONG, last_cooking, printed
from hobnote.following.scene import Scene
from hobnote.following.state import RowState
from hobnote.following.steplog import NEAR
from hobnote.following.usable import denials, told
from hobnote.following.verbless import details_of
from hobnote.following.wording import instruction
from hobnote.marking.lexicon import verb_forms, verbs
from hobnote.marking.marks import ACTION, AMOUNT, FOOD, HEAT, TEMPERATURE, TIME, UNTIL, VESSEL, Mark

_WHILE: Final = frozenset({"while", "whilst", "as", "meanwhile"})
_GOING_ON: Final = frozenset({"that", "it", "they", "those", "the", "this", "everything", "thats"})
_NOT: Final = frozenset({"n't", "nt", "not", "never", "dont", "don't"})
_MORE: Final = frozenset(
    {"another", "more", "rest", "remaining", "again", "other", "second", "extra", "half"}
)


_REASONS: Final = frozenset(
    {"because", "cause", "'cause", "cos", "'cos", "coz", "cuz", "bc", "otherwise"}
)


class Steps(Amending):
    """Turns the verbs, times and heat of an utterance into events on ``state``."""

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

    def _clause(self, scene: Scene, clause: Clause) -> None:
        if self._instead_of(scene, clause):
            return
        scopes = denials(clause)
        marks = clause.of(TIME, HEAT, TEMPERATURE, UNTIL)
        details = [
            m
            for m in marks
            if not within(m.start, scopes)
            and not is_idiom(clause, m)
            and not (m.label == TIME and any(u.start < m.start < u.end for u in clause.of(UNTIL)))
        ]
        better = clause.cues("alternative") and not clause.of(ACTION)
        if better or is_keeping(clause, details) or self._background(clause):
            return
        if self._total(scene, clause, details) or any(told(clause, m) for m in clause.of(ACTION)):
            return
        reason = clause.doc[clause.start].lower_ in _REASONS
        for doing in doings(clause):
            if self._idle(scene, doing, reason):
                continue
            own = [m for m in details if doing.start <= m.start < doing.end]
            self._doing(scene, doing, own)
            said = self.objects.named(scene, doing, doing.start, doing.end)
            self.objects.note(r for r in said if self.objects.said.get(r.key) != self._now)

    def _idle(self, scene: Scene, doing: Doing, reason: bool) -> bool:
        """A reason ("because it burns"), or what is said before anything is taken up."""
        action = doing.action
        if action is None:
            return False
        if reason and (action.value.subject is not None or action.value.form != "base"):
            return True
        if action.value.verb == "serve" and self._nothing_yet:
            return True  # "a chicken thing served with rice"
        if self.state.steps or self.state.rows or scene.rows:
            return False
        return not doing.of(AMOUNT, TIME, TEMPERATURE, VESSEL, HEAT, UNTIL)

    def _shared(self, scene: Scene, doing: Doing, verb: str) -> list[RowState]:
        """ "peel, core and chop the apples": the object stands after the last of the verbs."""
        rest = [w for w in doing.after() if w not in (",", "and")]
        if not prepares(verb) or any(w not in verb_forms() for w in rest):
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
        self._change([], details_of(doing, details), self.heard(scene, doing.start, doing.end))

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
        if minutes is None or more or clause.of(FOOD, TEMPERATURE):
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
        text = self._retimed(step, minutes)
        self.state.emit(ev.StepChanged(key=step.key, text=text, minutes=minutes, heard=heard))
        return True

    def _step(self, scene: Scene, doing: Doing, verb: str, details: Sequence[Mark]) -> None:
        if verb == "cook" and self._baked(doing):
            verb = "bake"
        if verb == "bake" and self._only_heats(doing, details):
            verb = "preheat"
        named = self.objects.named(scene, doing, doing.start, doing.end)
        new = {r.key for r in (*named, *self.objects.fresh)}
        rows = self._shared(scene, doing, verb) or self.objects.of(scene, doing, verb)
        found = details_of(doing, details)
        heard = self.heard(scene, doing.start, doing.end)
        kind = str(verbs().get(verb, {}).get("kind", "cook"))
        if kind in ("cook", "heat"):
            pending = self._pending()
            found.heat = found.heat or (None if found.oven is not None else pending)
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
        if self._amends(scene, doing, verb, found, heard):
            return
        self._settle(verb, kind, rows)
        if self._continues(verb, [r for r in rows if r.key in new], found) and not more:
            self._change(rows, found, heard)
            return
        after = doing.action.end if doing.action is not None else doing.start
        said = self.objects.named(scene, doing, after, doing.end)
        text = instruction(doing, verb, [r.name for r in rows if r not in said or len(rows) == 1])
        self._new(verb, kind, text, rows, found, heard)
        if doing.action is not None and doing.action.value.verb == "bring":
            self.brought = self.state.steps[-1].key

    def _only_heats(self, doing: Doing, details: Sequence[Mark]) -> bool:
        """ "oven on to 180, bake, not fan": nothing is there to bake yet."""
        hot = any(m.label == TEMPERATURE for m in details)
        return hot and not self.state.steps and not doing.of(TIME, FOOD, UNTIL)


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
