"""A service that runs for months must not keep every word that it has ever seen."""

from __future__ import annotations

import gc
import weakref

import pytest

import hobnote.marking.pipeline as room
from hobnote.marking.pipeline import mark, pipeline


def test_a_pipeline_that_has_seen_many_new_words_is_made_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    said = "Fry two onions in a tablespoon of oil for five minutes."
    before = [(t.text, t.tag_) for doc, _ in mark(said) for t in doc]
    monkeypatch.setattr(room, "NEW_STRINGS", 100)
    old = weakref.ref(pipeline())
    kept = pipeline()
    for _ in mark(" ".join(f"zarb{n:03}ok" for n in range(150))):
        pass
    assert pipeline() is not kept
    assert pipeline() is pipeline()
    assert [(t.text, t.tag_) for doc, _ in mark(said) for t in doc] == before
    del kept
    gc.collect()
    assert old() is None


def test_what_was_set_aside_from_collection_stays_so(monkeypatch: pytest.MonkeyPatch) -> None:
    pipeline()
    gc.freeze()
    try:
        room._collect()
        assert gc.get_freeze_count() > 0
    finally:
        gc.unfreeze()
    room._collect()
    assert gc.get_freeze_count() == 0
