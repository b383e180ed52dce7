"""The conversation about one recipe: messages in, a record and questions out.

    talk = Conversation.start("Two glugs of oil ...", store)
    reply = talk.say("about a teaspoon")
    reply.lines, reply.questions, reply.record, reply.changed

Everything that is said becomes events at the end of the recipe's log, kept
before it is acknowledged. The record is the fold of the messages that stand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hobnote.asking.answers import take_option
from hobnote.asking.changes import changes
from hobnote.asking.context import Context
from hobnote.asking.corrections import Fix, Place, asked
from hobnote.asking.history import history
from hobnote.asking.interpret import interpret, not_understood
from hobnote.asking.outcomes import Outcome
from hobnote.asking.present import Present
from hobnote.asking.questions import Question, Thresholds
from hobnote.asking.views import asked_lines
from hobnote.following import events as ev
from hobnote.job import Progress, events_of
from hobnote.keeping.memory import InMemory, Keeper
from hobnote.keeping.store import Store
from hobnote.keeping.turns import Draft, Turn
from hobnote.marking.locale import guess_measures
from hobnote.reading import Dictation, read_text
from hobnote.reading.errors import ReadingError
from hobnote.record import Ingredient, Record, Step


@dataclass(frozen=True, slots=True)
class Reply:
    """What a message did.

    ``lines`` are the words to show, without the next question; ``changed`` one
    line a change; ``questions`` those open now, asked ones first; ``ended`` is
    True when the cook said goodbye; ``understood`` False when nothing was taken.
    """

    lines: tuple[str, ...]
    changed: tuple[str, ...]
    questions: tuple[Question, ...]
    record: Record
    understood: bool = True
    ended: bool = False

    @property
    def asked(self) -> Question | None:
        """The question on the table."""
        return next((q for q in self.questions if q.matters), None)


class Conversation:
    """One recipe and everything said about it. Not for several threads at once."""

    def __init__(
        self,
        keeper: Keeper,
        recipe: int,
        turns: Sequence[Turn],
        *,
        measures: str | None = None,
        warnings: Sequence[str] = (),
        thresholds: Thresholds | None = None,
    ) -> None:
        self.keeper = keeper
        self.id = recipe
        self.turns = list(turns)
        self.measures = measures
        self.warnings = tuple(warnings)
        self.thresholds = thresholds or Thresholds.usual()
        self.pantry = keeper.pantry(measures or "us")
        self._now: Present | None = None

    # -- opening ----------------------------------------------------------------

    @classmethod
    def start(
        cls,
        note: str | Dictation,
        keeper: Keeper | None = None,
        *,
        who: str = "cook",
        measures: str | None = None,
        thresholds: Thresholds | None = None,
        progress: Progress | None = None,
    ) -> Conversation:
        """A new recipe from its first note. Raises ReadingError and KeepingError.

        Nothing is kept before the whole note is read: what ``progress`` raises ends it.
        ``measures`` (us, uk, au, metric) is judged from the note where it is
        None, and stays as it is for the life of the recipe.
        """
        dictation = read_text(note) if isinstance(note, str) else note
        measures = measures or guess_measures(dictation.spoken)
        keeper = keeper or InMemory()
        events = events_of(dictation, pantry=keeper.pantry(measures), progress=progress)
        first = Draft("said", dictation.text, tuple(events), who)
        title = next((e.title for e in reversed(events) if isinstance(e, ev.Titled)), None)
        recipe = keeper.create(
            first, title=title, measures=measures, warnings=dictation.warnings
        )
        return cls(
            keeper,
            recipe,
            keeper.turns(recipe),
            measures=measures,
            warnings=dictation.warnings,
            thresholds=thresholds,
        )

    @classmethod
    def resume(
        cls, store: Store, recipe: int, *, thresholds: Thresholds | None = None
    ) -> Conversation:
        """A kept recipe, where it was left. Raises NoSuchRecipe and KeepingError."""
        kept = store.find(recipe)
        return cls(
            store,
            recipe,
            store.turns(recipe),
            measures=kept.measures,
            warnings=kept.warnings,
            thresholds=thresholds,
        )

    def refresh(self) -> list[Turn]:
        """Take in what others said meanwhile, and own foods that changed; gives those turns."""
        new = self.keeper.turns(self.id, len(self.turns))
        if new:
            self.turns.extend(new)
            self._now = None
        self.look()
        return new

    def look(self) -> None:
        """The pantry as it is now: the cook's own foods may have changed."""
        pantry = self.keeper.pantry(self.measures or "us")
        if pantry is not self.pantry:
            self.pantry, self._now = pantry, None

    # -- what there is ------------------------------------------------------------

    @property
    def record(self) -> Record:
        """The weighed record, without the flags that were settled."""
        return self._state().record

    @property
    def events(self) -> list[ev.Event]:
        """The events that stand, oldest first."""
        return list(self._state().events)

    @property
    def questions(self) -> list[Question]:
        """The open questions: those to ask, dearest first, then those only listed."""
        return list(self._state().questions)

    @property
    def asked(self) -> Question | None:
        """The question on the table: the dearest that matters."""
        return next((q for q in self._state().questions if q.matters), None)

    @property
    def text(self) -> str:
        """Everything said that stands, in order; offsets of ``heard`` point into it."""
        return "\n".join(turn.text for turn in self._state().holds)

    @property
    def rows(self) -> dict[str, Ingredient]:
        """The record's ingredient rows by the key that corrections and questions name them by."""
        return self._state().rows()

    @property
    def steps(self) -> dict[str, Step]:
        """The record's steps by their key."""
        return self._state().steps()

    @property
    def redoable(self) -> bool:
        """Whether something was undone just now."""
        return bool(self._state().undone)

    @property
    def standing(self) -> list[Turn]:
        """The messages that hold, the first note first."""
        return list(self._state().holds)

    @property
    def version(self) -> int:
        """How many turns the log has; a writer with an older one is refused."""
        return len(self.turns)

    # -- what can be done -----------------------------------------------------------

    def say(self, text: str, who: str = "cook") -> Reply:
        """Take a message in.

        Raises StaleRecipe when somebody else changed the recipe first (call
        :meth:`refresh`, look, and say it again) and KeepingError when it
        cannot be kept. In both cases the recipe is as before.
        """
        now = self._state()
        try:
            dictation = now.dictation(text)
        except ReadingError:
            return self._reply((), self._asked_lines())
        context = now.context(dictation, self.pantry)
        return self._carry_out(interpret(context), text, who, context)

    def answer(self, question: str, answer: str | int, who: str = "cook") -> Reply:
        """Answer an open question by its id: with free text, or an option by its place from 0.

        Raises KeyError when the question is not open and IndexError when there
        is no such option.
        """
        now = self._state()
        asked = next((q for q in now.questions if q.id == question), None)
        if asked is None:
            raise KeyError(question)
        if isinstance(answer, str):
            context = now.context(now.dictation(answer), self.pantry, asked)
            return self._carry_out(interpret(context), answer, who, context)
        if not 0 <= answer < len(asked.options):
            raise IndexError(answer)
        text = asked.options[answer]
        context = now.context(now.dictation(text), self.pantry, asked)
        outcome = take_option(answer, context) or not_understood(context)
        return self._carry_out(outcome, text, who, context)

    def change(self, events: Sequence[ev.Event], text: str, who: str = "cook") -> Reply:
        """Append events made elsewhere (a click in a page) as one turn; ``text`` tells it."""
        return self._keep(Draft("said", text, tuple(events), who), ())

    def correct(self, fix: Fix, who: str = "cook") -> Reply:
        """Put a row, a step or the dish right by hand.

        Raises KeyError when there is no such row or step, and CannotCorrect,
        one sentence, for an amount that is none.
        """
        now = self._state()
        place = Place(now.record, now.rows(), now.steps())
        place.check(fix)
        text = place.told(fix)
        context = now.context(now.dictation(text), self.pantry, asked(fix))
        events = place.events(fix, context)
        if not events:
            return self._reply(("That is how it stands already.",), ())
        return self.change(events, text, who)

    def undo(self, count: int = 1, who: str = "cook", text: str = "undo") -> Reply:
        """Take back the last ``count`` messages that changed something; the first note stays."""
        now = self._state()
        able = min(count, len(now.holds) - 1)
        if able < 1:
            return self._reply(("There is nothing to undo.",), ())
        taken = [turn.told() for turn in now.holds[-able:]]
        lines = tuple(f"Taken back: {told}" for told in reversed(taken))
        return self._keep(Draft("undo", text, (), who, able), lines)

    def redo(self, count: int = 1, who: str = "cook", text: str = "redo") -> Reply:
        """Bring back the last ``count`` messages that were undone."""
        now = self._state()
        able = min(count, len(now.undone))
        if able < 1:
            return self._reply(("There is nothing to bring back.",), ())
        lines = tuple(f"Back again: {turn.told()}" for turn in reversed(now.undone[-able:]))
        return self._keep(Draft("redo", text, (), who, able), lines)

    # -- within ----------------------------------------------------------------------

    def _state(self) -> Present:
        if self._now is None:
            self._now = Present.of(
                self.turns, self.measures, self.warnings, self.thresholds, self.pantry
            )
        return self._now

    def _carry_out(self, outcome: Outcome, text: str, who: str, context: Context) -> Reply:
        if outcome.does == "undo":
            return self.undo(outcome.count, who, text)
        if outcome.does == "redo":
            return self.redo(outcome.count, who, text)
        if outcome.does == "change":
            return self._keep(Draft("said", text, outcome.events, who), outcome.lines)
        if outcome.does == "bye":
            return self._reply((), (), ended=True)
        lines = outcome.lines
        if lines == ("history",):
            lines = tuple(history(self.turns))
        # Kept although nothing changes: the log shows the whole conversation.
        self._append(Draft("asked", text, (), who, reply=lines), self._state().record.title)
        return self._reply(lines, (), understood=outcome.does != "unclear")

    def _keep(self, draft: Draft, lines: tuple[str, ...]) -> Reply:
        before = self._state()
        after = Conversation(
            self.keeper,
            self.id,
            [*self.turns, Turn.of(draft, len(self.turns) + 1)],
            measures=self.measures,
            warnings=self.warnings,
            thresholds=self.thresholds,
        )._state()
        told = changes(
            before.record,
            after.record,
            (before.rows(), after.rows()),
            (before.steps(), after.steps()),
        )
        closed = [q for q in before.questions if not any(q.id == o.id for o in after.questions)]
        if not told and not lines and closed:
            lines = ("Left as it is; I will not ask again.",)
        self._append(replace(draft, reply=(*lines, *told)), after.record.title)
        self._now = after
        return self._reply(lines, tuple(told))

    def _append(self, draft: Draft, title: str | None) -> None:
        self.turns.append(
            self.keeper.append(self.id, draft, after=len(self.turns), title=title)
        )

    def _asked_lines(self) -> tuple[str, ...]:
        return tuple(asked_lines(self.asked)) if self.asked else ()

    def _reply(
        self,
        lines: tuple[str, ...],
        changed: tuple[str, ...],
        *,
        understood: bool = True,
        ended: bool = False,
    ) -> Reply:
        now = self._state()
        return Reply(lines, changed, tuple(now.questions), now.record, understood, ended)
