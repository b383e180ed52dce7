"""The words of a step as a recipe prints them: short, the verb first and in its base form."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from spacy.tokens import Token

from hobnote.following.doings import Doing
from hobnote.marking.marks import MISHEARD, marks

_LEADING: Final = frozenset(
    {"so", "and", "then", "okay", "ok", "now", "right", "i'm", "i", "we", "we're", "going", "to",
     "gonna", "just", "you", "will", "'ll", "'m", "'re", ",", "well", "next", "let", "me", "am",
     "are", "want", "need", "also", "that", "which", "'ve", "have", "let's", "'s", ".", "it",
     "do", "'d", "oh", "um", "uh", "er", "but", "-", "–", "—", ";", ":", "n", "&"}
)  # fmt: skip
_FILLERS: Final = frozenset({"um", "uh", "er", "erm", "uhm", "ah", "oh", "hmm", "mm", "okay"})
_TRAILING: Final = frozenset(
    {"and", "then", "so", "but", "or", "because", "cause", "which", "while", "the", "a", "an",
     "of", "with", "to", "i", "we", "you", "it's", "that", "now", "also", "just", "like", "i'm",
     "'m", "'s", "n", "&", "in", "until", "till", "if", "when", "right", "okay", "well", "my",
     "'ll", "for", "at", "as", "its", "thats"}
)  # fmt: skip
_KEPT: Final = frozenset({"in", "that", "well", "to"})
_PLACING: Final = frozenset({"in", "into", "on", "onto", "over", "to"})
_OBJECTS: Final = frozenset({"it", "them", "that", "those", "these", "this", "'em"})
_SAID: Final = re.compile(r"\s+([,.;:!?)])|\(\s+|\s+('s|'re|'ve|'ll|n't)\b")
_WITH: Final = frozenset({"season", "top", "serve", "garnish", "finish"})
LONGEST_LIST: Final = 4
"""Foods up to which a pronoun is written out."""


def instruction(doing: Doing, verb: str, names: Sequence[str] = ()) -> str:
    """The doing as a short instruction; ``names`` are written for "it" and "them"."""
    doc = doing.clause.doc
    action = doing.action
    if action is None or action.value.form == "fragment":
        return _plain(doing, verb, names)
    rest = list(doc[action.end : doing.end])
    particle = doc[action.end - 1].lower_ if action.end - action.start > 1 else ""
    if particle in ("in", "into") and rest and rest[0].tag_ in ("NN", "NNS", "CD", "JJ"):
        rest, particle = list(doc[action.end - 1 : doing.end]), ""  # "cut in cubes"
    fronted = any(m.end <= action.start for m in doing.of("FOOD"))
    words = _words(doing, rest)
    listed = _listed(names)
    named = any(m.start >= action.end for m in doing.of("FOOD", "PART"))
    other = verb != action.value.verb
    placed = other and particle in _PLACING and bool(doing.of("VESSEL"))
    placed = placed and bool(rest) and rest[0].tag_ in ("DT", "PRP$", "JJ")
    if placed or (action.value.verb == "bring" and particle == "to"):
        words = [particle, *words]  # "they go in the fridge": chill … in the fridge
    if rest and rest[0].lower_ in _OBJECTS and listed:
        words = [listed, *words[1:]]
    elif rest and rest[0].lower_ in _OBJECTS and verb != action.value.verb:
        words = words[1:]
    elif listed and (placed or (not named and (not rest or (fronted and _bare(rest, other))))):
        words = [listed, *words]
    if action.value.verb == "give" and verb in words:  # "give it a good shake"
        at = words.index(verb)
        words = [w for i, w in enumerate(words) if i > at or w not in ("a", "good", "quick", verb)]
    if verb in ("remove", "take") and words[1:2] in (["out"], ["off"]) and words[2:3] != ["of"]:
        del words[1]
    if verb == "serve" and words[:1] == ["out"]:
        words = words[1:]
    if verb == "return":
        words = [w for w in words if w != "back"]
    if action.value.verb == "bring" and verb in words:
        verb = "bring"  # "bring it to the boil"
    if action.value.verb == "bring" and particle == "to":
        particle = ""  # it stands before what follows by now
    head = f"{verb} {particle}" if particle and verb == action.value.verb else verb
    return tidy(" ".join([head, *words]))


def _bare(rest: Sequence[Token], other: bool) -> bool:
    """Whether the words after the verb begin with no food or thing of their own."""
    return other or rest[0].tag_ not in ("DT", "PRP$")


def _plain(doing: Doing, verb: str, names: Sequence[str]) -> str:
    """A doing without a verb of its own: the verb it comes to, its foods, then what else was said.

    "Onion in, five minutes" is "Cook onion, five minutes".
    """
    details = [
        m for m in doing.of("TIME", "HEAT", "TEMPERATURE", "UNTIL", "VESSEL")
        if doing.action is None or m.start != doing.action.start
    ]  # fmt: skip
    doc = doing.clause.doc
    said: list[str] = []
    end = -1
    for m in details:
        if m.start < end:
            continue
        words = " ".join(_words(doing, list(doc[m.start : m.end])))
        words = words[:1].lower() + words[1:]
        before = doc[m.start - 1].lower_ if m.start > doing.start else ""
        if m.label == "VESSEL":
            words = f"in the {words.removeprefix('the ').removeprefix('a ')}"
        elif before in ("for", "on", "at", "over") and m.label != "UNTIL":
            words = f"{before} {words}"
        said.append(words)
        end = m.end
    listed = _listed(names, longest=8)
    if listed and verb in _WITH:
        listed = f"with {listed}"
    return tidy(" ".join([verb, listed]) + ", " + ", ".join(said))


def _listed(names: Sequence[str], longest: int = LONGEST_LIST) -> str:
    if not names or len(names) > longest:
        return ""
    return ", ".join(names[:-1]) + (" and " if len(names) > 1 else "") + names[-1]


def _words(doing: Doing, tokens: Sequence[Token]) -> list[str]:
    """Token texts with mis-heard words put right and fillers left out."""
    meant = {
        m.start: (m.end, m.value.suggestion)
        for m in marks(doing.clause.doc, MISHEARD)
        if doing.start <= m.start < doing.end
    }
    found: list[str] = []
    skip = -1
    for token in tokens:
        if token.i < skip or token.lower_ in _FILLERS or token.is_space:
            continue
        if token.i in meant:
            skip, word = meant[token.i]
            found.append(word)
        else:
            glued = bool(found) and token.i > 0 and not token.nbor(-1).whitespace_
            if glued and token.nbor(-1).text not in ",.;:!?" and token.text not in ",.;:!?":
                found[-1] += token.text
            else:
                found.append(token.text)
    return found


def tidy(text: str) -> str:
    """``text`` with blanks in order, no joint at either end, a capital first."""
    words = " ".join(text.split()).strip(" ,;:-–—.!…*").split()
    while len(words) > 1 and words[-1].lower().strip(",.;:") in _TRAILING:
        last = words[-1].lower()
        if last in _KEPT and len(words) == 2:
            break
        words.pop()
    text = _SAID.sub(lambda m: m[1] or m[2] or "(", " ".join(words))
    text = re.sub(r"(,\s*)+", ", ", text).strip(" ,;:-–—.!…*")
    if text.count("(") > text.count(")"):  # what the bracket held was told apart
        text = re.sub(r"\s*\((?=[^()]*$)", ", ", text).strip(" ,;:-–—.!…*")
    return text[:1].upper() + text[1:]
