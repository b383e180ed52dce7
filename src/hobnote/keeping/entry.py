"""How a command opens what is kept: closed again in any case, faults told in one sentence."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Protocol, TypeVar

import typer

from hobnote.keeping.errors import KeepingError


class _Closes(Protocol):
    def close(self) -> None: ...


T = TypeVar("T", bound=_Closes)


@contextmanager
def opened(open_it: Callable[[str | None], T], url: str | None) -> Iterator[T]:
    """What ``open_it(url)`` gives; whatever it cannot do is one sentence and exit status 2."""
    kept: T | None = None
    try:
        kept = open_it(url)
        yield kept
    except KeepingError as problem:
        print(f"hobnote: {problem}", file=sys.stderr)
        raise typer.Exit(2) from None
    finally:
        if kept is not None:
            kept.close()
