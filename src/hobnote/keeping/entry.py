"""How a command opens what is kept: its option, closing, and faults told in one sentence."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Annotated, Protocol, TypeVar

import typer

from hobnote.keeping.errors import KeepingError

Database = Annotated[
    str | None,
    typer.Option(
        "--database",
        metavar="URL",
        help="File or database address of the recipes (HOBNOTE_DATABASE; else your data folder).",
    ),
]
"""The option of every command that opens the recipes."""


class _Closes(Protocol):
    def close(self) -> None: ...


T = TypeVar("T", bound=_Closes)


@contextmanager
def told() -> Iterator[None]:
    """What keeping cannot do is one sentence and exit status 2."""
    try:
        yield
    except KeepingError as problem:
        print(f"hobnote: {problem}", file=sys.stderr)
        raise typer.Exit(2) from None


@contextmanager
def opened(open_it: Callable[[str | None], T], url: str | None) -> Iterator[T]:
    """What ``open_it(url)`` gives; whatever it cannot do is one sentence and exit status 2."""
    with told():
        kept = open_it(url)
        try:
            yield kept
        finally:
            kept.close()
