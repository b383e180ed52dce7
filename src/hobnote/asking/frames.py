"""What a message is meant to do, by its wording alone: templates over words, from ``frames.csv``.

Only the frame ("swap … for …") is recognised here. What stands in a slot is
read by the marking; there is no second reader of quantities or foods.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final

from hobnote.marking.tables import rows

PACKAGE: Final = "hobnote.asking"
_TOKEN: Final = re.compile(r"\s+|\\.|\{(?P<slot>[a-z*]+)\}|[\[\]()|]|(?:[^\s\[\]()|{}\\]|\\.)+")
_SLOT: Final = r"(?:\S+ )+?"
_TRIMMED: Final = ",;:.!\"“”"


@dataclass(frozen=True, slots=True)
class Frame:
    """``kind`` and ``value`` of the template that fits; ``slots`` as typed, without outer signs."""

    kind: str
    value: str
    slots: dict[str, str]


@dataclass(frozen=True, slots=True)
class _Template:
    kind: str
    value: str
    pattern: re.Pattern[str]


def frames(message: str) -> Iterator[Frame]:
    """Every frame that the whole message fits, likeliest first.

    Wordings come in the order of the file; the message as it stands goes before
    the message without its fillers ("oh", "please").
    """
    for words in _peeled(message):
        typed = [word.strip(_TRIMMED) for word in words]
        plain = "".join(f"{_plain(word)} " for word in typed)
        for template in _templates():
            found = template.pattern.fullmatch(plain)
            if found is not None:
                held = (name for name, said in found.groupdict().items() if said)
                slots = {name: _typed(found, name, typed) for name in held}
                yield Frame(template.kind, template.value, slots)


def cores(message: str) -> Iterator[tuple[int, int]]:
    """Where the message stands without its fillers, from start to end; shorter and shorter."""
    spans = [m.span() for m in re.finditer(r"\S+", message)]
    kept = [s for s in spans if message[s[0] : s[1]].strip(_TRIMMED)]
    whole = [message[a:b] for a, b in kept]
    for words in _peeled(message):
        if words == whole:
            continue
        places = (n for n in range(len(whole)) if whole[n : n + len(words)] == words)
        first = next(places, None)
        if first is None:
            continue
        yield kept[first][0], kept[first + len(words) - 1][1]


def note_start(message: str) -> int:
    """Where a further bit of the note begins, after "I forgot to say" and the like."""
    spans = [m.span() for m in re.finditer(r"\S+", message)]
    lowers = [_plain(message[a:b].strip(_TRIMMED)) for a, b in spans]
    at, moved = 0, True
    while moved:
        moved = False
        for filler in _fillers("note"):
            if tuple(lowers[at : at + len(filler)]) == filler and at + len(filler) < len(lowers):
                at, moved = at + len(filler), True
                break
    return spans[at][0] if spans else 0


def _plain(word: str) -> str:
    word = word.replace("’", "'").replace("'", "").casefold()  # recognisers write "dont"
    return word.rstrip("?") if len(word) > 1 else word


def _typed(found: re.Match[str], name: str, words: list[str]) -> str:
    """The words behind a slot, as they were typed."""
    first = found.string.count(" ", 0, found.start(name))
    last = first + found.group(name).count(" ")
    return " ".join(words[first:last]).strip("'?")


def _peeled(message: str) -> Iterator[list[str]]:
    """The message's words, then without one filler after another, from both ends."""
    words = [w for w in message.split() if w.strip(_TRIMMED)]
    seen: set[tuple[str, ...]] = set()
    waiting = [words]
    while waiting:
        words = waiting.pop(0)
        if not words or tuple(words) in seen:
            continue
        seen.add(tuple(words))
        yield words
        lowers = [_plain(w.strip(_TRIMMED)) for w in words]
        raw = [_plain(w) for w in words]
        inner = {filler[0] for filler in _fillers("anywhere")}
        waiting.append([w for w, low in zip(words, lowers, strict=True) if low not in inner])
        for filler in _fillers("start"):
            start = raw if filler[-1].endswith(",") else lowers
            if tuple(start[: len(filler)]) == filler and len(filler) < len(words):
                waiting.append(words[len(filler) :])
        for filler in _fillers("end"):
            if tuple(lowers[-len(filler) :]) == filler and len(filler) < len(words):
                waiting.append(words[: -len(filler)])


@cache
def _fillers(where: str) -> tuple[tuple[str, ...], ...]:
    found = {
        tuple(map(_plain, phrase.split()))
        for row in rows("fillers.csv", PACKAGE)
        if row["where"] == where
        for phrase in row["phrases"].split("|")
    }
    return tuple(sorted(found, key=lambda words: -len(words)))


@cache
def _templates() -> tuple[_Template, ...]:
    return tuple(
        _Template(row["frame"], row["value"], re.compile(compiled(row["template"])))
        for row in rows("frames.csv", PACKAGE)
    )


def compiled(template: str) -> str:
    """The template as a regular expression over words that each end in one blank."""
    out: list[str] = []
    closing: list[str] = []
    used: set[str] = set()
    for token in _TOKEN.finditer(template):
        text, slot = token.group(), token.group("slot")
        if text.isspace():
            continue
        if slot is not None:
            named = slot != "*" and slot not in used
            used.add(slot)
            out.append(f"(?P<{slot}>{_SLOT})" if named else _SLOT)
        elif text in "[(":
            out.append("(?:")
            closing.append(")?" if text == "[" else ")")
        elif text in "])":
            if not closing:
                raise ValueError(f"frames.csv: a bracket too many in '{template}'.")
            out.append(closing.pop())
        elif text == "|":
            out.append("|")
        else:
            out.append(re.escape(_plain(re.sub(r"\\(.)", r"\1", text))) + " ")
    if closing:
        raise ValueError(f"frames.csv: a bracket is not closed in '{template}'.")
    return "".join(out)
