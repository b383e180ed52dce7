"""The scripted conversations of the demo notes end settled, and the page shows what they say."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]
NAMES = sorted(f.name for f in (ROOT / "corpus" / "demo").iterdir() if "gold" not in f.name)


@pytest.fixture(scope="module")
def script() -> ModuleType:
    """scripts/make_conversations.py as a module."""
    file = ROOT / "scripts" / "make_conversations.py"
    spec = importlib.util.spec_from_file_location("make_conversations", file)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", NAMES)
def test_a_scripted_conversation_ends_with_no_open_question_that_matters(
    script: ModuleType, name: str
) -> None:
    session, lines = script.conversation(ROOT / "corpus" / "demo" / name)
    assert session.talk.asked is None
    assert not [q for q in session.talk.questions if q.matters]
    assert not [line for line in lines if "did not understand" in line], name


def test_there_are_eight_demo_notes() -> None:
    assert len(NAMES) == 8


def test_the_page_is_what_the_program_says(script: ModuleType) -> None:
    page = (ROOT / "docs" / "conversations.md").read_text(encoding="utf-8")
    assert page == script.document(), "run: python scripts/make_conversations.py --write"
