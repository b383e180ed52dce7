"""Reading a nutrition label that was typed or copied out, line by line.

``read_label("Energy 1530 kJ / 365 kcal\\nFat 7 g\\n...")`` gives a ``Label``. The basis is what
the text says ("per 100 g", "per serving (30 g)"); 100 g when it says nothing.
"""

from __future__ import annotations

import re
from functools import cache

from hobnote.pantry.own import Label, LabelError
from hobnote.pantry.tables import lines, split

_NUMBER = r"(\d{1,3}(?:,\d{3})+(?=\s*(?:kj|kcal|cal|mg)\b)|\d+(?:[.,]\d+)?)"
_LINES = re.compile(r"[\n;]|, (?=[^\W\d])")  # "fat 7 g, salt 0,3 g" is two lines
_FIGURE = re.compile(rf"<?\s*{_NUMBER}\s*(kcal|cal|kj|mg|g|%)?", re.IGNORECASE)
_PER_100 = re.compile(r"\b(?:per|for|/)\s*100\s*(g|ml)\b", re.IGNORECASE)
_BY_SERVING = re.compile(
    r"\bper\s+(?:\w+\s+)?(?:serving|portion)\b|\bper\s+(?!100\b)\d+\s*g\b", re.IGNORECASE
)
_SERVING = re.compile(
    r"\b(?:per\s+(?:[a-z]+\s*)?\(?|serving size\b[^\n]*?"
    rf"|(?:serving|portion)\b[^\n,\d]{{0,20}}?|a\s+){_NUMBER}\s*g\b",
    re.IGNORECASE,
)


@cache
def _words() -> tuple[tuple[re.Pattern[str], str], ...]:
    out = []
    for line in lines("label_words.csv")[1:]:
        words, key, _ = split(line)
        any_of = "|".join(re.escape(w) for w in words.split("|"))
        out.append((re.compile(rf"\b(?:{any_of})\b", re.IGNORECASE), key))
    return tuple(out)


def read_label(text: str, density_g_ml: float | None = None) -> Label:
    """A label from its printed lines; raises :class:`LabelError` when no figure is found."""
    figures: dict[str, float] = {}
    column = _column(text)
    for line in _LINES.split(text):
        _read_line(line, figures, column)
    if not figures:
        raise LabelError("no figure was found; write one a line, such as 'Fat 7.2 g'")
    per_100 = _PER_100.search(text)
    servings = [_number(found) for found in _SERVING.findall(text)]
    serving_g = next((grams for grams in servings if not per_100 or grams != 100), None)
    per = 100.0 if per_100 or serving_g is None else serving_g
    return Label(
        per=per,
        per_ml=bool(per_100 and per_100[1].lower() == "ml"),
        density_g_ml=density_g_ml,
        serving_g=serving_g,
        **figures,
    )


def _column(text: str) -> int:
    """Which column holds the figures per 100 g: 1 where the serving's stands before it."""
    for line in text.split("\n"):
        hundred, serving = _PER_100.search(line), _BY_SERVING.search(line)
        if hundred and serving:
            return int(serving.start() < hundred.start())
    return 0


def _read_line(line: str, figures: dict[str, float], column: int) -> None:
    for pattern, key in _words():
        found = pattern.search(line)
        if found is None:
            continue
        values = [(_number(n), (unit or "").lower()) for n, unit in
                  _FIGURE.findall(line[found.end() :])]  # fmt: skip
        if key == "ignored" or not values:
            return
        if key == "energy":
            for name, units in (("energy_kj", ("kj",)), ("energy_kcal", ("kcal", "cal"))):
                said = [value for value, unit in values if unit in units]
                if said:
                    figures.setdefault(name, said[min(column, len(said) - 1)])
            return
        weights = [pair for pair in values if pair[1] != "%"]
        value, unit = weights[min(column, len(weights) - 1)] if weights else values[0]
        if key == "sodium":
            if unit not in ("g", "mg"):
                raise LabelError(f"say whether the sodium is in g or in mg: '{line.strip()}'")
            figures.setdefault("sodium_mg", value * 1000 if unit == "g" else value)
        else:
            figures.setdefault(key, value / 1000 if unit == "mg" else value)
        return


def _number(text: str) -> float:
    thousands = re.fullmatch(r"\d{1,3}(?:,\d{3})+", text) and not text.startswith("0")
    return float(text.replace(",", "" if thousands else "."))
