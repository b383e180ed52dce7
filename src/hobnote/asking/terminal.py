"""The chat at a terminal: history, line editing and completion come from prompt_toolkit."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import FileHistory, History, InMemoryHistory

from hobnote.asking.commands import state_folder
from hobnote.asking.session import Session
from hobnote.keeping.errors import KeepingError


class Words(Completer):
    """Completes the last words typed to a food, an option or a common wording."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def get_completions(
        self, document: Document, complete_event: CompleteEvent
    ) -> Iterable[Completion]:
        """Everything that begins with what stands before the cursor."""
        typed = document.text_before_cursor.lstrip()
        last = document.get_word_before_cursor(WORD=True)
        seen: set[str] = set()
        for word in self.session.words():
            for start in dict.fromkeys((typed, last)):
                fits = start and word.lower().startswith(start.lower())
                if fits and word != start and word not in seen:
                    seen.add(word)
                    yield Completion(word, start_position=-len(start))


def typed_lines() -> History:
    """Lines typed in earlier chats; in memory only where nothing can be written."""
    with suppress(OSError):
        folder = state_folder()
        folder.mkdir(parents=True, exist_ok=True)
        file = folder / "typed"
        file.touch(mode=0o600)
        return FileHistory(str(file))
    return InMemoryHistory()


def converse(session: Session, say: Callable[[list[str]], None]) -> None:
    """Take messages until the cook says goodbye or ends the input.

    Ctrl-C drops the line being typed; Ctrl-D ends. What was answered is kept.
    """
    prompt: PromptSession[str] = PromptSession(
        history=typed_lines(), completer=Words(session), complete_while_typing=False
    )
    while not session.ended:
        try:
            line = prompt.prompt("> ")
        except KeyboardInterrupt:
            say(["(Everything said so far is kept; Ctrl-D ends.)"])
            continue
        except EOFError:
            break
        try:
            said = session.take(line)
        except KeepingError as problem:
            if not problem.passing:
                raise
            # Room can be made, a disk be mounted again: the line is at hand with the up key.
            said = [f"Nothing was kept: {problem}"]
        say(said)
