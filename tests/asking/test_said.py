"""What cooks say does what they mean, and nothing else (``data/said.txt``, kind by kind)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from saying import judged, phrases

LEAST_RIGHT = 0.9
LISTS = ("said.txt", "said_later.txt", "said_last.txt", "said_scaled.txt")
LIST = [phrase for name in LISTS for phrase in phrases(name)]
KINDS = sorted({phrase.kind for phrase in LIST})


@pytest.mark.parametrize("kind", KINDS)
def test_phrases_do_what_was_meant_and_nothing_else(kind: str) -> None:
    told = [(phrase, judged(phrase)) for phrase in LIST if phrase.kind == kind]
    harmed = [f"{p.note}: {p.said}: {v.told}" for p, v in told if v.harm]
    wrong = [f"{p.note}: {p.said} => {p.wanted}: {v.told}" for p, v in told if not v.right]
    assert len(wrong) <= (1 - LEAST_RIGHT) * len(told), "\n".join(wrong)
    assert not harmed, "\n".join(harmed)


def test_every_kind_is_said_in_many_ways() -> None:
    assert len(KINDS) >= 25
    assert all(sum(p.kind == kind for p in LIST) >= 25 for kind in KINDS)
