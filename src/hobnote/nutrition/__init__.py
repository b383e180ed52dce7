"""Grams and nutrients as bounds, scores, claims, labels, allergens, cautions and flags.

``weigh(record, pantry)`` fills a tallied record; ``what_if``, ``scale`` and
``labels`` work on what it returns.
"""

from hobnote.nutrition.weigh import weigh

__all__ = ["weigh"]
