"""Written ingredient lines ("2 tbsp olive oil", "400 g tin of chickpeas, drained").

Only what stands in front of the name is read: a number or a range, a unit, a
counted noun in our tables. Anything else stays in the name, for the pantry to match.
"""

from __future__ import annotations

import re
from functools import cache

from hobnote.publishing.tables import rows
from hobnote.record import Amount, Ingredient

_SIGNS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125}
_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d[\d,]*(?:\.\d+)?\s?[½¼¾⅓⅔⅛]?|[½¼¾⅓⅔⅛])"
_HEAD = re.compile(rf"\s*(?P<low>{_NUMBER})(?:\s*(?:[-–]|to)\s*(?P<high>{_NUMBER}))?\s*")
_WEIGHTS = ("g", "kg", "oz", "lb")


def number_at(text: str) -> float:
    """ "1½", "3/4", "1 1/2", "1,250.5" as a number."""
    text = text.replace(",", "").strip()
    total = 0.0
    if text and text[-1] in _SIGNS:
        total, text = _SIGNS[text[-1]], text[:-1].strip()
    for part in text.split():
        top, _, bottom = part.partition("/")
        total += float(top) / (float(bottom) or 1.0) if bottom else float(top)
    return total


@cache
def _units() -> tuple[re.Pattern[str], dict[str, str]]:
    names = {row["unit"]: row["unit"] for row in rows("unit_codes") if row["unit"] != "piece"}
    for row in rows("unit_codes"):
        names |= {word: row["unit"] for word in row["also"].split("|") if row["unit"] != "piece"}
    inner = "|".join(re.escape(word) for word in sorted(names, key=len, reverse=True))
    return re.compile(rf"({inner})\b\.?\s*(?:of\s+)?", re.IGNORECASE), names


def read_line(line: str) -> Ingredient:
    """An ingredient row from a written line; an amount that is not there is "unsaid"."""
    words = " ".join(line.split())
    head = _HEAD.match(words)
    if head is None:
        return _named(words, Amount())
    low = number_at(head["low"])
    high = max(number_at(head["high"]), low) if head["high"] else low
    rest = words[head.end() :]
    pattern, names = _units()
    found = pattern.match(rest)
    unit = names[found[1].lower()] if found else "piece"
    if found:
        rest = rest[found.end() :]
    basis = "weighed" if unit in _WEIGHTS else "measured" if found else "counted"
    amount = Amount.model_validate(
        {"low": low, "best": (low + high) / 2, "high": high, "unit": unit, "basis": basis}
    )
    return _named(rest, amount)


def _named(words: str, amount: Amount) -> Ingredient:
    name, _, preparation = words.partition(",")
    name = re.sub(r"\s*\([^)]*\)", "", name).strip() or words.strip()
    return Ingredient(
        name=name.casefold(),
        amount=amount,
        preparation=[part.strip() for part in preparation.split(",") if part.strip()],
    )
