"""The README shows what the program prints, word for word (``make readme`` renews it)."""

from __future__ import annotations

import importlib.util
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_example_is_what_the_program_prints():
    spec = importlib.util.spec_from_file_location("excerpt", ROOT / "docs" / "excerpt.py")
    excerpt = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(excerpt)
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(excerpt.PLACE.findall(readme)) == 2
    assert excerpt.filled(readme) == readme
