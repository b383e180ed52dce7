"""Walks the marked passages in order and yields the events that they tell.

Discourse (pronouns, the part of the dish, running totals, the last step)
lives here and only here.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from typing import Final

from spacy.tokens import Doc

from hobnote.following import events as ev
from hobnote.following.clauses import Clause, utterances
from hobnote.following.ingredients import Ingredients
from hobnote.following.moods import moods
from hobnote.following.overruled import doubt, overrule
from hobnote.following.parts import Parts
from hobnote.following.scene import DOUBTFUL, Scene
from hobnote.following.state import State
from hobnote.following.steps import Steps
from hobnote.following.worded import worded_claims
from hobnote.marking.marks import (
    AMOUNT,
    CLAIM,
    PORTIONS,
    AmountValue,
    ClaimValue,
    Mark,
    marks,
)
from hobnote.marking.tables import rows
from hobnote.reading.dictation import Dictation
from hobnote.record import Claim, ClaimNutrient

AHEAD: Final = 10_000
"""Words, more than an hour of talk, within which the number of eaters is looked for."""
SHORTEST_ASIDE: Final = 4
"""Words from which an utterance that tells nothing is kept as an aside."""


@cache
def dish_words() -> dict[str, str]:
    """Names of finished dishes, mixtures and collective words, to their kind (dishes.csv)."""
    return {p: row["kind"] for row in rows("dishes.csv") for p in row["phrases"].split("|")}


class Follower:
    """Feeds marked Docs into one running :class:`State`.

    ``prefix`` keeps the keys of a later message apart from earlier ones.
    """

    def __init__(self, dictation: Dictation, state: State | None = None, prefix: str = "") -> None:
        self.state = state or State(dictation, prefix=prefix)
        self.ingredients = Ingredients(self.state, dish_words())
        self.steps = Steps(self.state)
        self.parts = Parts(self.state)

    def feed(self, doc: Doc, base: int) -> None:
        """Walk one passage whose Doc begins at character ``base`` of the speech."""
        scores: Sequence[float] = doc.user_data.get("aside_scores", ())
        for n, clauses in enumerate(utterances(doc)):
            self.state.utterance += 1
            score = scores[n] if n < len(scores) else None
            scene = Scene(clauses, moods(clauses, score), base, {}, aside=score or 0.0)
            self._utterance(scene)

    def _utterance(self, scene: Scene) -> None:
        before = len(self.state.events)
        self.parts.take(scene)
        overrule(scene)
        if any(m in ("recipe", "hypothetical") for m in scene.moods):
            self.ingredients.take(scene)
            self.steps.take(scene)
        elif any(c.cues("instead") for c in scene.clauses):
            self.ingredients.take(scene)  # "my wife uses B instead of A": an offer all the same
        doubt(self.state, scene)
        self.ingredients.offering.misheard(scene)
        self._figures(scene)
        silent = len(self.state.events) == before
        self._asides(scene, silent)
        self.state.aside_before = scene.moods[-1] not in ("recipe", "title") or (
            silent and scene.aside >= DOUBTFUL
        )

    def _figures(self, scene: Scene) -> None:
        """Portions and claims; of two figures for one thing in a breath the later one counts."""
        state = self.state
        claims: dict[tuple[str, str | None], ev.Claimed] = {}
        for n, clause in enumerate(scene.clauses):
            if scene.moods[n] in ("past", "plug"):
                continue
            labels = (PORTIONS,) if scene.moods[n] == "other" else (CLAIM, PORTIONS)
            for mark in clause.of(*labels):
                heard = self.parts.heard(scene, mark.start, mark.end)
                value = mark.value
                if isinstance(value, ClaimValue):
                    event = ev.Claimed(claim=_claim(value), heard=heard)
                    claims[value.nutrient, value.scope] = event
                elif (
                    isinstance(value, AmountValue)
                    and value.low > 0  # "it was all for nought"
                    and not self._rate(scene, clause, mark)
                ):
                    state.portions = value.best
                    state.emit(
                        ev.Portioned(low=value.low, best=value.best, high=value.high, heard=heard)
                    )
            for claim in worded_claims(clause):
                heard = self.parts.heard(scene, claim.start, claim.end)
                state.emit(ev.Stated(claim=claim.claim, heard=heard))
        for event in claims.values():
            state.emit(event)

    def _rate(self, scene: Scene, clause: Clause, mark: Mark) -> bool:
        """ "one cup of rice for two people", "is tapas for 8": beside the number already given.

        A later number counts when it is said as the dish's own ("serves six", "no, for six").
        """
        if self.state.portions is None:
            return False
        words = [t.lower_ for t in clause.doc[mark.start : mark.end]]
        weak = words[0] == "for" or words[:2] == ["is", "for"]
        if not weak or clause.cues("correction"):
            return False
        measured = any(m.end <= mark.start for m in clause.of(AMOUNT))
        before = {t.lower_ for t in clause.doc[clause.start : mark.start]}
        return measured or not before.isdisjoint(("or", "if"))

    def _asides(self, scene: Scene, silent: bool) -> None:
        """Clauses out of the recipe's mood, joined where they stand side by side.

        An utterance that told nothing at all (``silent``) is an aside as a whole
        when it is longer than an interjection.
        """
        doc, first, last = scene.clauses[0].doc, scene.clauses[0].start, scene.clauses[-1].end
        silent = silent and sum(t.is_alpha for t in doc[first:last]) >= SHORTEST_ASIDE
        start: int | None = None
        for n, clause in enumerate([*scene.clauses, None]):
            out = clause is not None and (silent or scene.moods[n] not in ("recipe", "title"))
            if out and clause is not None:
                start = clause.start if start is None else start
            elif start is not None:
                span = doc[start : scene.clauses[n - 1].end]
                heard = self.state.heard(scene.base, span.start_char, span.end_char)
                self.state.emit(ev.SetAside(heard=heard))
                start = None


def _claim(value: ClaimValue) -> Claim:
    nutrient: ClaimNutrient = value.nutrient  # type: ignore[assignment]
    return Claim(
        nutrient=nutrient,
        low=value.low,
        high=value.high,
        unit=value.unit,  # type: ignore[arg-type]
        scope=value.scope or "portion",
    )


def _look_ahead(
    docs: Iterator[tuple[Doc, int]],
) -> tuple[float | None, Iterator[tuple[Doc, int]]]:
    """The first number of eaters that the note tells, and all of ``docs``.

    "Per jar" may come before it. Passages are held only until it is found, and
    no more of them than :data:`AHEAD` words, so that a long note is still
    walked passage by passage.
    """
    held: deque[tuple[Doc, int]] = deque()
    words = 0
    for doc, base in docs:
        held.append((doc, base))
        words += len(doc)
        found = (m.value.best for m in marks(doc, PORTIONS))
        eaters = next((best for best in found if best >= 2), None)
        if eaters is not None or words > AHEAD:
            return eaters, _onward(held, docs)
    return None, _onward(held, docs)


def _onward(
    held: deque[tuple[Doc, int]], docs: Iterator[tuple[Doc, int]]
) -> Iterator[tuple[Doc, int]]:
    """What is held, let go one by one, then the rest."""
    while held:
        yield held.popleft()
    yield from docs


def follow(dictation: Dictation, docs: Iterable[tuple[Doc, int]]) -> list[ev.Event]:
    """The events of a whole dictation; ``docs`` are (marked Doc, offset in the speech)."""
    follower = Follower(dictation)
    follower.state.expected, passages = _look_ahead(iter(docs))
    for doc, base in passages:
        follower.feed(doc, base)
    follower.ingredients.close()
    return follower.state.events
