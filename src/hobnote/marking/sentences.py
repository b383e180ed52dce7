"""Utterance boundaries: one instruction-like sentence at a time, with or without punctuation.

:func:`utterance_starts` works on plain text and serves both the cutting of the
speech into passages and the component ``hobnote_sentences``, which writes the
boundaries on ``token.is_sent_start``. The component must run before a parser:
spaCy refuses boundaries on a parsed Doc.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise
from typing import Final

import numpy as np
from spacy.attrs import SENT_START  # type: ignore[import-not-found]
from spacy.language import Language
from spacy.tokens import Doc, Token

from hobnote.marking.boundaries import Line, learned_boundaries, rule_boundaries, words_of
from hobnote.marking.learned import LinearModel, load

LONGEST_PLAIN: Final = 25
"""Words without sentence punctuation beyond which boundaries are looked for in the words."""
LONGEST_WITH_COMMAS: Final = 45
"""The same for a stretch that has a comma for every :data:`COMMA_EVERY` words or more."""
COMMA_EVERY: Final = 15

_WORD: Final = re.compile(r"\S+")
# A run of stops is looked at once (no backtracking, no start inside it): there are long ones.
_STOP: Final = re.compile(
    r"(?<![.!?…])[.!?…]++[\"'”’)\]]*+(?=\s)|(?<=[a-z)])[.!?](?=[A-Z][a-z])|\n"
)


def utterance_starts(text: str) -> list[int]:
    """Character offsets at which an utterance begins, ascending; empty for blank text.

    Newlines and sentence punctuation come first; only stretches that stay
    longer than a spoken sentence are then divided, here by rules on the words.
    """
    found: list[int] = []
    for start, end in pairwise([*punctuated_starts(text), len(text)]):
        found.append(start)
        if runs_on(text, start, end):
            words = list(_WORD.finditer(text, start, end))
            found.extend(words[i].start() for i in rule_boundaries([w.group() for w in words]))
    return found


def runs_on(text: str, start: int, end: int) -> bool:
    """Whether ``text[start:end]`` is too long to be one utterance."""
    if end - start < 2 * LONGEST_PLAIN:
        return False
    count = len(text[start:end].split())
    commas = text.count(",", start, end)
    return count > (LONGEST_WITH_COMMAS if commas * COMMA_EVERY >= count else LONGEST_PLAIN)


def punctuated_starts(text: str) -> list[int]:
    """Offsets at which an utterance begins by newlines and sentence punctuation alone."""
    first = _WORD.search(text)
    if first is None:
        return []
    starts = [first.start()]
    for stop in _STOP.finditer(text, first.start()):
        following = _WORD.search(text, stop.end())
        if following is None:
            break
        if following.start() > starts[-1] and _ends_sentence(
            text, stop.start(), stop.group(), following.start(), starts[-1]
        ):
            starts.append(following.start())
    return starts


def _ends_sentence(text: str, at: int, stop: str, following: int, start: int) -> bool:
    """Whether the stop ``text[at:]`` ends a sentence that began at ``start``."""
    if stop == "\n" or "\n" in text[at:following]:
        return True
    if "!" in stop or "?" in stop:
        return True
    capital = text[following].isupper()
    if stop.startswith(("..", "…")):
        return capital
    before = text[max(start, at - 12) : at].split()
    last = before[-1].lower().strip("\"'“‘([") if before else ""
    if not last or (last.isdigit() and text[start:at].strip() == last):
        return False  # a bare full stop, or the number of a list item
    if last in words_of("title"):
        return False
    unit = last.lstrip("0123456789")
    if last in words_of("short") or (unit != last and unit in words_of("short")):
        return capital
    return True


@Language.component("hobnote_sentences")
def sentences(doc: Doc) -> Doc:
    """Write the utterance boundaries on ``token.is_sent_start``.

    Stretches without punctuation are divided by the trained tagger where the
    Doc has part-of-speech tags, by rules where it has none.
    """
    model = load("boundaries") if doc.has_annotation("TAG") else None
    if model is None:
        starts = set(utterance_starts(doc.text))
    else:
        starts = set(punctuated_starts(doc.text))
        starts |= _tagged_starts(doc, sorted(starts), model)
    if len(doc):
        # All at once: setting them one by one looks through the whole Doc each time.
        begins = [i == 0 or token.idx in starts for i, token in enumerate(doc)]
        signs = np.where(begins, 1, -1).astype("int64").view("uint64")
        doc.from_array([SENT_START], signs)  # type: ignore[arg-type]
    return doc


def _tagged_starts(doc: Doc, starts: list[int], model: LinearModel) -> set[int]:
    """Offsets that the tagger adds inside the stretches of ``doc`` that run on."""
    found: set[int] = set()
    text = doc.text
    for start, end in pairwise([*starts, len(text)]):
        if runs_on(text, start, end):
            tokens = [t for t in doc if start <= t.idx < end]
            line, kept = line_of(tokens)
            found.update(kept[i].idx for i in learned_boundaries(line, model))
    return found


def line_of(tokens: Iterable[Token]) -> tuple[Line, list[Token]]:
    """The words among ``tokens`` as the tagger takes them, and the tokens that they are."""
    kept: list[Token] = []
    commas: list[bool] = []
    comma = False
    for token in tokens:
        if token.text[0].isalnum() or (token.text[0] in "'’" and len(token) > 1):
            kept.append(token)
            commas.append(comma)
            comma = False
        elif not token.is_space:
            comma = True
    return Line([t.text for t in kept], [t.tag_ for t in kept], commas), kept
