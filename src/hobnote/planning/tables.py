"""Reading the room's packaged data files, once each."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from importlib import resources
from typing import Any

DATA = resources.files("hobnote.planning") / "data"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of ``data/NAME.csv``; lines that start with ``#`` are comments."""
    text = (DATA / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    return tuple(csv.DictReader(lines))


@cache
def rules() -> dict[str, Any]:
    """The tables of ``data/rules.toml``."""
    return tomllib.loads((DATA / "rules.toml").read_text(encoding="utf-8"))
