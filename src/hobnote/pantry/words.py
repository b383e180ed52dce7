"""Words around food names: singular and plural, spellings, preparations, states.

All lists live in ``data/words.csv``. Nothing here knows a food.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import cache, lru_cache

from hobnote.pantry.tables import lines, split

_TOKEN = re.compile(r"[a-z0-9%]+(?:['’][a-z]+)?")


@cache
def kind(name: str) -> dict[str, str]:
    """The words of one kind ("prep", "state", "spelling" ...), each with what it means."""
    out: dict[str, str] = {}
    for line in lines("words.csv")[1:]:
        word, its_kind, means, _ = split(line)
        if its_kind == name:
            out[word] = means or word
    return out


@lru_cache(maxsize=65536)
def singular(word: str) -> str:
    """The singular of one lower-case word; a word that is no plural comes back as it is."""
    irregular = kind("plural").get(word)
    if irregular is not None:
        return irregular
    if len(word) < 4 or not word.endswith("s") or word in kind("mass"):
        return word
    if word.endswith(("ss", "us", "is", "'s", "’s")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("shes", "ches", "xes", "sses", "oes", "zzes")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=65536)
def plural(word: str) -> str:
    """The plural of one lower-case word; mass words come back as they are."""
    for many, one in kind("plural").items():
        if one == word and many != word:
            return many
    if word in kind("mass") or (word.endswith("s") and singular(word) != word):
        return word
    if re.search(r"[^aeiou]y$", word):
        return word[:-1] + "ies"
    if word.endswith(("s", "sh", "ch", "x", "z")):
        return word + "es"
    return word + "s"


def plain(text: str) -> str:
    """Lower case, straight quotes, no accents, one space between words."""
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text.replace("’", "'"))
        text = "".join(c for c in text if not unicodedata.combining(c))
    return " ".join(text.lower().split())


@lru_cache(maxsize=65536)
def _canon(token: str) -> str:
    token = kind("spelling").get(token, token)
    one = singular(token.removesuffix("'s").removesuffix("s'") if "'" in token else token)
    return kind("spelling").get(one, one)


def tokens(text: str) -> tuple[str, ...]:
    """The words of a name as the index compares them: singular, one spelling, no hyphens."""
    return tuple(_canon(t) for t in _TOKEN.findall(plain(text)))


def raw_words(text: str) -> list[str]:
    """The words of a name as said, in lower case; as many as :func:`tokens` gives."""
    return _TOKEN.findall(plain(text))


def pluralised(name: str) -> str:
    """A name in the plural: its last word, or the word before "of", "on", "with" or "in"."""
    parts = name.split(" ")
    at = len(parts) - 1
    for n, part in enumerate(parts):
        if n and part in ("of", "on", "with", "in"):
            at = n - 1
            break
    parts[at] = plural(parts[at])
    return " ".join(parts)


def singularised(name: str) -> str:
    """A name with its last word in the singular."""
    head, _, last = name.rpartition(" ")
    one = singular(last)
    return f"{head} {one}" if head else one


def in_digits(text: str) -> str:
    """Number words up to a hundred as digits: "ninety three per cent" -> "93%"."""
    values = kind("number")
    out: list[str] = []
    last = ""  # the tens that a unit may still follow
    for word in text.replace("per cent", "%").replace("percent", "%").split():
        number = values.get(word)
        if number is None:
            last = ""
            if word == "%" and out and out[-1].isdigit():
                out[-1] += "%"
            else:
                out.append(word)
        elif last and len(number) == 1 and number != "0":
            out[-1], last = str(int(last) + int(number)), ""
        else:
            out.append(number)
            last = number if len(number) == 2 and number.endswith("0") else ""
    return " ".join(out)


def without_phrases(text: str) -> str:
    """A name without the set phrases that say nothing about the food, or say it in a word."""
    for phrase, means in _phrases():
        if phrase in text:
            instead = "" if means == phrase else means
            text = re.sub(rf"(?<![a-z]){re.escape(phrase)}(?![a-z])", instead, text)
    return " ".join(text.split())


@cache
def _phrases() -> tuple[tuple[str, str], ...]:
    """Longest first."""
    return tuple(sorted(kind("phrase").items(), key=lambda pair: -len(pair[0])))


def simplified(text: str) -> str:
    """A plain name with its numbers in digits and without set phrases."""
    return without_phrases(in_digits(text))


_SHARE = re.compile(r"\b(\d{1,2})(?:[/ ](\d{1,2})\b|% ?(lean|fat)?)")


def fat_share(text: str) -> tuple[str, float] | None:
    """The name without its fat content, and that in per cent: "90% lean", "80/20", "5%"."""
    found = _SHARE.search(in_digits(text))
    if found is None:
        return None
    first, second, what = found[1], found[2], found[3]
    if second is not None and int(first) + int(second) != 100:
        return None
    share = float(second or first)
    if second is None and (what == "lean" or (what is None and share >= 70)):
        share = 100 - share
    rest = f"{found.string[: found.start()]} {found.string[found.end() :]}"
    return " ".join(w for w in rest.split() if w.strip("(),") not in ("fat", "lean", "")), share


def states_in(words: Iterable[str]) -> list[str]:
    """The states ("tinned", "cooked" ...) that these words name, in order."""
    table = kind("state")
    return [table[w] for w in words if w in table]
