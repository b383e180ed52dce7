"""Phrase tables and verb forms over the marking room's data files."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Final

from spacy.attrs import ORTH  # type: ignore[import-not-found]
from spacy.lang.en import English
from spacy.lang.en.tokenizer_exceptions import TOKENIZER_EXCEPTIONS
from spacy.tokens import Token

from hobnote.marking.tables import Phrases, rows

_TOKEN = re.compile(r"\d+(?:[.,]\d+)?|[^\W\d_]+(?:['’][^\W\d_]+)?|[^\w\s]", re.UNICODE)
_VOWELS = frozenset("aeiou")


@cache
def _tokenizer() -> Callable[[str], Iterable[Token]]:
    return English().tokenizer


def words(phrase: str) -> tuple[str, ...]:
    """``phrase`` as lower-case tokens, split where spaCy's English tokenizer splits."""
    plain = phrase.lower().replace("’", "'")
    if "'" in plain or "nna" in plain or "cannot" in plain:
        parts = [_split(word) for word in plain.split(" ")]
        if None in parts:
            return tuple(t.text for t in _tokenizer()(plain))
        return tuple(part for word in parts for part in word or ())
    if plain.replace(" ", "").isalpha():
        return tuple(plain.split())
    return tuple(_TOKEN.findall(plain))


def _split(word: str) -> tuple[str, ...] | None:
    """A word as the tokenizer's own lists split it; None where only the tokenizer knows.

    Making a tokenizer takes longer than reading all tables.
    """
    known = TOKENIZER_EXCEPTIONS.get(word)
    if known is not None:
        return tuple(str(part[ORTH]) for part in known)
    if "'" not in word:
        return tuple(_TOKEN.findall(word))
    before, after = word.split("'", 1)
    if not (before + after).isalpha() or before in TOKENIZER_EXCEPTIONS:
        return None
    if not after:  # "calves'"
        return before, "'"
    if after == "s":
        return before, "'s"
    if before:  # "za'atar"
        return (word,)
    inner = _split(after)  # "'nduja"
    return inner and ("'", *inner)


_OTHER_WORDS: Final = frozenset({"were", "well", "ill", "hell", "id", "shell", "wed", "shed"})


def variants(phrase: str) -> tuple[str, ...]:
    """``phrase`` as written, and without its apostrophes as recognisers write it ("thats")."""
    if "'" not in phrase:
        return (phrase,)
    bare = phrase.replace("'", "")
    if _OTHER_WORDS & set(bare.split()):
        return (phrase,)
    return phrase, bare


def _shortness(entry: tuple[tuple[str, ...], str]) -> int:
    return -len(entry[0])


class PhraseTable(Phrases[str]):
    """Longest-match lookup over spaCy-like tokens; each phrase stands for a word."""

    def __init__(self, phrases: Mapping[str, str] | Iterable[tuple[str, str]]) -> None:
        pairs = phrases.items() if isinstance(phrases, Mapping) else phrases
        super().__init__(())
        groups = self._by_first
        for phrase, value in pairs:
            for form in variants(phrase):
                split = words(form)
                if split:
                    groups.setdefault(split[0], []).append((split, value))
        for group in groups.values():
            group.sort(key=_shortness)

    def entries(self) -> Mapping[str, list[tuple[tuple[str, ...], str]]]:
        """First token to its ``(phrase, value)`` pairs, longest first."""
        return self._by_first

    def find(self, lowers: list[str]) -> list[tuple[int, int, str]]:
        """All non-overlapping matches from the left as ``(start, end, value)``."""
        found: list[tuple[int, int, str]] = []
        index = 0
        while index < len(lowers):
            hit = self.at(lowers, index)
            if hit is None:
                index += 1
            else:
                found.append((index, hit[0], hit[1]))
                index = hit[0]
        return found


@cache
def table(name: str, value: str, phrases: str = "phrases", kind: str | None = None) -> PhraseTable:
    """A phrase table from a data file: column ``value`` for each of column ``phrases``.

    With ``kind``, only the rows whose ``kind`` column equals it.
    """
    return PhraseTable(
        (phrase, row[value])
        for row in rows(name)
        if kind is None or row["kind"] == kind
        for phrase in row[phrases].split("|")
        if phrase
    )


def inflect(verb: str) -> tuple[str, ...]:
    """The regular forms of ``verb``: base, -s, -ed, -ing."""
    if verb.endswith("e") and not verb.endswith(("ee", "oe")):
        return verb, verb + "s", verb + "d", verb[:-1] + "ing"
    if verb.endswith("y") and len(verb) > 1 and verb[-2] not in _VOWELS:
        return verb, verb[:-1] + "ies", verb[:-1] + "ied", verb + "ing"
    stem = verb + verb[-1] if _doubles(verb) else verb
    suffix = "es" if verb.endswith(("s", "sh", "ch", "x", "z")) else "s"
    return verb, verb + suffix, stem + "ed", stem + "ing"


def _doubles(verb: str) -> bool:
    """Whether the last consonant doubles before -ed (stir, chop; not drain, boil)."""
    if len(verb) < 3 or verb[-1] in _VOWELS or verb[-1] in "wxyh":
        return False
    one_syllable = sum(c in _VOWELS for c in verb) == 1
    return one_syllable and verb[-2] in _VOWELS and verb[-3] not in _VOWELS


@cache
def verb_forms() -> dict[str, str]:
    """Every form of every cooking verb, to its base form."""
    forms: dict[str, str] = {}
    for row in rows("actions.csv"):
        for form in inflect(row["verb"]):
            forms.setdefault(form, row["verb"])
    for row in rows("forms.csv"):
        forms[row["form"]] = row["verb"]
    return forms


@cache
def verbs() -> dict[str, dict[str, str]]:
    """The rows of actions.csv by base form."""
    return {row["verb"]: row for row in rows("actions.csv")}
