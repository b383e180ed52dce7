"""A recipe as it will stand on a page: every word chosen, nothing laid out yet.

Markdown, the page, print, the spreadsheet and the plain text all start from a
``Sheet``, so that they never disagree. What was dictated beside the recipe
(the cook's words, asides, claims of others) stays at home.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import PurePath

from hobnote.nutrition.frying import is_uptake
from hobnote.nutrition.tables import nutrients
from hobnote.nutrition.totals import row_counts
from hobnote.publishing import figures
from hobnote.publishing.measures import Density, grams_text, kitchen_text, put_in, table_density
from hobnote.publishing.method import details
from hobnote.publishing.options import DEFAULT, Options, Units
from hobnote.publishing.tables import tree
from hobnote.record import Bounds, Component, Flag, Ingredient, Record, Step

SHOWN = (
    "energy_kcal",
    "energy_kj",
    "protein_g",
    "fat_g",
    "saturates_g",
    "carbohydrate_g",
    "sugars_g",
    "fibre_g",
    "salt_g",
)


@dataclass(frozen=True, slots=True)
class Line:
    """One ingredient. ``marks`` are numbers of open questions; ``note`` says when it is used."""

    name: str
    details: str
    grams: str | None
    kitchen: str | None
    amount: str
    marks: tuple[int, ...] = ()
    note: str = ""
    effect: str = ""
    row: Ingredient = field(default_factory=lambda: Ingredient(name=""))

    @property
    def counted(self) -> bool:
        """Whether it is counted ("2 large"), so that the count belongs beside the grams."""
        return self.row.amount.unit in (None, "piece") and self.row.amount.basis != "unsaid"

    @property
    def words(self) -> str:
        """ "tahini, stirred"."""
        return f"{self.name}, {self.details}" if self.details else self.name

    @property
    def text(self) -> str:
        """ "30 g (2 tbsp) tahini, stirred"; "salt, amount not said" where nothing is known."""
        return f"{self.amount} {self.words}" if self.amount else f"{self.words}, amount not said"


@dataclass(frozen=True, slots=True)
class PartOfDish:
    """The ingredients of one part; ``note`` says whether it is optional or one of a choice."""

    name: str
    note: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Doing:
    """One step; ``at`` is the second of the recording where it is spoken of."""

    number: int
    component: str
    text: str
    details: tuple[str, ...]
    at: float | None
    step: Step

    @property
    def words(self) -> str:
        """ "Simmer the barley (low heat; 25–30 min)"."""
        return f"{self.text} ({'; '.join(self.details)})" if self.details else self.text


@dataclass(frozen=True, slots=True)
class Fact:
    """One nutrient: a portion, the whole dish and 100 g, as printed."""

    key: str
    name: str
    unit: str
    portion: str
    total: str
    per_100g: str


@dataclass(frozen=True, slots=True)
class Asked:
    """An open question with what settling it would change."""

    number: int
    question: str
    effect: str
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything that a page shows, in the order in which it shows it."""

    title: str
    portions: str | None
    units: Units
    parts: tuple[PartOfDish, ...]
    extras: tuple[Line, ...]
    steps: tuple[Doing, ...]
    facts: tuple[Fact, ...]
    missing: tuple[str, ...]
    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    questions: tuple[Asked, ...]
    notes: tuple[str, ...]

    @property
    def status(self) -> str | None:
        """ "Draft: 2 open questions", None where all is settled."""
        count = len(self.questions)
        if not count:
            return None
        return "Draft: 1 open question" if count == 1 else f"Draft: {count} open questions"


UNTITLED = "Untitled recipe"


def sheet(record: Record, options: Options = DEFAULT, density: Density = table_density) -> Sheet:
    """What a page of ``record`` says. Raises OpenQuestions for an unsettled one if so asked."""
    options.admit(record)
    asked = {flag.id: place for place, flag in enumerate(record.flags, start=1)}
    lines = _Lines(options.units, asked, density, record.measures or "us")
    facts = tuple(_facts(record))
    return Sheet(
        title=_title(record),
        portions=portions_text(record.portions),
        units=options.units,
        parts=tuple(_parts(record, lines)),
        extras=tuple(_extras(record, lines)),
        steps=tuple(_steps(record)),
        facts=facts,
        missing=tuple(record.nutrition.missing),
        contains=tuple(_allergens(record, "contains")),
        may_contain=tuple(_allergens(record, "may contain")),
        cautions=tuple((caution.text, caution.source) for caution in record.cautions),
        questions=tuple(
            Asked(place, flag.question, effect(flag), tuple(_options(flag)))
            for place, flag in enumerate(record.flags, start=1)
        ),
        notes=tuple(_notes(record, options.units, bool(facts))),
    )


def _title(record: Record) -> str:
    title = (record.title or "").strip()
    return title[:1].upper() + title[1:] if title else UNTITLED


def slug(title: str) -> str:
    """A file name's stem for ``title``."""
    words = "".join(c if c.isalnum() else "-" for c in title.casefold())
    return PurePath("-".join(part for part in words.split("-") if part)[:60] or "recipe").name


def portions_text(portions: Bounds | None) -> str | None:
    """ "4 portions", "5 (4–6) portions", None where nobody said."""
    if portions is None:
        return None
    text = figures.bounds(portions)
    return f"{text} {'portion' if text == '1' else 'portions'}"


@dataclass(frozen=True, slots=True)
class _Lines:
    units: Units
    asked: dict[str, int]
    density: Density
    measures: str

    def of(self, row: Ingredient, note: str = "") -> Line:
        details = [*([row.state] if row.state else []), *row.preparation]
        whole = put_in(row, self.density, self.measures)
        shown = row if whole is None else row.model_copy(update={"grams": whole})
        grams = grams_text(shown.grams, row.amount)
        kitchen = kitchen_text(shown, self.density, self.measures)
        if whole is not None:
            details.append(f"about {grams_text(row.grams)} of it eaten")
        elif is_uptake(row):
            details.append(f"to fry in; about {grams} eaten")
            grams, kitchen = None, row.amount.said or "enough"
        energy = row.nutrition.get("energy_kcal")
        return Line(
            name=row.name,
            details=", ".join(details),
            grams=grams,
            kitchen=kitchen,
            amount=self._amount(grams, kitchen, row),
            marks=tuple(sorted({self.asked[flag] for flag in row.flags if flag in self.asked})),
            note=note,
            effect="" if energy is None else figures.bounds(energy, unit="kcal"),
            row=row,
        )

    def _amount(self, grams: str | None, kitchen: str | None, row: Ingredient) -> str:
        counted = row.amount.unit in (None, "piece") and row.amount.basis != "unsaid"
        if self.units == "cups":
            return kitchen or grams or ""
        if grams is None:
            return kitchen or _as_said(row)
        if kitchen and (self.units == "both" or counted):
            return f"{grams} / {kitchen}" if "(" in grams else f"{grams} ({kitchen})"
        return grams


def _as_said(row: Ingredient) -> str:
    return "" if row.amount.best is None else figures.amount(row.amount)


def _parts(record: Record, lines: _Lines) -> Iterator[PartOfDish]:
    for part in record.components:
        own = tuple(lines.of(row) for row in part.ingredients if row_counts(row))
        if own:
            yield PartOfDish(part.name, part_note(part), own)


def part_note(part: Component) -> str:
    """ "choose one for the dressing; optional"."""
    return "; ".join(
        [
            *([f"choose one for the {part.choice}"] if part.choice else []),
            *(["optional"] if part.optional else []),
        ]
    )


def _extras(record: Record, lines: _Lines) -> Iterator[Line]:
    for part in record.components:
        for row in part.ingredients:
            if row_counts(row):
                continue
            notes = [
                f"instead of {row.swap_for}" if row.swap_for else "if you like",
                *([row.condition] if row.condition else []),
                *([f"for the {part.name}"] if part.name != "main" else []),
            ]
            yield lines.of(row, "; ".join(notes))


def _steps(record: Record) -> Iterator[Doing]:
    for step in record.steps:
        at = next((heard.at for heard in step.heard if heard.at is not None), None)
        yield Doing(step.number, step.component, step.text, tuple(details(step)), at, step)


def _facts(record: Record) -> Iterator[Fact]:
    found, known = record.nutrition, nutrients()
    columns = (found.per_portion or {}, found.total, found.per_100g or {})
    for key in SHOWN:
        if not any(key in values for values in columns):
            continue
        name, unit = (known[key].name, known[key].unit) if key in known else key.rsplit("_", 1)
        texts = [figures.bounds(values.get(key)) for values in columns]
        yield Fact(key, name, unit, *texts)


def _allergens(record: Record, certainty: str) -> Iterator[str]:
    for found in record.allergens:
        if found.certainty == certainty:
            why = f" ({', '.join(found.ingredients)})" if found.ingredients else ""
            yield found.name + why


def effect(flag: Flag) -> str:
    """What settling a question would change: "72–220 kcal", or sodium; else nothing."""
    energy, sodium = flag.effect_kcal, flag.effect_sodium_mg
    if energy is not None and energy.high >= 1:
        return f"{figures.span(energy.low, energy.high)} kcal"
    if sodium is not None and sodium.high >= 1:
        return f"{figures.span(sodium.low, sodium.high)} mg sodium"
    return ""


def _options(flag: Flag) -> Sequence[str]:
    return flag.options or ([flag.suggestion] if flag.suggestion else [])


def _notes(record: Record, units: Units, facts: bool) -> Iterator[str]:
    said = tree("words")
    if units in ("g", "both"):
        yield said["grams"]
    if units in ("cups", "both"):
        yield said["cups"]
    yield said["range"]
    if facts:
        yield said["calculated"]
    if record.nutrition.missing:
        names = ", ".join(record.nutrition.missing)
        yield f"Not in the nutrition figures: {names}. The true totals are higher."
