"""Scores every utterance: how likely is it an aside rather than the recipe?

The component ``hobnote_aside_scores`` puts ``doc.user_data["aside_scores"]``,
one number from 0 (recipe) to 1 (aside) a sentence of ``doc.sents``, from the
trained part ``models/asides``. It must run after the sentences; part-of-speech
tags and the marks, where there are any, are part of its evidence.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc, Span

from hobnote.marking.boundaries import kind, plain
from hobnote.marking.learned import load

_LENGTHS: Final = (2, 4, 7, 11, 16, 24)


def features(sentence: Span, before: Span | None = None, after: Span | None = None) -> list[str]:
    """Features of one utterance between its neighbours."""
    words = [plain(t.text) for t in sentence if t.text[:1].isalnum() or t.text[:1] in "'’"]
    tags = [t.tag_ for t in sentence if t.text[:1].isalnum() or t.text[:1] in "'’"]
    kinds = [kind(w) for w in words]
    found = ["*", f"long={sum(len(words) > n for n in _LENGTHS)}"]
    found += {f"w={w}" for w in words}
    found += {f"ww={a} {b}" for a, b in pairwise(words)}
    found += {f"t={t}" for t in tags}
    found += {f"tt={a} {b}" for a, b in pairwise(tags)}
    found += {f"k={k}" for k in kinds}
    found += {f"kk={a} {b}" for a, b in pairwise(kinds)}
    if words:
        found += (f"first={words[0]}", f"first_tag={tags[0]}", f"first_kind={kinds[0]}")
        found.append(f"last={words[-1]}")
    found += _voices(words, tags)
    for side, neighbour in (("before", before), ("after", after)):
        if neighbour is not None:
            found += {f"{side}={k}" for k in {kind(plain(t.text)) for t in neighbour} - {"w"}}
    return sorted(set(found))


def _voices(words: list[str], tags: list[str]) -> set[str]:
    """Who does what when: subject with the tense of the next verb."""
    found: set[str] = set()
    for i, word in enumerate(words):
        person = _people().get(word)
        if person is None:
            continue
        for j in range(i + 1, min(i + 4, len(words))):
            if tags[j][:1] == "V" or tags[j] == "MD":
                found.add(f"{person} {tags[j]}")
                break
    if any(t in ("CD",) for t in tags):
        found.add("number")
    if any(t in ("VBD",) for t in tags):
        found.add("past")
    if any(t in ("VB", "VBP", "VBZ") for t in tags):
        found.add("present")
    return found


@cache
def _people() -> dict[str, str]:
    groups = {
        "I": ("i", "we"),
        "you": ("you", "u"),
        "they": ("he", "she", "they", "people", "someone", "somebody", "everyone", "nobody"),
        "it": ("it", "that", "this", "which"),
    }
    return {word: person for person, group in groups.items() for word in group}


def aside_scores(doc: Doc) -> list[float]:
    """One number from 0 (recipe) to 1 (aside) for every sentence of ``doc``.

    Empty when the trained part is not installed.
    """
    model = load("asides")
    if model is None:
        return []
    sentences = list(doc.sents)
    sides = [None, *sentences, None]
    return [model.probability(features(s, sides[i], sides[i + 2])) for i, s in enumerate(sentences)]


@Language.component("hobnote_aside_scores")
def score_asides(doc: Doc) -> Doc:
    """Put the aside scores of the sentences on the Doc."""
    doc.user_data["aside_scores"] = aside_scores(doc)
    return doc
