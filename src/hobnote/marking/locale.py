"""Guesses whose cups and spoons a cook means, from the words of the note."""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from hobnote.marking.tables import rows

LEAST: Final = 2
"""How many telling words it takes; with fewer, metric spoons and cups are assumed."""
CUPS: Final = re.compile(r"\bcups?\b|\btablespoons? of butter\b", re.IGNORECASE)


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (row["locale"], re.compile(r"\b(?:" + row["words"].replace("|", r"|") + r")\b"))
        for row in rows("locale_words.csv")
    )


def guess_measures(spoken: str) -> str:
    """us, uk, au or metric for a note's speech.

    The locale with the most telling words wins. A note without any that counts
    in cups is taken as American, any other as metric (15 ml tablespoon, 250 ml cup).
    """
    lower = spoken.lower()
    counts = {locale: len(pattern.findall(lower)) for locale, pattern in _patterns()}
    # Australian words are few and sure; British ones are said in Australia too.
    if counts["au"] >= LEAST and counts["au"] * 2 >= counts["uk"]:
        return "au"
    best = max(counts, key=lambda k: counts[k])
    if counts[best] >= LEAST:
        return best
    return "us" if CUPS.search(lower) else "metric"
