"""The commands ``chat``, ``list``, ``show`` and ``history``: parse, call, print."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from hobnote.keeping.entry import Database, opened

if TYPE_CHECKING:
    from hobnote.asking.session import Session
    from hobnote.keeping.store import Store

Number = Annotated[int, typer.Argument(metavar="ID", help="The recipe's number, from the list.")]


@contextmanager
def _store(url: str | None) -> Iterator[Store]:
    """The store; whatever it cannot do is one sentence and exit status 2."""
    from hobnote.keeping.store import Store

    with opened(Store.open, url) as store:
        yield store


def chat(
    note: Annotated[
        str | None,
        typer.Argument(metavar="[FILE]", help="A note to begin with; a known one is taken up."),
    ] = None,
    recipe: Annotated[
        int | None, typer.Option("--recipe", metavar="ID", help="Go on with a kept recipe.")
    ] = None,
    new: Annotated[
        bool, typer.Option("--new", help="Begin anew, even if this note was begun before.")
    ] = False,
    who: Annotated[str, typer.Option("--who", metavar="NAME", help="Who is talking.")] = "cook",
    measures: Annotated[
        str | None,
        typer.Option("--measures", metavar="us|uk|au|metric", help="Whose cups and spoons."),
    ] = None,
    database: Database = None,
) -> None:
    """Settle a recipe by talking: answer what is asked, correct, add, undo.

    \b
    For example:
      hobnote chat porridge.txt
      printf 'a teaspoon\\nundo\\n' | hobnote chat porridge.txt
    """
    if measures is not None and measures not in ("us", "uk", "au", "metric"):
        raise typer.BadParameter("choose one of us, uk, au, metric.", param_hint="--measures")
    from hobnote.publishing.waiting import Waiting

    with _store(database) as store:
        with Waiting(f"Reading {note}" if note else "Opening the kitchen"):
            session, lines = _open(store, note, recipe, new, who, measures)
        _say(lines)
        if sys.stdin.isatty():
            from hobnote.asking.terminal import converse

            converse(session, _say)
        else:
            _piped(session)
        _say(session.goodbye())


def _open(
    store: Store, note: str | None, recipe: int | None, new: bool, who: str, measures: str | None
) -> tuple[Session, list[str]]:
    from hobnote.asking.conversation import Conversation
    from hobnote.asking.session import Session
    from hobnote.reading import read_file

    if recipe is not None:
        session = Session(store, Conversation.resume(store, recipe), who=who, measures=measures)
        return session, session.opening()
    session = Session(store, who=who, measures=measures)
    if note is None:
        return session, session.opening()
    dictation = read_file(note)
    known = None if new else store.begun_with(dictation.text)
    if known is not None:
        session.talk = Conversation.resume(store, known)
        return session, session.opening()
    return session, session.start(dictation)


def _piped(session: Session) -> None:
    """One message a line; each answer is out before the next line is read."""
    for line in iter(sys.stdin.readline, ""):
        _say([f"> {line.strip()}", *session.take(line)] if line.strip() else [])
        if session.ended:
            break


def _say(lines: list[str]) -> None:
    if lines:
        sys.stdout.write("\n".join(_clean(line) for line in lines) + "\n")
        sys.stdout.flush()


def _clean(line: str) -> str:
    """No control codes of others on the terminal, and nothing that its encoding lacks."""
    plain = "".join(c if c.isprintable() else " " for c in line)
    encoding = sys.stdout.encoding or "utf-8"
    return plain.encode(encoding, "replace").decode(encoding)


def list_(database: Database = None) -> None:
    """List the kept recipes, the one changed last first."""
    with _store(database) as store:
        found = store.list()
    if not found:
        _say(["No recipes yet; 'hobnote chat FILE' begins one."])
    for kept in found:
        when = kept.changed.astimezone().strftime("%Y-%m-%d %H:%M")
        _say([f"{kept.id:>4}  {when}  {kept.title or 'untitled dish'}"])


def show(
    recipe: Number,
    format_: Annotated[
        str, typer.Option("--format", metavar="table|json", help="How to print the recipe.")
    ] = "table",
    database: Database = None,
) -> None:
    """Print a kept recipe as it stands."""
    from hobnote import cli
    from hobnote.asking.conversation import Conversation

    if format_ not in cli.FORMATS:
        raise typer.BadParameter(f"choose one of {', '.join(cli.FORMATS)}.", param_hint="--format")
    with _store(database) as store:
        record = Conversation.resume(store, recipe).record
    write: Callable[..., Any] = cli._shown
    cli._print(write(record, format_))


def history(recipe: Number, database: Database = None) -> None:
    """Print who said what when, and what was taken back."""
    from hobnote.asking.history import history as lines

    with _store(database) as store:
        turns = store.turns(recipe)
    _say(lines(turns))


def state_folder() -> Path:
    """Where the typed lines are remembered between chats."""
    from platformdirs import user_state_dir

    return Path(user_state_dir("hobnote", appauthor=False))
