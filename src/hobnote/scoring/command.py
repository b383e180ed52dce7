"""The ``hobnote score`` command: thin, it parses options and prints."""

from __future__ import annotations

import json
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from hobnote.scoring.check import check_folder
from hobnote.scoring.gold import GoldError, gold_paths
from hobnote.scoring.report import print_scores, scores_as_json
from hobnote.scoring.score import score_folder


class Format(StrEnum):
    """How scores are printed."""

    table = "table"
    json = "json"


def score(
    folder: Annotated[Path, typer.Argument(help="Folder of notes with *.gold.json beside them.")],
    output: Annotated[Format, typer.Option("--format", help="table or json")] = Format.table,
    misses: Annotated[bool, typer.Option("--misses/--no-misses", help="List every miss.")] = True,
    check: Annotated[
        bool, typer.Option("--check", help="Only check that the gold files are sound.")
    ] = False,
) -> None:
    """Score the reading of notes against their gold records.

    Example: hobnote score corpus/dev --no-misses
    """
    try:
        if check:
            _check(folder)
            return
        scores = score_folder(folder)
    except GoldError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(2) from error
    if output is Format.json:
        typer.echo(json.dumps(scores_as_json(scores, misses), ensure_ascii=False, indent=2))
    else:
        # Wide enough for the words of a miss when piped; a terminal decides for itself.
        width = None if sys.stdout.isatty() else 120
        print_scores(scores, Console(width=width), misses)


def _check(folder: Path) -> None:
    problems = check_folder(folder)
    for problem in problems:
        typer.echo(problem, err=True)
    if problems:
        raise typer.Exit(1)
    typer.echo(f"{len(gold_paths(folder))} gold files are sound")
