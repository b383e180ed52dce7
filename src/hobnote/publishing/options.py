"""What a reader may choose about an export."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from hobnote.publishing.errors import settled
from hobnote.record import Record

Units = Literal["g", "cups", "both"]
UNITS: tuple[str, ...] = get_args(Units)


@dataclass(frozen=True, slots=True)
class Options:
    """``units``: grams, US cups and spoons, or both. ``settled_only`` refuses open questions.

    ``video`` is the address of the video that the note was spoken over; steps
    then become clips of it. ``page`` is the address where the recipe will stand.
    """

    units: Units = "both"
    settled_only: bool = False
    video: str | None = None
    page: str | None = None

    def admit(self, record: Record) -> Record:
        """``record``; raises OpenQuestions where only settled ones are wanted."""
        return settled(record) if self.settled_only else record


DEFAULT = Options()
