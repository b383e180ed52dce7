"""The recipe as it stands after all that was said, and a message read against it. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobnote.asking.context import Context
from hobnote.asking.naming import kitchen_name
from hobnote.asking.questions import Question, Thresholds, questions
from hobnote.asking.settling import FOODS, without_settled
from hobnote.following import events as ev
from hobnote.following.resume import Known, known
from hobnote.job import record_of
from hobnote.keeping.turns import Turn, standing
from hobnote.pantry.pantry import Pantry
from hobnote.reading import Dictation, read_text
from hobnote.reading.dictation import Piece
from hobnote.record import Ingredient, Record, Step


@dataclass(slots=True)
class Present:
    """The recipe as it stands, worked out once a change."""

    holds: list[Turn]
    undone: list[Turn]
    events: list[ev.Event]
    known: Known
    record: Record
    questions: list[Question]

    @classmethod
    def of(
        cls,
        turns: Sequence[Turn],
        measures: str | None,
        warnings: Sequence[str],
        thresholds: Thresholds,
        pantry: Pantry,
    ) -> Present:
        """What the messages that hold come to: folded, weighed, and what is left to ask."""
        found = standing(turns)
        events = [event for turn in found.holds for event in turn.events]
        now = known(events)
        whole = record_of(events, measures=measures, warnings=tuple(warnings), pantry=pantry)
        record = without_settled(whole, events, now)
        asked = [_named(q, pantry) for q in questions(record, events, thresholds, now)]
        return cls(found.holds, found.undone, events, now, record, asked)

    def rows(self) -> dict[str, Ingredient]:
        """The record's rows by key."""
        places = self.known.places()
        return {
            places[part.name, n]: row
            for part in self.record.components
            for n, row in enumerate(part.ingredients)
        }

    def steps(self) -> dict[str, Step]:
        """The record's steps by key."""
        return dict(zip(self.known.steps, self.record.steps, strict=True))

    def dictation(self, text: str) -> Dictation:
        """The message as a dictation whose offsets count from the start of the conversation.

        Raises ReadingError where nothing was said.
        """
        read = read_text(text, "your message")
        before = "\n".join(turn.text for turn in self.holds) + "\n"
        shift = len(before)
        pieces = tuple(
            Piece(p.start + shift, p.end + shift, p.text, p.glue, p.at, p.until)
            for p in read.pieces
        )
        return Dictation(before + read.text, pieces, read.kind, read.warnings)

    def context(
        self, dictation: Dictation, pantry: Pantry, asked: Question | None = None
    ) -> Context:
        """What the message is read against; ``asked`` is the question that it answers."""
        return Context(
            events=self.events,
            record=self.record,
            known=self.known,
            questions=self.questions,
            asked=asked or next((q for q in self.questions if q.matters), None),
            dictation=dictation,
            prefix=f"m{len(self.holds)}.",
            pantry=pantry,
            last=self.holds[-1].events,
            answered=len(self.holds) > 1,
            redoable=bool(self.undone),
        )


def _named(question: Question, pantry: Pantry) -> Question:
    """Options that are rows of the table, by the names that cooks use."""
    if question.kind not in FOODS or question.kind == "mis-heard word":
        return question
    named = [kitchen_name(option, pantry) or option for option in question.options]
    return question.model_copy(update={"options": tuple(dict.fromkeys(named))})
