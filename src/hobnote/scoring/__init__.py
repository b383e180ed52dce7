"""How right a reading is: notes with gold records, compared field by field.

The gold format is described in ``corpus/README.md``.
"""

from hobnote.scoring.gold import Gold, GoldError, Note, load_folder, load_note
from hobnote.scoring.score import Scores, score_folder, score_notes

__all__ = [
    "Gold",
    "GoldError",
    "Note",
    "Scores",
    "load_folder",
    "load_note",
    "score_folder",
    "score_notes",
]
