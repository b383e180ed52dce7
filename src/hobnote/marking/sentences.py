"""Utterance boundaries: one instruction-like sentence at a time, with or without punctuation.

:func:`utterance_starts` works on plain text and serves both the cutting of the
speech into passages and the component ``hobnote_sentences``, which writes the
boundaries on ``token.is_sent_start``. The component must run before a parser:
spaCy refuses boundaries on a parsed Doc.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.tables import rows

LONGEST_PLAIN: Final = 25
"""Words without sentence punctuation beyond which boundaries are looked for in the words."""
LONGEST_WITH_COMMAS: Final = 45
"""The same for a stretch that has a comma for every :data:`COMMA_EVERY` words or more."""
COMMA_EVERY: Final = 15
SHORTEST: Final = 3
"""Fewest words of an utterance found without punctuation."""

_WORD: Final = re.compile(r"\S+")
_STOP: Final = re.compile(r"[.!?…]+[\"'”’)\]]*(?=\s)|(?<=[a-z)])[.!?](?=[A-Z][a-z])|\n")
_EDGE: Final = ".,!?;:…\"'“”‘’()[]"


@cache
def words_of(kind: str) -> frozenset[str]:
    """The words of one kind in ``data/boundary_words.csv``."""
    return frozenset(r["word"] for r in rows("boundary_words.csv") if r["kind"] == kind)


def utterance_starts(text: str) -> list[int]:
    """Character offsets at which an utterance begins, ascending; empty for blank text.

    Newlines and sentence punctuation come first; only stretches that stay
    longer than a spoken sentence are then divided by their words.
    """
    found: list[int] = []
    for start, end in pairwise([*_punctuated_starts(text), len(text)]):
        found.append(start)
        found.extend(_spoken_starts(text, start, end))
    return found


def _punctuated_starts(text: str) -> list[int]:
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


def _spoken_starts(text: str, start: int, end: int) -> list[int]:
    """Boundaries inside ``text[start:end]`` found from its words, without ``start`` itself."""
    if end - start < 2 * LONGEST_PLAIN:
        return []
    found = list(_WORD.finditer(text, start, end))
    limit = LONGEST_PLAIN
    if text.count(",", start, end) * COMMA_EVERY >= len(found):
        limit = LONGEST_WITH_COMMAS
    if len(found) <= limit:
        return []
    words = [m.group() for m in found]
    return [found[i].start() for i in word_boundaries(words)]


def word_boundaries(words: Sequence[str]) -> list[int]:
    """Indices of ``words`` (running speech) before which an utterance begins, never 0."""
    return rule_boundaries(words)


def rule_boundaries(words: Sequence[str]) -> list[int]:
    """Boundaries by discourse markers and instruction-like verbs alone."""
    plain = [w.lower().replace("’", "'").strip(_EDGE) for w in words]
    found: list[int] = []
    last = 0
    for i in range(1, len(plain) - 1):
        if i - last < SHORTEST or len(plain) - i < SHORTEST:
            continue
        if _opens(plain, i):
            found.append(i)
            last = i
    return found


def _opens(plain: Sequence[str], i: int) -> bool:
    word, before, after = plain[i], plain[i - 1], plain[i + 1]
    if word == "and" and after == "then":
        return True
    if before in words_of("tie"):
        return False
    if word in words_of("opener") or word in words_of("subject"):
        return True
    return word in words_of("verb") and after in words_of("after_verb")


@Language.component("hobnote_sentences")
def sentences(doc: Doc) -> Doc:
    """Write the utterance boundaries on ``token.is_sent_start``."""
    starts = set(utterance_starts(doc.text))
    for token in doc:
        token.is_sent_start = token.idx in starts
    if len(doc):
        doc[0].is_sent_start = True
    return doc
