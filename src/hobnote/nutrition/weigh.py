"""The room's door: ``weigh`` turns a tallied record into one with figures and questions.

Pure: the record goes in, a new one comes out; the pantry is only read.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hobnote.nutrition import words
from hobnote.nutrition.allergens import allergens
from hobnote.nutrition.bounds import add, divide, exact
from hobnote.nutrition.cautions import cautions
from hobnote.nutrition.drafts import Draft, number
from hobnote.nutrition.frying import count_what_is_eaten, instead
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.likely import likely_totals
from hobnote.nutrition.retention import note, take_off
from hobnote.nutrition.row_flags import misheard, row_flags
from hobnote.nutrition.scores import scores
from hobnote.nutrition.stated_figures import figure_flags, judge_figures
from hobnote.nutrition.step_flags import most_portions, portions_flag, step_flags
from hobnote.nutrition.step_index import StepIndex
from hobnote.nutrition.tables import rule
from hobnote.nutrition.totals import blocking, chosen, counted_rows, row_counts, sums
from hobnote.nutrition.weighing import Row, weigh_row
from hobnote.nutrition.worded_claims import judge_words
from hobnote.nutrition.yields import finished_weight
from hobnote.record import Bounds, Component, Ingredient, Nutrition, Record

# Made by the marks, so kept when a record is weighed again; every other kind is made here.
KEPT_KINDS = ("mis-heard word",)


def weigh(record: Record, pantry: Larder) -> Record:
    """A copy of ``record`` with foods, grams, nutrition, verdicts, allergens, cautions and flags.

    Weighing a weighed record again gives the same record. Rows with
    ``swap_for``, optional rows and parts, and all but the first of a choice stay
    out of the totals. Whatever was not said is a range with a flag or is named
    in ``nutrition.missing``; nothing is taken as zero.
    """
    weighed = weigh_rows(record, pantry)
    return conclude(rebuilt(record, weighed), weighed, pantry)


def weigh_rows(record: Record, pantry: Larder) -> list[list[Row]]:
    """Every row weighed, one list a component; swaps last, as they may borrow a weight."""
    portions = record.portions.best if record.portions else None
    found: dict[int, Row] = {}
    plain: dict[tuple[int, str], Row] = {}
    counted = chosen(record.components)
    steps = StepIndex(record.steps)
    soaked = [step for step in record.steps if step.verb == "soak"]
    for swaps in (False, True):
        for place, component in enumerate(record.components):
            for said in component.ingredients:
                if (said.swap_for is not None) is not swaps:
                    continue
                replaced = _replaced(said, place, plain) if swaps else None
                instead_of = replaced.ingredient if replaced else None
                row = weigh_row(said, pantry, portions, instead_of, soaked)
                row.component = component.name
                row.counts = counted[place] and row_counts(row.ingredient)
                found[id(said)] = row
                if replaced is not None:
                    instead(row, replaced)
                    take_off(row, steps, pantry, replaced)
                elif not swaps:
                    plain.setdefault((place, said.name), row)
        if not swaps:
            count_what_is_eaten(record, list(found.values()), pantry)
            for row in found.values():
                take_off(row, steps, pantry)
    return [[found[id(said)] for said in part.ingredients] for part in record.components]


def _replaced(said: Ingredient, place: int, plain: dict[tuple[int, str], Row]) -> Row | None:
    """The row that a swap stands for: in its own part of the dish first, else anywhere."""
    if said.swap_for is None:
        return None
    own = plain.get((place, said.swap_for))
    return own or next((row for (_, name), row in plain.items() if name == said.swap_for), None)


def rebuilt(record: Record, weighed: Sequence[Sequence[Row]]) -> Record:
    """The record with its weighed rows in place."""
    components = [
        Component(
            name=component.name,
            choice=component.choice,
            optional=component.optional,
            ingredients=[row.ingredient for row in rows],
        )
        for component, rows in zip(record.components, weighed, strict=True)
    ]
    return record.model_copy(update={"components": components})


def conclude(record: Record, weighed: Sequence[Sequence[Row]], pantry: Larder) -> Record:
    """Everything that follows from weighed rows: sums, scores, verdicts, lists and flags."""
    rows = [row for part in weighed for row in part]
    counted = counted_rows(record)
    found = sums(record)
    nutrition = found.nutrition
    nutrition.likely = likely_totals(counted, found.gaps)
    # What follows is judged on the sums; a speck of an unknown herb does not stand in the way.
    judged = nutrition.model_copy(update={"missing": blocking(counted, pantry)})
    nutrition.scores = scores(judged, rows, record.portions)
    if (finish := finished_weight(rows, record, pantry)) is not None:
        grams, used = finish
        nutrition.scores["finished_weight"] = {
            "method": "EuroFIR weight yields; evaporation of liquids not estimated",
            "grams": grams.model_dump(),
            "yields": {name: factor.model_dump() for name, factor in used.items()},
        }
    if (kept := note(rows, record, pantry)) is not None:
        nutrition.scores["vitamin_retention"] = kept
    claims = judge_figures(record, judged)
    drafts = [misheard(f, rows, pantry) for f in record.flags if f.kind in KEPT_KINDS]
    most = most_portions(record, nutrition)
    for row in rows:
        drafts.extend(row_flags(row, pantry, record, most))
    drafts.extend(step_flags(record, rows, pantry))
    drafts.extend(portions_flag(record, nutrition))
    drafts.extend(figure_flags(claims))
    flags = number(drafts)
    nutrition.summary = summary(record, nutrition, drafts, counted)
    return record.model_copy(
        update={
            "nutrition": nutrition,
            "claims": claims,
            "stated": judge_words(record.stated, judged, record.portions),
            "allergens": allergens(rows, pantry),
            "cautions": cautions(record, rows, pantry),
            "flags": flags,
        }
    )


def summary(
    record: Record,
    nutrition: Nutrition,
    drafts: Sequence[Draft],
    counted: Sequence[Ingredient],
) -> str | None:
    """What the energy is and what the next answers would do to it, in one sentence."""
    energy = nutrition.total.get("energy_kcal")
    if energy is None:
        return None
    settled = list(_settled(drafts, counted))
    after = add(
        exact(row.nutrition["energy_kcal"].best)
        if any(row is other for other in settled)
        else row.nutrition["energy_kcal"]
        for row in counted
        if "energy_kcal" in row.nutrition
    )
    per = "a portion" if nutrition.per_portion else "for the whole dish"
    now, then = (_share(figure, record.portions) for figure in (energy, after))
    gap = f" (not counting {', '.join(nutrition.missing)})" if nutrition.missing else ""
    if not settled or words.kcal(now) == words.kcal(then):
        return f"{words.kcal(now)} {per}{gap}."
    count = ("One answer", "Two answers", "Three answers")
    first = count[len(settled) - 1] if len(settled) <= len(count) else f"{len(settled)} answers"
    return f"{first} would bring {words.kcal(now)} {per} down to {words.kcal(then)}{gap}."


def _settled(drafts: Sequence[Draft], counted: Sequence[Ingredient]) -> Iterator[Ingredient]:
    """The rows that the dearest few answers would close, those in the totals only."""
    left = int(rule("summary_answers"))
    ordered = sorted(drafts, key=lambda d: tuple(-x for x in d.weight()))
    seen: list[Ingredient] = []
    for draft in ordered:
        row = draft.row
        if not draft.settles or row is None or any(row is s for s in seen):
            continue
        if left and any(row is c for c in counted) and draft.weight()[0] > 0:
            seen.append(row)
            left -= 1
            yield row


def _share(figure: Bounds, portions: Bounds | None) -> Bounds:
    return divide(figure, portions) if portions and portions.low > 0 else figure
