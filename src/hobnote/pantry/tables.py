"""Reading the packaged data files: CSV with ``#`` comment lines above the heading."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

DATA = Path(__file__).parent / "data"


def lines(name: str) -> list[str]:
    """The lines of a data file without its comments and blank lines, heading first."""
    text = (DATA / name).read_text("utf-8")
    return [line for line in text.splitlines() if line and not line.startswith("#")]


def read_rows(name: str) -> Iterator[dict[str, str]]:
    """The rows of a data file as dictionaries keyed by its heading."""
    return csv.DictReader(lines(name))
