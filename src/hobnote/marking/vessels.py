"""Marks vessels and machines ("the small pan", "roasting tin")."""

from __future__ import annotations

from spacy.language import Language
from spacy.tokens import Doc

from hobnote.marking.lexicon import table
from hobnote.marking.marks import AMOUNT, TEMPERATURE, TIME, VESSEL, covered, put

# "a tin of tomatoes", "a pot of yoghurt", "two jars of": a container, not a vessel.
_OF = frozenset({"of"})


@Language.component("hobnote_vessels")
def vessels(doc: Doc) -> Doc:
    """Put VESSEL marks; the value is the plain name."""
    taken = covered(doc, AMOUNT, TIME, TEMPERATURE)
    lowers = [t.lower_ for t in doc]
    for start, end, name in table("vessels.csv", "name").find(lowers):
        if start in taken or (end < len(lowers) and lowers[end] in _OF and name not in _HOLD):
            continue
        put(doc, VESSEL, start, end, name)
    return doc


# "a pan of boiling water" is a vessel all the same.
_HOLD = frozenset({"pan", "saucepan", "frying pan", "pot", "wok", "bowl"})
