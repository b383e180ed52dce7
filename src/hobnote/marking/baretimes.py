"""Marks cooking times whose unit was left out ("let it rest ten", "simmer for fifteen").

Only a bare number right after a verb that takes time counts, and only when
nothing follows that it could count. Minutes are meant: nobody leaves out hours.
"""

from __future__ import annotations

from typing import Final

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    TIME,
    AmountValue,
    Mark,
    TimeValue,
    covered,
    marks,
    put,
)

LONGEST: Final = 120.0
REACH: Final = 7
"""Words that may stand between the verb, or the shorter time, and the number."""
LEAST: Final = 5.0
CLOSE: Final = 9
"""Tokens since the last time within which a smaller number will do ("turn them, four more")."""
RECENT: Final = 40
"""Minutes from which, and tokens since the last time within which, "another ten" is a time."""
_OR_LONGER: Final = frozenset(
    {",", "or", "maybe", "perhaps", "it", "might", "be", "even", "up", "to", "possibly", "could",
     "may", "at", "most"}
)  # fmt: skip
_PERHAPS: Final = frozenset(
    {"maybe", "perhaps", "might", "tops", "max", "most", "possibly", "at", "could", "may"}
)  # fmt: skip
_BETWEEN: Final = frozenset(
    {"it", "them", "that", "for", "about", "another", "only", "just", "maybe", "'em", "'m",
     "around", "roughly", "say", "like", "further", "good", "the", "those", "this", "probably",
     "everything", "in", "up", "down", "through", "all", "least", "at"}
)  # fmt: skip
_GIVING: Final = frozenset({"give", "leave", "let", "keep"})
_OBJECTS: Final = frozenset({"it", "them", "that", "those", "'em", "everything", "this"})
_NOT_AFTER: Final = frozenset({"of", "%", "percent", "per", "degrees", "times", "at", "fan", "°"})


@Language.component("hobnote_bare_times")
def bare_times(doc: Doc) -> Doc:
    """Put TIME marks on bare numbers that say how long."""
    amounts = {m.start: m for m in marks(doc, AMOUNT)}
    if not amounts:
        return doc
    foods = covered(doc, FOOD)
    for action in marks(doc, ACTION):
        mark = _number_after(doc, action, amounts)
        if mark is None or mark.end in foods:
            continue
        value: AmountValue = mark.value
        more = value.more or doc[mark.start - 1].lower_ == "another"
        put(doc, TIME, mark.start, mark.end, TimeValue(value.low, value.high, more=more))
    _far_ends(doc, amounts)
    _further(doc, amounts)
    return doc


def _leads_to_for(doc: Doc, i: int, amounts: dict[int, Mark]) -> bool:
    """ "knead on medium speed for eight": plain words up to a "for" right before the number."""
    if doc[i].is_punct or doc[i].is_sent_start or doc[i].tag_.startswith("VB"):
        return False
    for j in range(i + 1, min(i + 7, len(doc) - 1)):
        if doc[j].lower_ == "for":
            return j + 1 in amounts
        if doc[j].is_punct or doc[j].tag_.startswith("VB"):
            return False
    return False


def _far_ends(doc: Doc, amounts: dict[int, Mark]) -> None:
    """ "forty minutes, forty-five maybe", "twenty minutes, it might be thirty": a longer time."""
    for time in marks(doc, TIME):
        i = time.end
        if i + 2 < len(doc) and doc[i].lower_ in ("in", "on", "at") and doc[i + 1].lower_ == "the":
            i += 3  # "forty minutes in the oven, forty-five maybe"
        while i < len(doc) and i not in amounts and doc[i].lower_ in _OR_LONGER:
            i += 1
        mark = amounts.get(i)
        if mark is None or i - time.end > REACH or i == time.end:
            continue
        number: AmountValue = mark.value
        after = doc[mark.end].lower_ if mark.end < len(doc) else "."
        said = {t.lower_ for t in doc[time.end : i]} | {after}
        longer = time.value.high < number.best <= 2 * time.value.high
        if number.unit is None and number.vague is None and longer and said & _PERHAPS:
            put(doc, TIME, mark.start, mark.end, TimeValue(number.low, number.high))


def _further(doc: Doc, amounts: dict[int, Mark]) -> None:
    """ "another twenty-five" not long after a time, and "ten off the heat"."""
    taken = covered(doc, TIME)
    times = sorted(taken)
    for start, mark in amounts.items():
        number: AmountValue = mark.value
        bare = number.unit is None and number.vague is None and not number.article
        if not bare or start in taken or not 1 <= number.best <= LONGEST:
            continue
        after = [t.lower_ for t in doc[mark.end : mark.end + 3]]
        off = after[:2] == ["off", "heat"] or after == ["off", "the", "heat"]
        ends = not after or doc[mark.end].is_punct or bool(doc[mark.end].is_sent_start)
        ends = ends or after[0] in ("after", "until", "till", "or", "with", "once", "so")
        more = number.more or (start > 0 and doc[start - 1].lower_ in ("another", "further"))
        since = next((start - t for t in reversed(times) if t < start), None)
        enough = number.best >= LEAST or (since is not None and since <= CLOSE)
        if off or (more and ends and enough and since and since <= RECENT):
            put(doc, TIME, mark.start, mark.end, TimeValue(number.low, number.high, more=more))


def _number_after(doc: Doc, action: Mark, amounts: dict[int, Mark]) -> Mark | None:
    value: ActionValue = action.value
    giving = value.verb in _GIVING
    if value.kind not in ("cook", "hold", "prep") and not giving:
        return None
    i = action.end
    words: list[str] = []
    while i < len(doc) and i not in amounts and len(words) < REACH:
        lower = doc[i].lower_
        if lower not in _BETWEEN and not _leads_to_for(doc, i, amounts):
            break
        words.append(lower)
        i += 1
    mark = amounts.get(i)
    if value.kind == "prep" and words[-1:] != ["for"]:
        return None  # "knead for eight", but not "knead two"
    if mark is None or (giving and not any(w in _OBJECTS for w in words)):
        return None
    number: AmountValue = mark.value
    bare = number.unit is None and number.vague is None and not number.article
    if not bare or not 1 <= number.best <= LONGEST:
        return None
    if mark.end < len(doc):
        after = doc[mark.end]
        if after.lower_ in _NOT_AFTER or after.tag_ in ("NN", "NNS", "NNP", "CD", "JJ"):
            return None
    return mark
