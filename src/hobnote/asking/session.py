"""A chat: lines in, lines out, whatever they come from. The terminal adds only editing."""

from __future__ import annotations

from collections.abc import Sequence

from hobnote.asking.conversation import Conversation, Reply
from hobnote.asking.frames import frames
from hobnote.asking.interpret import HELP
from hobnote.asking.views import asked_lines
from hobnote.job import events_of
from hobnote.keeping.errors import StaleRecipe
from hobnote.keeping.memory import Keeper
from hobnote.reading import Dictation, ReadingError, read_text

WELCOME = ("Tell me what you cook, as you would say it.",)
_BEFORE_A_RECIPE = frozenset({"help", "bye", "thanks", "wait", "undo", "redo", "view", "skip"})


class Session:
    """One chat over a keeper; begins a recipe with the first message that tells one."""

    def __init__(
        self,
        keeper: Keeper,
        talk: Conversation | None = None,
        *,
        who: str = "cook",
        measures: str | None = None,
    ) -> None:
        self.keeper = keeper
        self.talk = talk
        self.who = who
        self.measures = measures
        self.ended = False

    def start(self, note: Dictation) -> list[str]:
        """Begin a recipe with a note."""
        self.talk = Conversation.start(
            note, self.keeper, who=self.who, measures=self.measures
        )
        return self.opening()

    def opening(self) -> list[str]:
        """What the recipe is and what is asked first."""
        if self.talk is None:
            return list(WELCOME)
        record = self.talk.record
        rows = sum(len(part.ingredients) for part in record.components)
        title = record.title or "untitled dish"
        lines = [f"Recipe {self.talk.id}: {title}, {rows} ingredients, {len(record.steps)} steps."]
        lines += [f"Note: {warning}" for warning in record.warnings]
        if record.nutrition.summary:
            lines.append(record.nutrition.summary)
        return lines + self._question()

    def take(self, message: str) -> list[str]:
        """What to show for one message; it is kept before this returns."""
        if not message.strip():
            return []
        if self.talk is None:
            return self._first(message)
        self.talk.look()
        asked = self.talk.asked
        try:
            reply = self.talk.say(message, self.who)
        except StaleRecipe as problem:
            self.talk.refresh()
            return [f"Nothing was changed: {problem}", *self._question()]
        self.ended = reply.ended
        return self._shown(reply, asked.id if asked else None)

    def _first(self, message: str) -> list[str]:
        kinds = [frame.kind for frame in frames(message)][:1]
        if kinds and kinds[0] in _BEFORE_A_RECIPE:
            self.ended = kinds == ["bye"]
            return list(HELP) if kinds == ["help"] else [] if self.ended else list(WELCOME)
        try:
            note = read_text(message, "your message")
        except ReadingError as problem:
            return [str(problem)]
        if not events_of(note, pantry=self.keeper.pantry(self.measures or "us")):
            return list(WELCOME)
        return self.start(note)

    def _shown(self, reply: Reply, asked: str | None) -> list[str]:
        lines = list(reply.lines)
        lines += [f"  {line}" for line in reply.changed]
        if reply.ended or not reply.understood:
            return lines
        now = reply.asked
        if now is None and asked is not None:
            lines.append("No question is open that matters.")
        # A look-up between is followed by the question that waits, unless it was just shown.
        elif now is not None and now.text not in " ".join(lines):
            lines += self._question()
        return lines

    def _question(self) -> list[str]:
        assert self.talk is not None
        asked = self.talk.asked
        return ["", *asked_lines(asked)] if asked else ["No question is open that matters."]

    def goodbye(self) -> list[str]:
        """Where the recipe is, said at the end."""
        if self.talk is None:
            return []
        left = sum(q.matters for q in self.talk.questions)
        waiting = f", {left} question{'s' * (left != 1)} open" if left else ""
        number = self.talk.id
        return [
            f"Kept as recipe {number}{waiting}. "
            f"'hobnote chat --recipe {number}' goes on, 'hobnote show {number}' shows it."
        ]

    def words(self) -> Sequence[str]:
        """What may well be typed next, for completion."""
        common = ["undo", "redo", "skip", "none", "I don't know", "show me the recipe",
                  "what's left?", "what's the protein?", "call it", "swap the", "drop the",
                  "make it serve", "help", "bye"]  # fmt: skip
        if self.talk is None:
            return common
        names = [
            row.name for part in self.talk.record.components for row in part.ingredients
        ]
        options = list(self.talk.asked.options) if self.talk.asked else []
        return [*options, *names, *common]
