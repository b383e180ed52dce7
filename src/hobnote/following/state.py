"""What the follower remembers while it walks a dictation: rows, topic, part, vessel, heat."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

from hobnote.following import events as ev
from hobnote.following.amounts import added, rank
from hobnote.following.kinds import row_of
from hobnote.marking.marks import FoodValue
from hobnote.marking.tables import rows as data_rows
from hobnote.reading.dictation import Dictation
from hobnote.record import Amount, Heard, Unit


@dataclass(slots=True, eq=False)
class RowState:
    """One ingredient row as far as it is known."""

    key: str
    name: str
    component: str
    amount: Amount = field(default_factory=Amount)
    swap_for: str | None = None
    optional: bool = False
    utterance: int = 0
    alive: bool = True

    @property
    def measured(self) -> bool:
        """Whether any amount was said, vague ones included."""
        return self.amount.basis != "unsaid"


@dataclass(slots=True)
class StepState:
    """The latest step, open to refinement by what is said next."""

    key: str
    verb: str
    kind: str
    utterance: int
    ingredients: list[str] = field(default_factory=list)
    timed: bool = False
    heated: bool = False
    tempered: bool = False
    cored: bool = False
    vessel: str | None = None
    said_time: str = ""


@dataclass(slots=True)
class State:
    """Discourse state; ``emit`` is the only way that events leave the follower."""

    dictation: Dictation
    prefix: str = ""
    events: list[ev.Event] = field(default_factory=list)
    rows: list[RowState] = field(default_factory=list)
    topic: RowState | None = None
    component: str = "main"
    vessel: str | None = None
    oven: bool = False
    steps: list[StepState] = field(default_factory=list)
    pending_heat: str | None = None
    alongside: str | None = None
    portions: float | None = None
    expected: float | None = None
    """How many eaters the whole note tells of, also where it says so only later."""
    weighing: bool = False
    volume_unit: Unit | None = None
    utterance: int = 0
    last_measured: RowState | None = None
    recent: list[RowState] = field(default_factory=list)
    gathered: list[RowState] = field(default_factory=list)
    asked: FoodValue | None = None
    asked_at: int = 0
    announced: list[tuple[FoodValue, tuple[Heard, ...]]] = field(default_factory=list)
    aside_before: bool = False
    doubted: RowState | None = None
    """The row whose last amount was said as somebody else's, or as what it usually is."""
    lacking: RowState | None = None
    counter: int = 0

    @property
    def eaters(self) -> float | None:
        """For how many the dish is: as said so far, or as the note says later."""
        return self.portions or self.expected

    def key(self, kind: str) -> str:
        """A fresh key; ``prefix`` keeps keys of later messages apart from earlier ones."""
        self.counter += 1
        return f"{self.prefix}{kind}{self.counter}"

    def heard(self, base: int, start: int, end: int) -> tuple[Heard, ...]:
        """Heard spans for characters ``start`` to ``end`` of the Doc that begins at ``base``."""
        return tuple(self.dictation.locate(base + start, base + end))

    def emit(self, event: ev.Event) -> None:
        """Append an event."""
        self.events.append(event)

    def measure(self, row: RowState, amount: Amount, how: str, heard: tuple[Heard, ...]) -> None:
        """Emit an amount for ``row`` and remember what it comes to."""
        if how == "add":
            self.emit(ev.Measured(key=row.key, amount=amount, how="add", heard=heard))
            row.amount = added(row.amount, amount) or row.amount
        elif how == "also":
            self.emit(ev.Measured(key=row.key, amount=amount, how="also", heard=heard))
            if rank(amount) > rank(row.amount):
                row.amount = amount
        else:
            self.emit(ev.Measured(key=row.key, amount=amount, how="set", heard=heard))
            row.amount = amount
        self.touch(row)
        self.last_measured = row

    def touch(self, row: RowState) -> None:
        """Make ``row`` the topic."""
        self.topic = row
        if row in self.recent:
            self.recent.remove(row)
        self.recent.append(row)

    def living(self) -> list[RowState]:
        """Rows that were not dropped."""
        return [r for r in self.rows if r.alive]

    def find(
        self,
        food: FoodValue,
        component: str,
        measured: bool,
        amount: Amount | None = None,
        more: bool = False,
    ) -> RowState | None:
        """The row that ``food`` speaks of, or None when it is a new one.

        The same name in the same part of the dish is the same row. Without an
        amount of its own, a mention may reach other parts, and a shorter,
        longer or collective name may stand for a row. With an amount, only a
        related row that has none yet, or the same one, or that gets ``more``.
        """
        living = list(reversed(self.living()))
        here = [r for r in living if r.component == component]
        for row in here:
            if row.name == food.name:
                return row
        if not measured:
            for row in living:
                if row.name == food.name:
                    return row
        for pool in (here, living) if not measured else (here,):
            for row in pool:
                if not measured and not food.definite and self._fuller(food, row):
                    continue
                free = not measured or not row.measured or more or _restated(row, amount)
                if free and related(food.name, row.name):
                    return row
        row_id = row_of(food.name) if not measured and food.name != "ice" else None
        if row_id is not None:  # "spuds" after "potatoes", "dried plums" after "prunes"
            for row in living:
                if not row.swap_for and row_of(row.name) == row_id:
                    return row
        if food.definite and not measured:  # "the vinegar", where there is but rice vinegar
            close = [r for r in living if r.name.endswith(f" {food.name}") and not r.swap_for]
            if len(close) == 1:
                return close[0]
        if food.definite and measured:
            close = [r for r in here if related(food.name, r.name)]
            if len(close) == 1:
                return close[0]
        return None

    def _fuller(self, food: FoodValue, row: RowState) -> bool:
        """A longer name long after a shorter one is another food, unless it is "the" …"""
        longer = len(food.name.split()) > len(row.name.split())
        return longer and self.utterance - row.utterance > 2


def _restated(row: RowState, amount: Amount | None) -> bool:
    return amount is not None and (row.amount.best, row.amount.unit) == (amount.best, amount.unit)


def related(a: str, b: str) -> bool:
    """Whether one name is the other with fewer words, or a collective word for it."""
    ta, tb = a.split(), b.split()
    if len(ta) != len(tb):
        short, long = (ta, tb) if len(ta) < len(tb) else (tb, ta)
        if long[-len(short) :] == short:
            return " ".join(long) not in _distinct()
        if len(short) == 1 and long[0] == short[0] and long[-1] in _cuts():
            return True
    return _stands_for(a, b) or _stands_for(b, a)


def _stands_for(word: str, name: str) -> bool:
    parts = _generics().get(word)
    return parts is not None and any(p == name or name.endswith(" " + p) for p in parts)


@cache
def _generics() -> dict[str, frozenset[str]]:
    return {
        word: frozenset(row["stands_for"].split("|"))
        for row in data_rows("generics.csv")
        for word in row["word"].split("|")
    }


@cache
def _distinct() -> frozenset[str]:
    return frozenset(r["name"] for r in data_rows("distinct.csv") if r["kind"] == "name")


@cache
def _cuts() -> frozenset[str]:
    return frozenset(r["name"] for r in data_rows("distinct.csv") if r["kind"] == "cut")
