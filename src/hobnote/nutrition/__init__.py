"""Grams and nutrients as bounds, scores, claims, labels, allergens, cautions and flags.

``weigh(record, pantry)`` fills a tallied record; ``what_if``, ``make``,
``to_portions``, ``to_target`` and ``declaration`` work on what it returns.
"""

from hobnote.nutrition.labels import declaration, label_data, label_html, label_text
from hobnote.nutrition.scale import to_portions, to_target
from hobnote.nutrition.weigh import weigh
from hobnote.nutrition.whatif import Change, make, what_if

__all__ = [
    "Change",
    "declaration",
    "label_data",
    "label_html",
    "label_text",
    "make",
    "to_portions",
    "to_target",
    "weigh",
    "what_if",
]
