"""Writes docs/conversations.md: one scripted conversation for each demo note.

    python scripts/make_conversations.py            print it
    python scripts/make_conversations.py --write    write it
    python scripts/make_conversations.py --check    say whether the file is up to date

The cook's answers come by kind of question from conversation_answers.toml, so
the conversations follow the questions, whatever the reading makes of the notes.
"""

from __future__ import annotations

import itertools
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from hobnote.asking.questions import Question
from hobnote.asking.session import Session
from hobnote.keeping.memory import InMemory
from hobnote.reading import read_file

ROOT = Path(__file__).parent.parent
DOCUMENT = ROOT / "docs" / "conversations.md"
NOTES = ROOT / "corpus" / "demo"
MOST_TURNS = 80

HEAD = """# Conversations

Each of the demo notes, settled by talking: lines with `>` are the cook's. The answers come by
kind of question from `scripts/conversation_answers.toml`; everything else is what Hobnote says.
Made by `python scripts/make_conversations.py --write`; a test holds this page against the program.
"""


class Cook:
    """Answers questions by their kind, with the phrases of a kind in turn."""

    def __init__(self, note: str) -> None:
        file = Path(__file__).with_name("conversation_answers.toml")
        data = tomllib.loads(file.read_text(encoding="utf-8"))
        self.opening: list[str] = data["opening"]
        self.closing: list[str] = data["closing"]
        answers = data["answers"] | data["notes"].get(note, {})
        self._phrases = {kind: itertools.cycle(texts) for kind, texts in answers.items()}

    def answer(self, question: Question) -> str:
        """What to say to a question."""
        options = question.options or ("skip",)
        phrase: str = next(self._phrases[question.kind])
        return phrase.format(first=options[0], middle=options[len(options) // 2])


def conversation(note: Path) -> tuple[Session, list[str]]:
    """The talk about one note and its transcript, once no question that matters is open."""
    cook, session = Cook(note.name), Session(InMemory())
    lines = session.start(read_file(note))
    assert session.talk is not None
    for message in cook.opening:
        lines += _exchange(session, message)
    for _ in range(MOST_TURNS):
        asked = session.talk.asked
        if asked is None:
            break
        lines += _exchange(session, cook.answer(asked))
        if session.talk.asked == asked:  # not taken: a cook gives up on it
            lines += _exchange(session, "skip")
    for message in cook.closing:
        lines += _exchange(session, message)
    return session, lines


def _exchange(session: Session, message: str) -> Iterator[str]:
    yield f"> {message}"
    yield from session.take(message)


def notes() -> list[Path]:
    """The demo notes."""
    return sorted(f for f in NOTES.iterdir() if f.suffix in (".txt", ".srt", ".vtt"))


def document() -> str:
    """The whole page."""
    parts = [HEAD]
    for note in notes():
        _, lines = conversation(note)
        body = "\n".join(lines)
        parts.append(f"## {note.name}\n\n```text\n{body}\n```\n")
    return "\n".join(parts)


def main() -> None:
    """Print, write or check the page."""
    text = document()
    if "--write" in sys.argv:
        DOCUMENT.write_text(text, encoding="utf-8")
    elif "--check" in sys.argv:
        if not DOCUMENT.exists() or DOCUMENT.read_text(encoding="utf-8") != text:
            sys.exit("docs/conversations.md is out of date; run this with --write.")
    else:
        sys.stdout.write(text)


if __name__ == "__main__":
    main()
