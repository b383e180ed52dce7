"""Reading the room's packaged data files, once each."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from importlib import resources
from typing import Any

DATA = resources.files("hobnote.publishing") / "data"
TEMPLATES = resources.files("hobnote.publishing") / "templates"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of ``data/NAME.csv``; lines that start with ``#`` are comments."""
    text = (DATA / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    return tuple(csv.DictReader(lines))


@cache
def tree(name: str) -> dict[str, Any]:
    """The tables of ``data/NAME.toml``."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))


@cache
def template(name: str) -> str:
    """The text of ``templates/NAME``."""
    return (TEMPLATES / name).read_text(encoding="utf-8")
