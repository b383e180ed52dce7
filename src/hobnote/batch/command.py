"""The command ``batch``: parse, call, print."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from hobnote.batch.run import Tally

SOME_NOT_READ = 3
"""The exit status when the batch is through but some notes were not read."""


def batch(
    paths: Annotated[
        list[str],
        typer.Argument(
            metavar="PATH...",
            help="Files, folders, patterns, archives (tar, zip), on the disk or at any protocol:// "
            "that fsspec knows; - takes NDJSON on standard input.",
        ),
    ],
    out: Annotated[
        str,
        typer.Option(
            "--out",
            metavar="DIR|FILE.ndjson|FILE.parquet|store|URL",
            help="Where the records go; store (or a database address) keeps them as recipes, "
            "another protocol:// writes parts through fsspec.",
        ),
    ],
    jobs: Annotated[
        int | None,
        typer.Option("--jobs", min=1, max=512, help="Processes; one a core if left out."),
    ] = None,
    measures: Annotated[
        str | None,
        typer.Option("--measures", metavar="us|uk|au|metric", help="Whose cups and spoons."),
    ] = None,
    engine: Annotated[
        str,
        typer.Option("--engine", metavar="local|dask", help="This machine, or a Dask cluster."),
    ] = "local",
    scheduler: Annotated[
        str | None,
        typer.Option("--scheduler", metavar="tcp://HOST:PORT", help="The cluster's scheduler."),
    ] = None,
    afresh: Annotated[
        bool, typer.Option("--afresh", help="Throw away what an earlier run wrote there.")
    ] = False,
) -> None:
    """Read many notes on every core; stopped half-way, the same command goes on from there.

    Ends with status 0 when every note was read and 3 when some were not.

    \b
    For example:
      hobnote batch notes/ --out records/
      hobnote batch season.zip 'phone/*.vtt' --out season.parquet
      hobnote batch - --out notes.ndjson < notes.jsonl
      hobnote batch sftp://shed/notes/ --out sftp://shed/records.parquet \
        --engine dask --scheduler tcp://galley:8786
    """
    if measures not in (None, "us", "uk", "au", "metric"):
        raise typer.BadParameter("choose one of us, uk, au, metric.", param_hint="--measures")
    if engine not in ("local", "dask"):
        raise typer.BadParameter("choose local or dask.", param_hint="--engine")
    if (engine == "dask") != (scheduler is not None):
        raise typer.BadParameter("--engine dask and --scheduler go together.")
    from hobnote.batch.errors import BatchError
    from hobnote.batch.progress import progress
    from hobnote.batch.run import run
    from hobnote.batch.sinks import open_sink

    begun = time.monotonic()
    try:
        with progress() as told:
            tally = run(
                paths,
                open_sink(out),
                measures=measures,
                jobs=jobs,
                scheduler=scheduler,
                afresh=afresh,
                told=told,
            )
    except BatchError as problem:
        print(f"hobnote: {problem}", file=sys.stderr)
        raise typer.Exit(2) from None
    except KeyboardInterrupt:
        print("hobnote: stopped; the same command goes on from here.", file=sys.stderr)
        raise typer.Exit(130) from None
    _report(tally, time.monotonic() - begun)
    if tally.refused:
        raise typer.Exit(SOME_NOT_READ)
    if not tally.seen:
        print("hobnote: there are no notes there.", file=sys.stderr)
        raise typer.Exit(2)


def _report(tally: Tally, seconds: float) -> None:
    for note in tally.refused:
        print(f"hobnote: {note.name}: {note.reason}", file=sys.stderr)
    words = [f"{tally.read:,} read"]
    if tally.before:
        words.append(f"{tally.before:,} known already")
    if tally.refused:
        words.append(f"{len(tally.refused):,} not read")
    rate = f", {tally.read / seconds:.1f} a second" if tally.read and seconds else ""
    print(f"hobnote: {'; '.join(words)}{rate}.", file=sys.stderr)
