"""The commands ``backup`` and ``restore``: parse, call, print."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hobnote.keeping.entry import Database, told


def backup(
    file: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="A file or a folder; else beside the recipes."),
    ] = None,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Write over FILE if it is there.")
    ] = False,
    database: Database = None,
) -> None:
    """Copy everything that is kept into one file, even while the service writes.

    \b
    For example:
      hobnote backup
      hobnote backup /media/stick/galley.sqlite3
    """
    from hobnote.keeping.backup import back_up

    with told():
        made = back_up(file, database, overwrite=overwrite)
    what = made.contents.told() if made.contents else "the layout of an older Hobnote, as it is"
    print(f"Backed up to {made.file}: {what}.")


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A backup.")],
    replace: Annotated[
        bool,
        typer.Option("--replace", help="Take the place of what is there, which stays beside."),
    ] = False,
    database: Database = None,
) -> None:
    """Put a backup back, checked first; the recipes that were there are kept beside.

    \b
    For example:
      hobnote restore /media/stick/galley.sqlite3 --replace
    """
    from hobnote.keeping.backup import restore as put_back

    with told():
        done = put_back(file, database, replace=replace)
    print(f"Restored {done.contents.told()} to {done.file}.")
    if done.before is not None:
        print(f"What was there before is in {done.before}.")
