"""Whom a verb acts on: the foods it names, the part it names, or what "it" stands for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from hobnote.following.doing import is_medium, stand_in, stand_ins
from hobnote.following.doings import Doing
from hobnote.following.kinds import is_piece, kinds
from hobnote.following.scene import Scene, known
from hobnote.following.state import RowState, State, StepState
from hobnote.marking.lexicon import verbs
from hobnote.marking.marks import FOOD, PART, Mark

_ONE: Final = frozenset({"it", "that", "this"})
_MANY: Final = frozenset({"them", "those", "these", "'em", "em", "they", "both"})
_ALL: Final = frozenset({"everything", "lot", "all", "together", "whole"})
_ON_PIECES: Final = frozenset({"fry", "cook", "bake", "roast", "saute", "sauté", "crisp"})
_ONTO: Final = frozenset({"season", "rub", "coat", "marinate", "dust", "brush", "baste"})
_LEFT: Final = frozenset({"leave", "keep", "let"})
_POINTING: Final = frozenset({"the", "those", "these", "your", "my", "all", "them"})
REACH: Final = 3
"""Utterances back in which "it" may look for a food."""
RESTING: Final = 6
"""Utterances back in which a piece of food was last in hand when something is left to stand."""
STANDING: Final = 4
"""Steps back whose foods are still in the pot when it simmers or bakes."""


def not_medium(name: str) -> bool:
    """Whether a food is more than what others are fried, boiled or seasoned in."""
    return not is_medium(name)


def unique(rows: Iterable[RowState]) -> list[RowState]:
    """``rows`` without repeats and without swaps."""
    found: list[RowState] = []
    for row in rows:
        if row not in found and not row.swap_for:
            found.append(row)
    return found


class Objects:
    """Remembers what was named and what was used, and finds what a verb acts on.

    ``fresh`` holds the rows named since the latest step, in order; the state's
    ``gathered`` holds those that nothing was done with yet.
    """

    def __init__(self, state: State) -> None:
        self.state = state
        self.fresh: list[RowState] = []
        self.said: dict[str, int] = {}
        self.used: set[str] = set()
        self.held: list[RowState] = []
        self.held_at = 0
        self._by_key: dict[str, RowState] = {}

    def note(self, rows: Iterable[RowState]) -> None:
        """``rows`` were named just now."""
        rows = list(rows)
        self.hold([r for r in rows if not r.optional and not r.swap_for])
        for row in rows:
            self.said[row.key] = self.state.utterance
            if row in self.fresh:
                self.fresh.remove(row)
            self.fresh.append(row)

    def hold(self, rows: Sequence[RowState]) -> None:
        """The pieces among ``rows`` are what the cook has in hand now."""
        pieces = [r for r in rows if is_piece(r.name)]
        if not pieces:
            return
        if self.held_at == self.state.utterance:
            pieces = unique([*self.held, *pieces])
        self.held, self.held_at = pieces, self.state.utterance

    def gather(self, rows: Iterable[RowState], more: bool) -> None:
        """``rows`` wait to be used; those that were used only when there is ``more``."""
        for row in rows:
            if row.key in self.used and not more:
                continue
            if row not in self.state.gathered and not row.swap_for:
                self.state.gathered.append(row)

    def use(self, rows: Sequence[RowState], verb: str) -> None:
        """A step was made of ``rows``; cutting and washing leaves them to be used."""
        pieces = [r for r in rows if is_piece(r.name)]
        if pieces:
            self.held, self.held_at = pieces, self.state.utterance
        if not prepares(verb):
            self.state.gathered = [r for r in self.state.gathered if r not in rows]
            self.used.update(r.key for r in rows)
        self.said.update((r.key, self.state.utterance) for r in rows)
        if rows:
            self.fresh = []

    def named(self, scene: Scene, doing: Doing, start: int, end: int) -> list[RowState]:
        """Rows of the foods and parts that are named between two tokens."""
        found: list[RowState] = []
        marks = doing.of(FOOD, PART)
        for mark in marks:
            if start <= mark.start < end:
                found.extend(self._rows(scene, mark))
        if not found:
            found = self._by_head(doing, start, end, marks)
        return unique(found)

    def _by_head(self, doing: Doing, start: int, end: int, marks: Sequence[Mark]) -> list[RowState]:
        """ "the chops", "those thighs": rows told by the last word of their name alone."""
        doc = doing.clause.doc
        taken = {i for m in marks for i in range(m.start, m.end)}
        for i in range(max(start, doing.start), min(end, doing.end)):
            if doc[i].tag_ not in ("NN", "NNS") or i in taken or i == 0:
                continue
            if doc[i - 1].lower_ not in _POINTING:
                continue
            head = doc[i].lower_
            singular = head[:-1] if head.endswith("s") else head
            for row in reversed(self.state.living()):
                words = row.name.split()
                if len(words) > 1 and words[-1] in (head, singular):
                    return [row]
        return []

    def _rows(self, scene: Scene, mark: Mark) -> list[RowState]:
        state = self.state
        if mark.label == PART:
            name = str(mark.value)
            return [r for r in state.living() if r.component == name]
        row = scene.rows.get(mark.start)
        if row is None and mark.value.definite:
            row = known(state, mark)
        return [row] if row is not None else []

    # -- what a verb acts on ----------------------------------------------------

    def of(self, scene: Scene, doing: Doing, verb: str) -> list[RowState]:
        """The rows that ``doing`` acts on."""
        action = doing.action
        at = action.start if action is not None else doing.start
        before = self.named(scene, doing, doing.start, at)
        after = self.named(scene, doing, at, doing.end)
        meant = self._stood_for(scene, doing)
        if meant:
            return unique([*before, *meant, *after])
        words = doing.after()
        if action is not None and action.value.verb in ("go", "come"):
            return self._moved(doing, before, after)
        pronoun = self._pronoun(doing, words)
        if pronoun is None and (after or before):
            return unique([*before, *self._seasoned(verb, [*before, *after]), *after])
        self.note(before)
        if before and pronoun in ("one", "many") and not gathers(verb):
            return unique([*before, *after])
        back = self._antecedent(verb, pronoun)
        return unique([*before, *back, *after])

    def _moved(
        self, doing: Doing, before: Sequence[RowState], after: Sequence[RowState]
    ) -> list[RowState]:
        """What "goes in": the foods before the verb, or after "in goes", or the latest."""
        if before:
            return list(before)
        first = doing.clause.doc[doing.action.start - 1].lower_ if doing.action else ""
        if after and first in ("in", "on", "there", "over"):
            return list(after)
        latest = self._antecedent("add", "many")
        return latest or list(after)

    @staticmethod
    def _pronoun(doing: Doing, words: Sequence[str]) -> str | None:
        """Which stand-in follows the verb: one, many or all."""
        for word in words[:4]:
            if word in _ALL:
                return "all"
        for word in words[:3]:
            if word in _MANY:
                return "many"
            if word in _ONE:
                return "one"
        loose = any(stand_ins().get(w) == frozenset() for w in words[:4])
        if loose and not doing.of(PART):
            return "some"
        return None

    def _stood_for(self, scene: Scene, doing: Doing) -> list[RowState]:
        """ "put the meat back": the latest rows of that kind."""
        at = stand_in(doing)
        word = doing.clause.doc[at].lower_ if at is not None else ""
        wanted = stand_ins().get(word, frozenset())
        named = [m for m in doing.of(FOOD) if at is not None and m.start <= at < m.end]
        rows = [r for m in named for r in self._rows(scene, m)]
        if not wanted or any(word.startswith(r.name) for r in rows):
            return []  # "the pasta" where a row is called so
        for step in reversed(self.state.steps):
            rows = [r for r in self.rows_of(step) if kinds(r.name) & wanted]
            if rows:
                return rows
        rows = [r for r in self.state.living() if kinds(r.name) & wanted and not r.swap_for]
        return rows[-1:] if len(wanted & {"meat", "fish"}) else rows

    def _antecedent(self, verb: str, pronoun: str | None) -> list[RowState]:
        state = self.state
        fresh = [r for r in self.fresh if r.alive and not r.swap_for]
        waiting = [r for r in state.gathered if r.alive and r.component == state.component]
        if gathers(verb) or pronoun == "all":
            pool = unique([*waiting, *(r for r in fresh if r.key not in self.used)])
            if pool:
                return pool
        if stays(verb) and state.steps and pronoun != "many":
            return unique([*self._standing(), *fresh])
        near = [r for r in fresh if state.utterance - self.said.get(r.key, 0) <= REACH]
        if kind_of(verb) == "hold" or verb in _LEFT:
            return self._resting(near)
        if not any(is_piece(r.name) for r in near) and (
            takes_piece(verb) or (verb in _ON_PIECES and near and pronoun != "many")
        ):
            held = [r for r in self.held if r.alive]
            if held:
                return unique([*held, *near])
        if any(not is_medium(r.name) for r in near) and not (pronoun is None and prepares(verb)):
            if kind_of(verb) in ("cook", "hold"):
                return near
            latest = max(self.said.get(r.key, 0) for r in near)
            last = [r for r in near if self.said.get(r.key, 0) == latest]
            return last[-1:] if pronoun == "one" and prepares(verb) else last
        return self.last_rows() or near or waiting

    def _seasoned(self, verb: str, rows: Sequence[RowState]) -> list[RowState]:
        """ "season with salt": the piece in hand is what is seasoned."""
        if verb not in _ONTO or any(is_piece(r.name) for r in rows):
            return []
        near = self.state.utterance - self.held_at <= REACH
        return [r for r in self.held if r.alive] if near else []

    def _resting(self, near: Sequence[RowState]) -> list[RowState]:
        """What stands, chills or is left: what was just named, and what it was put on or into."""
        state = self.state
        if any(is_piece(r.name) for r in near):
            return list(near)
        held = [r for r in self.held if r.alive and state.utterance - self.held_at <= RESTING]
        mixed = bool(state.steps) and gathers(state.steps[-1].verb)
        return unique([*([] if mixed else held), *self.last_rows(), *near]) or list(self.held)

    def _standing(self) -> list[RowState]:
        """What is in the pot or the tin: the rows of the latest few steps."""
        found: list[RowState] = []
        for step in reversed(self.state.steps[-STANDING:]):
            if step.kind == "serve" or step.verb == "preheat":
                break
            found = [*self.rows_of(step), *found]
        return unique(found)

    def last_rows(self, fits: Callable[[str], bool] = not_medium) -> list[RowState]:
        """The rows of the latest step that has one whose name ``fits`` (any but fat and salt)."""
        for step in reversed(self.state.steps):
            rows = self.rows_of(step)
            if any(fits(r.name) for r in rows):
                return rows
        return []

    def rows_of(self, step: StepState) -> list[RowState]:
        """The living rows of a step."""
        rows = self.state.rows
        for row in rows[len(self._by_key) :]:
            self._by_key[row.key] = row
        found = (self._by_key.get(key) for key in step.ingredients)
        return [r for r in found if r is not None and r.alive]


def kind_of(verb: str) -> str:
    """The kind of a verb (actions.csv); cook when it is not there."""
    return str(verbs().get(verb, {}).get("kind", "cook"))


def gathers(verb: str) -> bool:
    """Whether a verb without an object takes everything that stands ready ("whisk")."""
    return bool(verbs().get(verb, {}).get("takes") == "all")


def prepares(verb: str) -> bool:
    """Whether a verb makes one food ready for later ("peel", "grate", "rinse")."""
    return bool(verbs().get(verb, {}).get("takes") == "one")


def stays(verb: str) -> bool:
    """Whether a verb goes on with what is in the pot already ("simmer")."""
    return bool(verbs().get(verb, {}).get("takes") == "pot")


def takes_piece(verb: str) -> bool:
    """Whether a verb acts on pieces of food, never on seasoning or a liquid ("rest", "slice")."""
    return bool(verbs().get(verb, {}).get("needs") == "piece")
