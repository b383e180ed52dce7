"""The site builds without a warning and asks no other host for anything."""

from __future__ import annotations

import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    for module in ("mkdocs", "material", "mkdocstrings"):
        if importlib.util.find_spec(module) is None:
            pytest.skip(f"'{module}' is not installed; the extra 'docs' brings it")
    made = tmp_path_factory.mktemp("site")
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", made],
        cwd=ROOT, capture_output=True, text=True, check=False,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return made


def test_the_site_has_every_page(site: Path) -> None:
    pages = {p.relative_to(site).with_suffix("").as_posix() for p in site.rglob("*.html")}
    sources = {p.relative_to(ROOT / "docs").with_suffix("").as_posix()
               for p in (ROOT / "docs").rglob("*.md")}  # fmt: skip
    assert sources <= pages


def test_the_reference_is_not_empty(site: Path) -> None:
    python = (site / "reference" / "python.html").read_text(encoding="utf-8")
    for name in ("hobnote.read", "Conversation.say", "Store.append", "back_up", "create_app"):
        assert re.search(rf'id="[\w.]*{re.escape(name)}"', python), name
    assert ":class:" not in python
    record = (site / "reference" / "record.html").read_text(encoding="utf-8")
    for name in ("Ingredient.grams", "Record.portions", "Heard.start"):
        assert re.search(rf'id="[\w.]*{re.escape(name)}"', record), name


def test_nothing_is_loaded_from_another_host(site: Path) -> None:
    loads = re.compile(
        r"<(?:script|img|iframe|source|video|audio|embed|object)\b[^>]*?\b(?:src|data)=[\"']?"
        r"(?:https?:)?//|<link\b[^>]*?\bhref=[\"']?(?:https?:)?//",
        re.I,
    )
    for page in site.rglob("*.html"):
        found = loads.search(page.read_text(encoding="utf-8"))
        assert found is None, f"{page}: {found and found[0]}"
    for sheet in site.rglob("*.css"):
        found = re.search(r"(?:url\(|@import)\s*[\"']?(?:https?:)?//", sheet.read_text("utf-8"))
        assert found is None, f"{sheet}: {found and found[0]}"
