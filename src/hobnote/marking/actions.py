"""Marks cooking verbs ("stir in", "left to rest") and the cues that end a step.

ACTION values are :class:`ActionValue`; UNTIL values are the cue's words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from spacy.language import Language
from spacy.tokens import Doc, Token

from hobnote.marking.idioms import is_idiom
from hobnote.marking.lexicon import verb_forms, verbs
from hobnote.marking.marks import ACTION, AMOUNT, FOOD, TIME, UNTIL, VESSEL, covered, marks, put

_NOT_BEFORE_VERB: Final = frozenset(
    {"the", "a", "an", "my", "your", "this", "that's", "of", "some", "our", "each", "per"}
)
_OPENERS: Final = frozenset(
    {"i", "we", "you", "then", "and", "to", "now", "just", "'ll", "’ll", "so", "or", "i'll",
     "gonna", "please", "will", "can", "should", "must", "let", "lets", "'s", "next", "okay",
     "ok", "first", "it", "them", ",", ".", ";", "-", "–", "!", ":", "\n", "that", "also",
     "gently", "slowly", "quickly", "carefully", "finally", "lightly", "well"}
)  # fmt: skip
_OBJECT: Final = frozenset(
    {"the", "a", "an", "it", "that", "them", "this", "those", "these", "in", "some", "my", "your",
     "everything", "all", "half", "for", "on", "over", "with", "until", "till", "another"}
)  # fmt: skip
_ORDERED: Final = frozenset(
    {"it", "them", "that", "those", "these", "this", "'em", "em", "everything", "all", "each",
     "both", "some", "half"}
)  # fmt: skip
_ORDERING: Final = frozenset({"you", "then", "to", "now", "and", "please", "just", ".", "\n"})
_OBJECT_WORDS: Final = frozenset({"it", "them", "that", "those", "these", "the", "your", "my"})
_NOUN_AFTER: Final = frozenset({".", ",", "off", "on", "out", "!", "\n", "and", ";", ":", "?"})
_STARTS: Final = frozenset(
    {".", "!", "\n", ",", "then", "and", "n", "&", ";", ":", "-", "–", "now", "to", "first", "next"}
)  # fmt: skip
_ALONE_AFTER: Final = frozenset(
    {"again", "agen", "and", "n", "&", "then", "until", "till", "til", "well", "into", "\n", "to"}
)  # fmt: skip
_ALONE: Final = frozenset({".", ",", "!", ";", "until", "till", "again", "then", "and", "\n"})
_UNTIL_STOP: Final = frozenset({"then", "and", "but", "so", ".", ";", "!", "?", ",", "\n"})
# "until it hits 74", "until it's about 3 cm": the number belongs to the cue.
_REACHING: Final = frozenset(
    {"hits", "hit", "reads", "reaches", "is", "'s", "at", "to", "about", "of", "by", "the", "are"}
)
_LETTING: Final = frozenset({"let", "leave", "lets", "letting", "leaving", "make"})
_ORDERING_AFTER: Final = frozenset({"for", "until", "till", "a", "an", "some", "at", "about"})
_NO_NOUN: Final = frozenset({"IN", "RB", "RP", "CC", "TO", ",", ".", "_SP"})
_UNTIL_WORDS: Final = frozenset({"until", "till", "til", "'til", "’til"})


@dataclass(frozen=True, slots=True)
class ActionValue:
    """``verb`` in its base form, its ``kind`` (actions.csv), and how it stands.

    ``form`` is base, s, past, ing or noun-like; ``subject`` is the lower-case
    subject pronoun right before it, if any. ``implies`` is the food that the
    verb names by itself ("salt the water").
    """

    verb: str
    kind: str
    particle: str | None = None
    form: str = "base"
    subject: str | None = None
    implies: str | None = None


def _form(doc: Doc, token: Token, verb: str) -> str:
    tag = token.tag_
    lower = token.lower_
    if lower == verb and lower.endswith("ing"):
        return "base"  # bring
    if lower == verb and tag in ("VBD", "VBN") and _ordered(doc, token.i):
        return "base"
    if lower.endswith("ing") or tag == "VBG":
        return "ing"
    if tag in ("VBD", "VBN"):
        return "past"
    if lower.endswith("ed") and tag not in ("VB", "VBP"):
        return "past"
    return "s" if tag == "VBZ" else "base"


def _ordered(doc: Doc, i: int) -> bool:
    """Whether a verb that is its own participle ("cut", "split") is an order: it has an object.

    "cut it in four" and "spread that" are; "carrots, cut in chunks" is not.
    """
    after = doc[i + 1] if i + 1 < len(doc) else None
    if after is None:
        return False
    if after.lower_ in _ORDERED or after.tag_ in ("DT", "PRP$"):
        return True
    before = doc[i - 1].lower_ if i else "."
    return before in _ORDERING and not after.is_punct


def _verb_here(doc: Doc, i: int, verb: str, noun: str, after_time: bool = False) -> bool:
    """Whether the word at ``i`` is used as a verb: its tag, or what stands around it.

    The tagger takes imperatives in lower case and in fragments for nouns
    ("Blitz.", "next day oil your tin"), so a noun tag is overruled by an
    opener before and by an object, a joint or nothing after. A ``nounlike``
    word ("salt", "skin") always needs an object.
    """
    token = doc[i]
    nounlike = bool(noun)
    before = doc[i - 1].lower_ if i else "."
    last = i + 1 >= len(doc)
    after = "." if last else doc[i + 1].lower_
    if before == "each" and token.lower_ == verb and after in _OBJECT_WORDS:
        return True  # "about a hundred each roll them out"
    if before in _NOT_BEFORE_VERB or after == "of":
        return False
    thing = after in _OBJECT_WORDS or (not last and doc[i + 1].tag_ == "PRP$")
    number = not last and doc[i + 1].tag_ == "CD"
    opens = before in _OPENERS or i == 0 or bool(token.is_sent_start) or after_time
    base = token.lower_ == verb
    if base and after in ("it", "them", "'em", "em", "everything"):
        return True
    if base and before in _ORDERED and i > 1 and doc[i - 2].lower_ in _LETTING:
        return True  # "let it stand."
    if base and after == "that" and (i + 2 >= len(doc) or doc[i + 2].tag_ in _NO_NOUN):
        return True  # "brown that for eight minutes", "pork mince brown that until"
    if nounlike and base and opens and number:
        return noun != "food" or _of_another(doc, i)
    if token.tag_.startswith("VB"):
        if nounlike and base and opens and (last or after in _NOUN_AFTER):
            return False
        # "the chopped onions": a participle before its noun is a description
        return not (
            token.tag_ in ("VBN", "VBD", "VBG")
            and i + 1 < len(doc)
            and doc[i + 1].tag_ in ("NN", "NNS")
            and before not in ("i", "we", "you", "i've", "'ve", "have", "and", "then")
        )
    if opens and (thing or (not nounlike and (number or after in _OBJECT))):
        return True
    if base and after in ("with", "w", "w/") and (opens or before == ":"):
        return True  # "top w 80 g of blueberries"
    heading = i == 0 or bool(token.is_sent_start) or before == "*"
    if base and heading and noun != "food" and (after in _ORDERING_AFTER or number):
        return True  # "Grill for eight minutes", "Toast a spoon of cumin"
    if nounlike or not base:
        return base and after in ("the", "your") and doc[i - 1].tag_ in ("NN", "RB", "UH", "CD")
    begins = i == 0 or before in _STARTS or bool(token.is_sent_start)
    return begins and (
        last or doc[i + 1].is_punct or after in _ALONE_AFTER or doc[i + 1].tag_ in ("RB", "IN")
    )


def _with_particle(doc: Doc, i: int, verb: str, particles: list[str]) -> bool:
    """ "slice up three onions", "rub on a spoon of oil": a particle and then an object."""
    if doc[i].lower_ != verb or i + 2 >= len(doc) or doc[i + 1].lower_ not in particles:
        return False
    if i and doc[i - 1].lower_ in _NOT_BEFORE_VERB:
        return False
    return doc[i + 2].tag_ in ("CD", "DT", "PRP", "PRP$")


def _of_another(doc: Doc, i: int) -> bool:
    """ "cream two hundred grams of butter" is done; "butter, six hundred grams" is weighed."""
    return any(t.lower_ == "of" for t in doc[i + 2 : i + 7])


@Language.component("hobnote_actions")
def actions(doc: Doc) -> Doc:
    """Put ACTION marks on verbs that cook, prepare, add, hold, heat or serve."""
    forms, table = verb_forms(), verbs()
    taken = covered(doc, VESSEL)
    foods = covered(doc, FOOD)
    amounts = covered(doc, AMOUNT)
    timed = {m.end for m in marks(doc, TIME)}
    n = len(doc)
    lowers = [t.lower_ for t in doc]
    for i, token in enumerate(doc):
        verb = forms.get(token.lower_)
        if verb is None or i in taken or is_idiom(lowers, i, verb):
            continue
        row = table[verb]
        if row["noun"] and i in amounts:
            continue
        particles = row["particles"].split("|") if row["particles"] else []
        here = _verb_here(doc, i, verb, row["noun"], i in timed)
        if not here and not _with_particle(doc, i, verb, particles):
            continue
        if i in foods and not _alone(doc, i, verb, bool(row["noun"])):
            continue
        following = doc[i + 1].lower_ if i + 1 < n else ""
        particle = following if following in particles else _parted(doc, i, particles)
        before = doc[i - 1].lower_ if i else None
        subject = before if before in ("i", "we", "you", "he", "she", "they", "it") else None
        value = ActionValue(
            verb, row["kind"], particle, _form(doc, token, verb), subject, row["implies"] or None
        )
        put(doc, ACTION, i, i + (2 if particle and particle == following else 1), value)
    return doc


def _alone(doc: Doc, i: int, verb: str, nounlike: bool) -> bool:
    """A one-word sentence ("Mash.") or an order with "it" is a verb though a food has its name."""
    if doc[i].lower_ != verb:
        return False
    last = i + 1 >= len(doc)
    if not last and doc[i + 1].lower_ in ("it", "them", "everything"):
        return True
    if not last and nounlike and doc[i + 1].lower_ in ("your", "the", "a"):
        # "oil your tin", "butter the dish"
        return any(m.start - i <= 6 for m in marks(doc, VESSEL) if m.start > i)
    starts = i == 0 or bool(doc[i].is_sent_start) or doc[i - 1].text in ".!\n"
    if not starts or nounlike:
        return False
    return last or doc[i + 1].text in ".!\n" or doc[i + 1].tag_ in ("RB", "JJ", "CD", "IN", "DT")


def _parted(doc: Doc, i: int, particles: list[str]) -> str | None:
    """The particle after a short object: "take the meat out", "turn it over"."""
    for j in range(i + 2, min(i + 6, len(doc))):
        if doc[j].is_sent_start or doc[j].is_punct or doc[j].tag_.startswith("VB"):
            return None
        if doc[j].lower_ in ("out", "off", "over", "up", "down") and doc[j].lower_ in particles:
            return doc[j].lower_
    return None


@Language.component("hobnote_until")
def until(doc: Doc) -> Doc:
    """Put UNTIL marks from the cue word to the end of its phrase."""
    n = len(doc)
    begins = {m.start for m in marks(doc, AMOUNT, TIME) if not getattr(m.value, "article", False)}
    for i, token in enumerate(doc):
        opens = token.lower_ in _UNTIL_WORDS or (
            token.lower_ == "when" and i + 1 < n and doc[i + 1].lower_ in ("it", "they", "the")
        )
        if not opens:
            continue
        end = i + 1
        while end < n and end - i < 14 and not _ends_cue(doc, end):
            if end in begins and doc[end - 1].lower_ not in _REACHING:
                break
            if end > i + 2 and _next_doing(doc, end):
                break
            end += 1
        if end > i + 1:
            put(doc, UNTIL, i, end, doc[i + 1 : end].text)
    return doc


def _next_doing(doc: Doc, i: int) -> bool:
    """ "until it's smooth | now I finish it with cream": the cook goes on to something else."""
    lower = doc[i].lower_
    if lower in ("now", "then") and i + 1 < len(doc):
        return doc[i + 1].tag_ in ("PRP", "VB", "VBP", "VBZ", "DT", "NNS")
    return lower in ("i", "we") and i + 1 < len(doc) and doc[i + 1].tag_[:2] in ("VB", "MD")


def _ends_cue(doc: Doc, i: int) -> bool:
    token = doc[i]
    if token.is_sent_start:
        return True
    if token.lower_ not in _UNTIL_STOP:
        return False
    # "until soft and golden", "until brown, crisp and hot" run on over their comma
    if token.lower_ in ("and", ",") and i + 1 < len(doc):
        if doc[i + 1].lower_ in _UNTIL_STOP:
            return True
        return doc[i + 1].tag_ not in ("JJ", "VBN", "JJR", "RB")
    return True
