"""The corpus itself: every gold file is sound, and the training notes cover what they must."""

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from hobnote.record import Record
from hobnote.scoring import Note, load_folder, score_notes
from hobnote.scoring.check import check_folder

CORPUS = Path(__file__).parents[2] / "corpus"
FOLDERS = sorted({path.parent for path in CORPUS.rglob("*.gold.json")})


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda f: f.name)
def test_every_gold_file_is_sound(folder: Path) -> None:
    assert check_folder(folder) == []


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda f: f.name)
def test_a_record_that_says_what_the_gold_says_has_no_miss(
    folder: Path, perfect: Callable[[Note], Record]
) -> None:
    """Gold that the scorer itself cannot tell apart would make every score unsure."""
    for note in load_folder(folder):
        record = perfect(note)
        assert score_notes([note], lambda _, record=record: record).misses == []


def test_each_point_has_many_training_notes() -> None:
    notes = load_folder(CORPUS / "train")
    points = Counter(point for note in notes for point in set(note.gold.covers))
    assert all(points[point] >= 8 for point in range(1, 10)), points
    kinds = Counter(note.gold.kind for note in notes)
    assert all(kinds[kind] >= 2 for kind in ("plain", "lines", "timed", "webvtt", "subrip")), kinds
