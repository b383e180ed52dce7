"""From a name as said to a composition row, with a score and the runners-up.

Cheap and certain ways first: the name itself, its words in order, its words in any order, the
name without preparations and containers. Then the longest known name inside it, judged by what
the words left over are. Fuzzy comparison comes last and only over names that share letters.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from rapidfuzz import fuzz, process
from rapidfuzz.distance import DamerauLevenshtein

from hobnote.pantry.classes import classes_of
from hobnote.pantry.described import Descriptions
from hobnote.pantry.foods import FoodTable
from hobnote.pantry.names import NameRow, Names, bag
from hobnote.pantry.spelling import letters, nearest
from hobnote.pantry.states import COOKED, SKIN_OFF, SKIN_ON, WITH_SKIN, pick, states_of, wanted
from hobnote.pantry.sureness import AFTER, BEFORE, Signs, changes, sure
from hobnote.pantry.types import Match
from hobnote.pantry.words import (
    fat_share,
    kind,
    plain,
    raw_words,
    simplified,
    states_in,
    tokens,
)

ASK_BELOW = 0.75
APPROXIMATE = 0.85  # the row is the nearest one, not this very food
REMEMBERED = 16384  # names whose answers are kept
MOST = 0.98  # what was not simply known is never quite sure
_PREPOSITION = re.compile(r" (?:in|with|from|for|without|on) ")
_SMALL = frozenset({"of", "the", "a", "an", "with", "in", "on", "and", "or"})


@dataclass(frozen=True, slots=True)
class Found:
    """A name found in what was said, how sure, and why; ``signs`` where it was not simply known."""

    row: NameRow
    score: float
    why: str
    signs: Signs | None = None


def _keep_room(*remembered: dict[Any, Any]) -> None:
    """Forget everything once there is much of it: new words come without end."""
    if len(remembered[0]) >= REMEMBERED:
        for known in remembered:
            known.clear()


def _judged(row: NameRow, signs: Signs, why: str) -> Found:
    if row.alternatives and signs.way != "fuzzy":
        signs = replace(signs, broad=True)
    return Found(row, round(min(sure(signs), MOST), 3), why, signs)


class Matcher:
    """Names of one locale over the composition table."""

    def __init__(self, names: Names, table: FoodTable) -> None:
        self._names = names
        self._table = table
        self._descriptions = Descriptions(table)
        self._found: dict[str, Found | None] = {}
        self._answers: dict[tuple[str, tuple[str, ...]], Match] = {}
        self.signs: dict[tuple[str, tuple[str, ...]], Signs] = {}  # of what descriptions gave

    def match(self, name: str, state: str | None, preparation: Sequence[str]) -> Match:
        """The row for ``name``; see ``Pantry.match``."""
        states = wanted(state, preparation)
        key = (name, states)
        if key not in self._answers:
            _keep_room(self._answers, self.signs)
            self._answers[key] = self._match(name, states)
        return self._answers[key]

    def find(self, name: str) -> Found | None:
        """The kitchen name that ``name`` means, or None."""
        if name not in self._found:
            _keep_room(self._found)
            self._found[name] = self._find(plain(name))
        return self._found[name]

    def _match(self, name: str, states: tuple[str, ...]) -> Match:
        found = self._by_skin(self.find(name), states)
        if found is None or found.score < 0.7:
            described = self._by_description(name, states)
            if described is not None and (found is None or described.score > found.score):
                return described
        if found is None:
            return Match(name, None, 0.0, "no name in the table resembles it")
        said = (*states, *self._states_of(name, found.row))
        food_id, penalty, state_why = pick(found.row, said)
        food = self._table.get(food_id)
        score = found.score * (APPROXIMATE if found.row.approximate else 1.0) * penalty
        every = [food_id, *found.row.alternatives, *found.row.states.values()]
        others = list(dict.fromkeys(every))
        whys = [found.why, state_why, found.row.note]
        return Match(
            name=name,
            food=food,
            score=round(score, 3),
            why="; ".join(w for w in whys if w),
            runners_up=tuple((self._table.get(i), round(score * 0.8, 3)) for i in others[1:5]),
            generic=_is_generic(found.row, name),
            alternatives=tuple(self._table.get(i) for i in found.row.alternatives),
        )

    def _by_skin(self, found: Found | None, states: tuple[str, ...]) -> Found | None:
        """The food with or without its skin, where that was said apart from the name."""
        if found is None or not {SKIN_ON, SKIN_OFF} & set(states):
            return found
        bare = found.row.name.removesuffix(f" {WITH_SKIN}")
        other = self._names.by_name.get(f"{bare} {WITH_SKIN}" if SKIN_ON in states else bare)
        return found if other is None else replace(found, row=other)

    def _states_of(self, name: str, row: NameRow) -> list[str]:
        """States within the name. In a name that is known as it stands they are part of it,
        and only pick another row where its line has one ("toasted almonds")."""
        text = plain(name)
        if text not in self._names.forms:
            return states_of(simplified(text))
        words = tokens(text)
        if any(words == tokens(own) for own in row.own_names):
            return []
        found = states_in(text.split())
        return [s for s in found if s in row.states or (s in COOKED and "cooked" in row.states)]

    def _find(self, name: str) -> Found | None:
        if row := self._names.exact.get(name):
            return Found(row, 1.0, f"known as {row.name}")
        if row := self._names.forms.get(name):
            return Found(row, 0.99, f"known as {row.name}")
        words = tokens(name)
        if not words:
            return None
        if row := self._names.by_tokens.get(words):
            return Found(row, 0.99, f"known as {row.name}")
        simpler = simplified(name)
        if simpler != name:
            return self._by_fat(name) or self._find(simpler)
        return (
            self._by_fat(name)
            or self._by_order(words)
            or self._stripped(name, words)
            or self._before_preposition(name)
            or self._by_core(words)
            or self._of_its_class(without_noise(words))
            or self._respelt(name, words)
            or self._inside(name, words)
            or self._fuzzy(name, words)
        )

    def _by_fat(self, name: str) -> Found | None:
        """Mince and the like by its fat content: the row of the same kin that is nearest."""
        said = fat_share(name)
        found = self._find(said[0]) if said else None
        if said is None or found is None or found.score < ASK_BELOW:
            return None
        row = self._names.nearest_in_fat(found.row, said[1])
        if row is None or row.fat is None:
            return None
        apart = abs(row.fat - said[1])
        why = f"{said[1]:g} per cent fat said, {row.name} has {row.fat:g}"
        return Found(row, 0.98 if apart <= 3 else 0.85 if apart <= 6 else 0.7, why)

    def _stripped(self, name: str, words: tuple[str, ...]) -> Found | None:
        """The longest known name with nothing but preparations and fillers around it.

        Looked up as said first: "peppers" are not the spice that "pepper" is.
        """
        raw = self._raw(name, words)
        noise = [_is_noise(word) for word in words]
        count = len(words)
        for length in range(count - 1, 0, -1):
            for start in range(count - length, -1, -1):
                end = start + length
                if not (all(noise[:start]) and all(noise[end:])):
                    continue
                row = self._names.exact.get(" ".join(raw[start:end]))
                row = row or self._names.by_tokens.get(words[start:end])
                if row is not None:
                    left = self._left(words[:start], words[end:])
                    return _judged(row, Signs("stripped", changes=left), f"known as {row.name}")
        return None

    def _left(self, before: Iterable[str], after: Iterable[str]) -> float:
        """How likely the words that were left out make another food."""
        out = [(word, BEFORE, _is_noise(word)) for word in before if word not in _SMALL]
        out += [(word, AFTER, _is_noise(word)) for word in after if word not in _SMALL]
        return changes(pair for pair in out if not pair[0].isdigit())

    def _by_core(self, words: tuple[str, ...]) -> Found | None:
        """The words without those that say nothing, wherever they stood."""
        core = without_noise(words)
        row = self._names.by_tokens.get(core) if core else None
        if row is None:
            return self._by_order(core, words)
        left = self._left((w for w in words if w not in core), ())
        return _judged(row, Signs("core", changes=left), f"known as {row.name}")

    def _of_its_class(self, words: tuple[str, ...]) -> Found | None:
        """A name followed by what kind of food it is: "provolone cheese", "penne pasta"."""
        row = self._names.by_tokens.get(words[:-1]) if len(words) > 1 else None
        if row is None:
            return None
        head = self._names.by_tokens.get(words[-1:])
        if words[-1] in classes_of(row, None) or head is row:
            left = self._left((), words[-1:])
            why = f"known as {row.name}, which is {words[-1]}"
            return _judged(row, Signs("class", changes=left), why)
        return None

    def _before_preposition(self, name: str) -> Found | None:
        """In "mackerel in tomato sauce" the food stands before the preposition.

        What it lies in may hold more energy than the food does: then the row is a question.
        """
        cut = _PREPOSITION.search(name)
        found = self.find(name[: cut.start()]) if cut else None
        if cut is None or found is None or found.score < ASK_BELOW:
            return None
        rest = name[cut.start() :]
        rich = not kind("medium").keys().isdisjoint(tokens(rest))
        odd = sum(w not in _SMALL for w in without_noise(tokens(rest)))
        signs = Signs("preposition", after=odd, rich=rich)
        why = f"{found.why}; not understood:{rest}"
        return Found(found.row, round(found.score * sure(signs), 3), why, signs)

    def _by_order(self, words: tuple[str, ...], said: tuple[str, ...] = ()) -> Found | None:
        row = self._names.by_bag.get(bag(words)) if words else None
        if row is None:
            return None
        left = self._left((w for w in said if w not in words), ())
        why = f"the words of {row.name} in another order"
        return _judged(row, Signs("order", changes=left), why)

    def _inside(self, name: str, words: tuple[str, ...]) -> Found | None:
        """The longest known name within, the one nearest the end first."""
        pairs = list(zip(words, self._raw(name, words), strict=True))
        core = [pair for pair in pairs if not _is_noise(pair[0])] or pairs
        return self._longest(pairs, 2) or self._longest(core, 1)

    def _longest(self, core: list[tuple[str, str]], least: int) -> Found | None:
        """The longest known name of at least so many words; pairs of index word and said word."""
        for length in range(min(len(core), 5), least - 1, -1):
            for start in range(len(core) - length, -1, -1):
                span = core[start : start + length]
                row = self._names.exact.get(" ".join(raw for _, raw in span))
                row = row or self._names.by_tokens.get(tuple(word for word, _ in span))
                if row is None:
                    continue
                before = [word for word, _ in core[:start]]
                after = [word for word, _ in core[start + length :]]
                return self._held(row, before, after)
        return None

    def _held(self, row: NameRow, before: list[str], after: list[str]) -> Found:
        """A name inside a longer one: any word that is not understood may make another food.

        English puts the head last: what follows the name, or another food before it,
        probably does ("cashew cream", "butter chicken sauce").
        """
        odd_before, odd_after = without_noise(before), without_noise(after)
        foods = sum(word in self._names.single_words for word in (*odd_before, *odd_after))
        signs = Signs(
            "inside",
            before=len(odd_before),
            after=len(odd_after),
            foods=foods,
            changes=self._left(before, after),
        )
        return _judged(row, signs, _left_over(row, list(odd_before), list(odd_after)))

    def _raw(self, name: str, words: tuple[str, ...]) -> list[str]:
        raw = raw_words(name)
        return raw if len(raw) == len(words) else list(words)

    def _respelt(self, name: str, words: tuple[str, ...]) -> Found | None:
        """The name with each word that no name holds put to the known word nearest to it."""
        known = self._names.words
        raw = self._raw(name, words)
        odd = [n for n, word in enumerate(words) if word not in known and not _is_noise(word)]
        if not odd or len(words) == 1:
            return None
        for n in odd:
            near = nearest(words[n], known)
            if near is None:
                return None
            raw[n] = near
        respelt = " ".join(raw)
        found = self._find(respelt)
        if found is None or found.score < ASK_BELOW:
            return None
        signs = self._slipped("respelt", name, respelt)
        why = f"{found.why}; spelt like {respelt}"
        return Found(found.row, round(found.score * sure(signs), 3), why, signs)

    def _slipped(self, way: str, said: str, meant: str) -> Signs:
        """The signs of a name that is spelt nearly like a known one."""
        words = without_noise(tokens(said)) or tokens(said)
        return Signs(
            way,
            slips=DamerauLevenshtein.distance(said, meant),
            letters=len(meant),
            known=self._descriptions.hold(words),
            first=said[:1] != meant[:1],
        )

    def _fuzzy(self, name: str, words: tuple[str, ...]) -> Found | None:
        """Names of about the same spelling; recogniser noise, typing slips."""
        joined = " ".join(without_noise(words)) or name
        pool = self._block(joined)
        best = (
            process.extractOne(joined, pool, scorer=fuzz.ratio, score_cutoff=80) if pool else None
        )
        if best is None:
            return None
        surface = best[0]
        signs = self._slipped("fuzzy", joined, surface)
        return _judged(self._surfaces[surface], signs, f"spelt like {surface}")

    @cached_property
    def _surfaces(self) -> dict[str, NameRow]:
        return {" ".join(words): row for words, row in self._names.by_tokens.items()}

    @cached_property
    def _blocks(self) -> dict[str, list[str]]:
        out: dict[str, list[str]] = {}
        for surface in self._surfaces:
            for block in letters(surface):
                out.setdefault(block, []).append(surface)
        return out

    def _block(self, text: str) -> list[str]:
        counts: dict[str, int] = {}
        for block in letters(text):
            for surface in self._blocks.get(block, ()):
                if abs(len(surface) - len(text)) <= 4:
                    counts[surface] = counts.get(surface, 0) + 1
        need = max(1, (len(text) - 2) // 4)
        return [surface for surface, n in counts.items() if n >= need]

    def _by_description(self, name: str, states: tuple[str, ...]) -> Match | None:
        """The plainest row whose description holds every word of the name."""
        words = [w for w in without_noise(tokens(name)) if w not in _SMALL]
        found = self._descriptions.match(name, words, {*states, *states_of(name)})
        if found is None:
            return None
        match, self.signs[name, states] = found
        return match


def _is_generic(row: NameRow, name: str) -> bool:
    """Whether the name covers foods that differ in numbers: "cheese", or "milk" with no more."""
    if row.generic:
        return True
    said = tokens(name)
    return bool(row.alternatives) and any(said == tokens(own) for own in row.own_names)


def without_noise(words: Iterable[str]) -> tuple[str, ...]:
    """Words without preparations, sizes, containers, states and fillers."""
    return tuple(word for word in words if not _is_noise(word))


def _is_noise(word: str) -> bool:
    return word.isdigit() or word in _noise()


_NOISE: set[str] = set()


def _noise() -> set[str]:
    if not _NOISE:
        for name in ("prep", "size", "fluff", "container", "state"):
            _NOISE.update(t for word in kind(name) for t in tokens(word))
        _NOISE.update(_SMALL)
    return _NOISE


def _left_over(row: NameRow, before: list[str], after: list[str]) -> str:
    extra = " ".join([*before, *after])
    return f"holds the name {row.name}" + (f"; not understood: {extra}" if extra else "")
