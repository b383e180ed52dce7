"""Misspelt food words are mended; other words are left as they are."""

from __future__ import annotations

import pytest

from hobnote.marking.spelling import Spelling
from hobnote.pantry import open_pantry


@pytest.fixture(scope="module")
def spelling() -> Spelling:
    return Spelling(open_pantry().vocabulary())


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("potatos", "potatoes"),
        ("brocolli", "broccoli"),
        ("vanila", "vanilla"),
        ("parmesean", "parmesan"),
        ("avacado", "avocado"),
        ("hallumi", "halloumi"),
    ],
)
def test_a_slip_of_the_keys_is_mended(spelling: Spelling, written: str, meant: str) -> None:
    assert spelling.mend(written) == meant


@pytest.mark.parametrize(
    "word", ["litre", "skillets", "someones", "brined", "crumbly", "regatta", "squidgy", "salt"]
)
def test_other_words_stay(spelling: Spelling, word: str) -> None:
    assert spelling.mend(word) == word


def test_every_name_of_the_pantry_stays(spelling: Spelling) -> None:
    for form in open_pantry().vocabulary():
        for word in form.split():
            assert spelling.mend(word) == word
