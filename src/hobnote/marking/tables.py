"""Load the marking room's data files (CSV with ``#`` comment lines on top).

Each file says in its header where its rows come from and how to add one.
Every row is read once a process; a broken file raises ``ValueError`` naming
the file and the line.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final, Generic, TypeVar

T = TypeVar("T")

PACKAGE: Final = "hobnote.marking"


def bag(text: str) -> frozenset[str]:
    """The words of ``text`` as a set."""
    return frozenset(text.split())


@cache
def rows(name: str, package: str = PACKAGE) -> tuple[dict[str, str], ...]:
    """The rows of ``data/<name>`` as dictionaries keyed by the header line."""
    text = files(package).joinpath("data", name).read_text(encoding="utf-8")
    numbered = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    reader = csv.DictReader(line for _, line in numbered)
    found = []
    for (number, _), row in zip(numbered[1:], reader, strict=True):
        if None in row or None in row.values():
            cells = len(numbered[0][1].split(","))
            raise ValueError(f"{name}, line {number}: expected {cells} cells.")
        found.append({key: value.strip() for key, value in row.items()})
    return tuple(found)


class Phrases(Generic[T]):
    """Longest-match lookup of word sequences: ``at(words, i)`` gives (end, value) or None."""

    def __init__(self, entries: Iterable[tuple[str, T]]) -> None:
        self._by_first: dict[str, list[tuple[tuple[str, ...], T]]] = {}
        for phrase, value in entries:
            words = tuple(phrase.lower().split())
            if words:
                self._by_first.setdefault(words[0], []).append((words, value))
        for group in self._by_first.values():
            group.sort(key=lambda entry: -len(entry[0]))

    def __contains__(self, first: str) -> bool:
        return first in self._by_first

    def firsts(self) -> frozenset[str]:
        """The first words of all phrases, for a quick look before a scan."""
        return frozenset(self._by_first)

    def at(self, words: list[str], i: int) -> tuple[int, T] | None:
        """The longest phrase that starts at ``words[i]``."""
        if i >= len(words):
            return None
        group = self._by_first.get(words[i])
        if group is None:
            return None
        for phrase, value in group:
            n = len(phrase)
            if n == 1 or tuple(words[i : i + n]) == phrase:
                return i + n, value
        return None


@dataclass(frozen=True, slots=True)
class UnitWord:
    """``unit`` and how many of it one such word means (low, best, high)."""

    unit: str
    low: float
    best: float
    high: float
    glued: bool


@dataclass(frozen=True, slots=True)
class CountNoun:
    """A counted or container word: ``noun`` in the singular, ``role``, and how it may stand."""

    noun: str
    role: str
    plural: bool


@cache
def unit_words() -> Phrases[UnitWord]:
    """Every spelling of every unit of ``unit_words.csv``."""
    entries = []
    for row in rows("unit_words.csv"):
        value = UnitWord(
            row["unit"],
            float(row["low"]),
            float(row["best"]),
            float(row["high"]),
            row["only_after_digits"] == "yes",
        )
        entries += [(word, value) for word in row["words"].split("|")]
    return Phrases(entries)


@cache
def short_names(when: str) -> dict[str, str]:
    """Short words for foods, singular and plural, to full names (``short_names.csv``)."""
    found: dict[str, str] = {}
    for row in rows("short_names.csv"):
        for said in row["said"].split("|") if row["when"] == when else ():
            found[said] = row["name"]
            found.setdefault(said if said.endswith("s") else said + "s", row["name"])
    return found


@cache
def count_nouns() -> dict[str, CountNoun]:
    """Singular and plural forms of ``count_nouns.csv``."""
    found: dict[str, CountNoun] = {}
    for row in rows("count_nouns.csv"):
        found[row["noun"]] = CountNoun(row["noun"], row["role"], False)
        for plural in row["plurals"].split("|"):
            if plural:
                found.setdefault(plural, CountNoun(row["noun"], row["role"], True))
        for alias in row["also"].split("|"):
            if alias:
                found.setdefault(alias, CountNoun(row["noun"], row["role"], False))
    return found


@cache
def time_words() -> dict[str, tuple[float, bool]]:
    """Time word -> (minutes, only directly after digits)."""
    found = {}
    for row in rows("time_words.csv"):
        for word in row["words"].split("|"):
            found[word] = (float(row["minutes"]), row["only_after_digits"] == "yes")
    return found


@cache
def word_list(name: str) -> frozenset[str]:
    """The words filed under ``name`` in ``word_lists.csv``."""
    return frozenset(
        word
        for row in rows("word_lists.csv")
        if row["list"] == name
        for word in row["words"].split("|")
    )


@cache
def phrase_list(name: str) -> Phrases[bool]:
    """The phrases filed under ``name`` in ``word_lists.csv``."""
    return Phrases((phrase, True) for phrase in word_list(name))


@cache
def size_words() -> dict[str, str]:
    """Size or fullness adjective -> the word kept in the record."""
    found = {}
    for row in rows("size_words.csv"):
        for word in row["words"].split("|"):
            found[word] = row["size"]
    return found
