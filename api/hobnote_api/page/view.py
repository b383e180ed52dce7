"""What the review page shows, chosen and worded; the templates only lay it out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

from hobnote.asking.conversation import Conversation
from hobnote.asking.questions import Question
from hobnote.asking.versions import at, differences
from hobnote.asking.views import amount_words
from hobnote.keeping import standing
from hobnote.nutrition.totals import chosen, row_counts
from hobnote.nutrition.whatif import Change, what_if
from hobnote.publishing import figures
from hobnote.publishing.measures import grams_text
from hobnote.publishing.method import details
from hobnote.publishing.sheet import part_note, portions_text
from hobnote.record import Heard, Ingredient, Range, Record, Step
from hobnote_api.kitchen import Kitchen
from hobnote_api.page.charts import (
    Bar,
    Figure,
    PartFigure,
    Swap,
    by_part,
    claim_line,
    facts,
    swap_of,
)
from hobnote_api.page.said import Telling, anchors, element, tellings

_LOG = 40
"""Most turns that the page shows of the conversation."""
_FIRST = ("energy_kcal", "protein_g", "fat_g", "carbohydrate_g", "salt_g")


@dataclass(frozen=True, slots=True)
class Ways:
    """Where a row or step can go: the key to stand before, "" for the end, None for nowhere."""

    earlier: str | None = None
    later: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One ingredient. ``asked`` is the element of the open question about it."""

    key: str
    id: str
    name: str
    details: str
    grams: str
    said: str
    amount: str
    energy: str
    bar: Bar | None
    note: str
    asked: str | None
    spoken: bool
    component: str
    optional: bool
    at: str | None
    ways: Ways


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the dish."""

    name: str
    note: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Doing:
    """One step."""

    key: str
    id: str
    number: int
    text: str
    facts: tuple[str, ...]
    component: str
    at: str | None
    step: Step
    ways: Ways


@dataclass(frozen=True, slots=True)
class Said:
    """A turn of the conversation and what it was answered."""

    version: int
    who: str
    at: datetime
    text: str
    kind: str
    undone: bool
    answered: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a form was not taken, with what was typed and what changed meanwhile."""

    text: str
    typed: str = ""
    changes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Review:
    """The page of one recipe."""

    id: int
    version: int
    title: str
    portions: str | None
    record: Record
    tellings: list[Telling]
    parts: list[Part]
    extras: list[Row]
    steps: list[Doing]
    figures: list[Figure]
    per: str
    part_figures: list[PartFigure]
    claims: list[str]
    swaps: list[Swap]
    asked: list[Question]
    minor: list[Question]
    log: list[Said]
    earlier: int
    undoable: bool
    redoable: bool
    elements: dict[str, str]
    since: int | None = None
    changes: list[str] = field(default_factory=list)
    trouble: Trouble | None = None

    @property
    def headline(self) -> list[Figure]:
        """The figures that are looked for first."""
        return [one for one in self.figures if one.key in _FIRST]

    @property
    def part_names(self) -> list[str]:
        """For the form that moves an ingredient."""
        return [part.name for part in self.record.components]


def review(
    kitchen: Kitchen,
    talk: Conversation,
    *,
    since: int | None = None,
    trouble: Trouble | None = None,
) -> Review:
    """The page of ``talk``; ``since`` asks what changed after that version."""
    record = talk.record
    pantry = kitchen.pantry(record.measures or "us")
    words = tellings(talk)
    shown = anchors(words)
    questions = sorted(talk.questions, key=lambda q: not q.matters)
    asked = {q.key: f"q{n}" for n, q in reversed(list(enumerate(questions, 1))) if q.key}
    rows = list(_rows(talk, shown, asked))
    turns = talk.turns
    title = (record.title or "").strip()
    known = since is not None and 1 <= since <= talk.version
    return Review(
        id=talk.id,
        version=talk.version,
        title=title[:1].upper() + title[1:] if title else "Untitled dish",
        portions=portions_text(record.portions),
        record=record,
        tellings=words,
        parts=list(_parts(record, rows)),
        extras=[row for row, counts in rows if not counts],
        steps=list(_steps(talk, shown)),
        figures=list(facts(record)),
        per="a portion" if record.nutrition.per_portion else "the whole dish",
        part_figures=list(by_part(record)),
        claims=[claim_line(claim) for claim in record.claims],
        swaps=kitchen.worked_out(
            ("swaps", talk.id, talk.version),
            lambda: [
                swap_of(change, key_at(talk, change)) for change in what_if(record, pantry)
            ],
        ),
        asked=[q for q in questions if q.matters],
        minor=[q for q in questions if not q.matters],
        log=list(_log(talk)),
        earlier=max(0, len(turns) - _LOG),
        undoable=len(talk.standing) > 1,
        redoable=talk.redoable,
        elements={key: element("i", key) for key in talk.rows}
        | {key: element("s", key) for key in talk.steps},
        since=since if known else None,
        changes=differences(at(talk, since), talk) if known and since is not None else [],
        trouble=trouble,
    )


def key_at(talk: Conversation, change: Change) -> str | None:
    """The key of the row that a swap or an extra would put in."""
    if change.row is None:
        return None
    row = talk.record.components[change.component].ingredients[change.row]
    return next(key for key, one in talk.rows.items() if one is row)


def clock(seconds: float | None) -> str | None:
    """ "1:07", "1:02:09"."""
    if seconds is None:
        return None
    minutes, rest = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def worth(question: Question) -> str:
    """What settling a question would pin down."""
    if "kcal" in question.text or "sodium" in question.text:
        return ""  # the question says so itself
    energy, sodium = question.effect_kcal, question.effect_sodium_mg
    if energy is not None and energy.high >= 1:
        return f"{_range(energy)} kcal"
    if sodium is not None and sodium.high >= 1:
        return f"{_range(sodium)} mg sodium"
    return ""


def _range(value: Range) -> str:
    return figures.span(value.low, value.high)


# -- ingredients and method ---------------------------------------------------------


def _rows(
    talk: Conversation, shown: frozenset[str], asked: dict[str, str]
) -> Iterator[tuple[Row, bool]]:
    record = talk.record
    taken = chosen(record.components)
    parts = {
        id(row): (part, counts)
        for part, counts in zip(record.components, taken, strict=True)
        for row in part.ingredients
    }
    energies = [r.nutrition["energy_kcal"].high for r in talk.rows.values() if _energy(r)]
    most = max(energies, default=0.0)
    order: dict[tuple[str, bool], list[str]] = {}
    for key, row in talk.rows.items():
        order.setdefault((parts[id(row)][0].name, row_counts(row)), []).append(key)
    ways = {key: way for keys in order.values() for key, way in _ways(keys).items()}
    for key, row in talk.rows.items():
        part, _ = parts[id(row)]
        energy = row.nutrition.get("energy_kcal")
        grams = grams_text(row.grams, row.amount) or ""
        said = "" if row.amount.best is None else figures.amount(row.amount)
        yield (
            Row(
                key=key,
                id=element("i", key),
                name=row.name,
                details=", ".join([*([row.state] if row.state else []), *row.preparation]),
                grams=grams or said or "not said",
                said=_said_beside(said, grams),
                amount="" if row.amount.best is None else amount_words(row.amount),
                energy=figures.bounds(energy, unit="kcal") if energy else "",
                bar=Bar.of(energy, most) if energy and energy.high > 0 else None,
                note=_note(row),
                asked=asked.get(key),
                spoken=element("i", key) in shown,
                component=part.name,
                optional=row.optional,
                at=clock(_moment(row.heard)) if element("i", key) in shown else None,
                ways=ways[key],
            ),
            row_counts(row),
        )


def _ways(keys: list[str]) -> dict[str, Ways]:
    last = len(keys) - 1
    return {
        key: Ways(
            earlier=keys[n - 1] if n else None,
            later=None if n == last else keys[n + 2] if n + 2 <= last else "",
        )
        for n, key in enumerate(keys)
    }


def _moment(heard: list[Heard]) -> float | None:
    return next((one.at for one in heard if one.at is not None), None)


def _said_beside(said: str, grams: str) -> str:
    """The amount as it was said, where it says more than the grams beside it."""
    plain = said.replace(".", "").replace(" ", "").casefold()
    return said if grams and plain not in ("a", "an", grams.replace(" ", "")) else ""


def _energy(row: Ingredient) -> bool:
    return "energy_kcal" in row.nutrition


def _note(row: Ingredient) -> str:
    parts = [
        *([f"instead of {row.swap_for}"] if row.swap_for else []),
        *(["if you like"] if row.optional and not row.swap_for else []),
        *([row.condition] if row.condition else []),
    ]
    return "; ".join(parts)


def _parts(record: Record, rows: list[tuple[Row, bool]]) -> Iterator[Part]:
    for part in record.components:
        own = tuple(row for row, counts in rows if counts and row.component == part.name)
        if own:
            yield Part(part.name, part_note(part), own)


def _steps(talk: Conversation, shown: frozenset[str]) -> Iterator[Doing]:
    ways = _ways(list(talk.steps))
    for key, step in talk.steps.items():
        moment = _moment(step.heard) if element("s", key) in shown else None
        yield Doing(
            key=key,
            id=element("s", key),
            number=step.number,
            text=step.text or step.verb,
            facts=tuple(details(step)),
            component=step.component,
            at=clock(moment),
            step=step,
            ways=ways[key],
        )


# -- the conversation ---------------------------------------------------------------------


def _log(talk: Conversation) -> Iterator[Said]:
    fate = standing(talk.turns).fate
    for turn in talk.turns[-_LOG:]:
        if turn.version == 1:
            continue
        yield Said(
            version=turn.version,
            who=turn.who,
            at=turn.at,
            text=turn.text,
            kind=turn.kind,
            undone=turn.version in fate,
            answered=turn.reply,
        )
