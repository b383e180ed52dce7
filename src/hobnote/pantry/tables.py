"""Reading the packaged data files: CSV with ``#`` comment lines above the heading."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path

DATA = Path(__file__).parent / "data"


@cache
def lines(name: str) -> tuple[str, ...]:
    """The lines of a data file without its comments and blank lines, heading first."""
    text = (DATA / name).read_text("utf-8")
    return tuple(line for line in text.split("\n") if line and line[0] != "#")


def split(line: str) -> list[str]:
    """The cells of one line. Quoting costs time, so it is only looked for where it is."""
    return next(csv.reader((line,))) if '"' in line else line.split(",")


def read_rows(name: str) -> Iterator[dict[str, str]]:
    """The rows of a data file as dictionaries keyed by its heading."""
    head, *body = lines(name)
    keys = split(head)
    for line in body:
        yield dict(zip(keys, split(line), strict=True))
