"""Optional extras and things for serving: which rows an option cue or an if-clause speaks of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from hobnote.following import events as ev
from hobnote.following.clauses import Clause
from hobnote.following.scene import Scene, Walker
from hobnote.following.state import RowState
from hobnote.marking.marks import AMOUNT, FOOD, PORTIONS, Mark
from hobnote.marking.tables import word_list

JOINED: Final = 6
"""Tokens within which foods before an if-clause belong to it together."""
_JOINTS: Final = frozenset({"and", "but", "so", "then"})
_EATERS: Final = frozenset({"you", "u", "i", "we", "they", "he", "she", "youre", "theyve", "ye"})
_POINTING: Final = frozenset({"that", "it", "they", "those", "this", "both", "all", "you"})


class Options(Walker):
    """Tells which rows are optional or only for serving."""

    def take(self, scene: Scene) -> None:
        """Emit what the option cues of one utterance say, once its rows are known."""
        state = self.state
        if any(c.cues("lacking") for c in scene.clauses):
            return
        fresh = {
            start: r
            for start, r in scene.rows.items()
            if r.utterance == state.utterance and not r.optional and not r.swap_for
        }
        for n, clause in enumerate(scene.clauses):
            if scene.moods[n] not in ("recipe", "hypothetical"):
                continue
            for cue in clause.cues("optional", "serving", "condition"):
                if cue.value == "condition" and not self._wanting(scene, clause, cue):
                    continue
                for row in self._meant(scene, n, cue, fresh):
                    self._tell(scene, n, cue, row)
        if not scene.rows:
            self._looking_back(scene)

    def _tell(self, scene: Scene, n: int, cue: Mark, row: RowState) -> None:
        if row.optional:
            return
        row.optional = True
        heard = self.heard(scene, cue.start, cue.end)
        condition = self._condition(scene, n, cue)
        self.state.emit(ev.Described(key=row.key, optional=True, condition=condition, heard=heard))

    def _looking_back(self, scene: Scene) -> None:
        """ "Pitta, two each, warm. That's up to you.": said of the row just named."""
        state = self.state
        topic, first = state.topic, scene.clauses[0]
        cues = [m for m in first.cues("optional") if m.start - first.start <= 3]
        if not cues or topic is None or topic.swap_for or scene.moods[0] != "recipe":
            return
        pointing = first.doc[first.start].lower_ in _POINTING or cues[0].start == first.start
        if pointing and topic.alive and state.utterance - topic.utterance <= 2:
            self._tell(scene, 0, cues[0], topic)

    @staticmethod
    def _wanting(scene: Scene, clause: Clause, cue: Mark) -> bool:
        """Whether an if-clause tells of wish, taste, store or need: "if you've got them".

        What people do otherwise makes nothing optional: "six, or four if
        they've been on the water".
        """
        doc = clause.doc
        if cue.start and doc[cue.start - 1].lower_ == "only":
            return True
        if doc[cue.start].lower_ != "if":
            return True
        n = scene.clauses.index(clause) + 1
        end = clause.end
        if end - cue.end <= 2 and n < len(scene.clauses):
            end = scene.clauses[n].end  # "if | you've got growing boys"
        said = [t.lower_ for t in doc[cue.end : end]]
        said = said[: next((i for i, w in enumerate(said) if w in (",", ".")), len(said))]
        last = end == scene.clauses[-1].end
        if last or (said and said[0] not in _EATERS):
            return not any(c.of(PORTIONS) for c in scene.clauses)  # "if it's stiff, a drop of milk"
        return said[:1] == ["i"] or not word_list("wanting").isdisjoint(said)

    @staticmethod
    def _condition(scene: Scene, n: int, cue: Mark) -> str | None:
        clause = scene.clauses[n]
        if cue.value == "serving":
            return None
        text = clause.doc[cue.start : clause.end].text.strip(" ,.;")
        return text if text.lower().startswith(("if", "unless", "for", "when", "in case")) else None

    @staticmethod
    def _meant(scene: Scene, n: int, cue: Mark, fresh: Mapping[int, RowState]) -> list[RowState]:
        """The rows that an option cue speaks of.

        "optional: a thumb of ginger" looks ahead; "icing sugar if you want" and
        "if you want, bacon" take the clause before or after the if-clause.
        """
        clauses = scene.clauses
        clause = clauses[n]
        here = [r for s, r in fresh.items() if clause.start <= s < clause.end]
        after = [r for s, r in fresh.items() if s >= cue.end]
        if cue.value == "serving":
            if clause.doc[cue.end - 1].lower_ == "with":  # "a chicken thing served with rice"
                return [r for s, r in fresh.items() if cue.end <= s < clause.end]
            return here
        led = [s for s in fresh if clauses[0].start <= s < cue.start]
        if cue.value == "optional" and cue.start - clauses[0].start <= 1 and not led:
            return after
        if cue.value == "optional" and here:
            told = [r for s, r in fresh.items() if 0 < cue.start - s <= 2]
            plain = clause.doc[cue.start : cue.end].text.lower() == "optional"
            return told[-1:] if plain and told else here  # "a can of beans, guac optional"
        before = [
            (s, r) for s, r in fresh.items() if n > 0 and clauses[n - 1].start <= s < cue.start
        ]
        joint = clause.doc[cue.start - 1].lower_ if cue.start else ""
        if before and _of_a_kind(scene, max(s for s, _ in before), cue):
            return []
        if before and not (cue.value == "condition" and joint in _JOINTS):
            last = max(s for s, _ in before)
            if _of_another(scene, last, cue):
                return []
            joined = [r for s, r in before if last - s <= JOINED]
            return joined if cue.value == "optional" else joined[-1:]
        if cue.start - clauses[0].start <= 2 or joint in _JOINTS:
            return after
        return here


def _of_another(scene: Scene, start: int, cue: Mark) -> bool:
    """ "tuna, or salmon if you're flush": the condition is that of the food after "or"."""
    doc = scene.clauses[0].doc
    joints = [i for i in range(start, cue.start) if doc[i].lower_ == "or"]
    foods = (m.start for c in scene.clauses for m in c.of(FOOD))
    return bool(joints) and any(joints[0] < f < cue.start for f in foods)


def _of_a_kind(scene: Scene, start: int, cue: Mark) -> bool:
    """ "oats, 350 g, jumbo if you've got them": the kind is optional, not the food."""
    doc = scene.clauses[0].doc
    comma = next((i for i in range(cue.start - 1, start, -1) if doc[i].text == ","), None)
    if comma is None:
        return False
    said = {i for c in scene.clauses for m in c.of(FOOD, AMOUNT) for i in range(m.start, m.end)}
    rest = [doc[i] for i in range(comma + 1, cue.start)]
    kind = [t for t in rest if t.tag_ in ("JJ", "NN", "NNS", "JJR")]
    return bool(kind) and len(rest) <= 3 and not any(t.i in said for t in rest)
