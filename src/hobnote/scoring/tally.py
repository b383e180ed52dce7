"""Counting what was right, what was missed and what was made up."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

METRICS = (
    "ingredients",
    "amounts",
    "grams",
    "swaps",
    "optional",
    "components",
    "steps",
    "minutes",
    "heat",
    "temperatures",
    "claims",
    "kept out",
    "aside spans",
    "vague",
    "missing",
    "mis-hearings",
    "portions",
    "energy",
    "read",
)

MissKind = Literal["missed", "wrong", "made up"]


@dataclass(frozen=True, slots=True)
class Miss:
    """One thing that was not right: what the gold wants, what came, and the words."""

    metric: str
    note: str
    kind: MissKind
    want: str
    got: str
    words: str


@dataclass(slots=True)
class Tally:
    """Counts of one metric; precision, recall and F1 are None where nothing was counted.

    ``possible`` things were wanted, ``actual`` ones came, ``right`` agree.
    With ``shares`` the metric has no precision of its own (a share of right ones).
    """

    right: int = 0
    possible: int = 0
    actual: int = 0
    shares: bool = False

    @property
    def precision(self) -> float | None:
        if self.shares:
            return None
        return self.right / self.actual if self.actual else None

    @property
    def recall(self) -> float | None:
        return self.right / self.possible if self.possible else None

    @property
    def f1(self) -> float | None:
        if self.shares:
            return self.recall
        both = self.actual + self.possible
        return 2 * self.right / both if both else None

    def add(self, other: Tally) -> None:
        """Take in the counts of another note."""
        self.right += other.right
        self.possible += other.possible
        self.actual += other.actual


@dataclass(slots=True)
class Sheet:
    """The tallies and misses of one note."""

    note: str
    tallies: dict[str, Tally] = field(default_factory=dict)
    misses: list[Miss] = field(default_factory=list)

    def tally(self, metric: str) -> Tally:
        return self.tallies.setdefault(metric, Tally())

    def right(self, metric: str, count: int = 1) -> None:
        """``count`` wanted things came and agree."""
        tally = self.tally(metric)
        tally.right += count
        tally.possible += count
        tally.actual += count

    def missed(self, metric: str, want: str, words: str) -> None:
        """A wanted thing did not come."""
        self.tally(metric).possible += 1
        self.misses.append(Miss(metric, self.note, "missed", want, "", words))

    def made_up(self, metric: str, got: str, words: str) -> None:
        """A thing came that was not wanted."""
        self.tally(metric).actual += 1
        self.misses.append(Miss(metric, self.note, "made up", "", got, words))

    def wrong(self, metric: str, want: str, got: str, words: str) -> None:
        """A wanted thing came and disagrees."""
        tally = self.tally(metric)
        tally.possible += 1
        tally.actual += 1
        self.misses.append(Miss(metric, self.note, "wrong", want, got, words))

    def share(self, metric: str, holds: bool, want: str, got: str, words: str) -> None:
        """One of a share: it holds or it does not; precision has no meaning here."""
        tally = self.tallies.setdefault(metric, Tally(shares=True))
        tally.possible += 1
        tally.right += holds
        if not holds:
            self.misses.append(Miss(metric, self.note, "wrong", want, got, words))
