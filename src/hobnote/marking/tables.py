"""The marking room's data files: CSV with ``#`` comment lines above the header."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of ``marking/data/<name>``; raises FileNotFoundError for an unknown name."""
    text = (files("hobnote.marking") / "data" / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return tuple(csv.DictReader(lines))
