"""A bar with rate and time left, on a terminal only."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from hobnote.batch.run import Tally


@contextmanager
def progress() -> Iterator[Callable[[Tally], None]]:
    """Something to tell of progress; it says nothing unless standard error is a terminal."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeRemainingColumn,
    )

    columns = (
        TextColumn("Reading"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
    )
    begun = time.monotonic()
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=None, rate="")

        def told(tally: Tally) -> None:
            rate = tally.read / max(0.001, time.monotonic() - begun)
            words = f"{rate:.1f} a second" + (
                f", {len(tally.refused)} not read" if tally.refused else ""
            )
            bar.update(task, total=tally.total, completed=tally.seen, rate=words)

        yield told
