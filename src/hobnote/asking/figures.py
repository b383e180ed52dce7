"""Amounts in a message: for the row that is asked about, or for rows that it names.

The marking reads the amounts and the follower's own conversion makes them the
record's; here is only decided which row they belong to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from spacy.tokens import Doc

from hobnote.asking.context import Context
from hobnote.asking.outcomes import Outcome, change, unclear
from hobnote.asking.refusals import standing, words
from hobnote.asking.views import asked_lines
from hobnote.following import events as ev
from hobnote.following.amounts import dimension, is_exact
from hobnote.following.clauses import utterances
from hobnote.following.moods import moods
from hobnote.following.pairing import pair
from hobnote.following.quantities import MOST_COUNTED, amount_of
from hobnote.following.state import RowState, related
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    CLAIM,
    CUE,
    FOOD,
    HEAT,
    PORTIONS,
    RELATIVE,
    TEMPERATURE,
    TIME,
    VESSEL,
    AmountValue,
    FoodValue,
    Mark,
    RelativeValue,
    marks,
)
from hobnote.record import Amount

_DOING = frozenset({"add", "cook", "prep", "hold", "serve", "heat"})
_LEAST_GRAMS = 5
"""A bare number from this on was read off a scale; below it a unit is asked for."""
_LONGEST_UNIT = 3
"""Words of an answer that may be a unit alone."""
LOOSE = frozenset({"some", "little", "bit", "lots", "plenty", "enough", "few", "touch"})
"""Vague words that put no exact amount right ("however much tahini there was")."""
_METRIC = frozenset({"g", "kg", "ml", "l"})
_NEXT_TO = 2
"""Words that may stand between a vessel and what it held ("a big mug, about 300 ml")."""
_SOURCE = frozenset({"from"})
"""Before an amount: what the food was made of ("stock from a cube")."""
_AROUND_BARE = frozenset(
    {"be", "is", "was", "were", "think", "guess", "say", "used", "use", "suppose", "reckon", "it",
     "i", "we", "'s", "'d", "would", "must", "have", "been", "make", "call", "maybe", "there"}
)  # fmt: skip
"""Verbs that may stand about a bare number that is an answer ("I think it was 12")."""


def asked_amount(context: Context, text: str) -> Outcome | None:
    """The amount in ``text`` for the row that the question on the table is about."""
    row = context.asked_row
    if row is None:
        return None
    found = said_amounts(context, text)
    if not found and len(text.split()) <= _LONGEST_UNIT:  # "scant teaspoon": one of it
        found = [f for f in said_amounts(context, f"a {text}") if f[1].start == 0]
    if context.marks(text, TIME, TEMPERATURE):
        return None
    if not _only_about(context, text, row):
        return None
    if not found:
        return _related(context, text, row)
    if _does(context, text) or words("errands") & set(text.casefold().split()):
        return None
    if any(m.value.noun == "piece" for _, m in found) and not context.foods(text):
        return None  # "ten pieces" may be what the dish is cut into
    if not _told(found[0][0]) or any(_stray(doc, m) for doc, m in found):
        return None
    other = _by_noun(context, found[-1][1].value, row)
    if other is not None:
        row = other
    doc = found[0][0]
    said = standing(doc, [m for d, m in found if d is doc])
    return _set(context, row, doc, said, text)


def _does(context: Context, text: str) -> bool:
    """Whether ``text`` has something done ("then slice it"), rather than tells an amount."""
    for doc, _, mark in context.marks(text, ACTION):
        kind, form = mark.value.kind, mark.value.form
        if mark.start and doc[mark.start - 1].lower_ == "to":
            continue  # "enough to coat the pan"
        if kind in ("cook", "hold", "serve", "heat") or (kind == "prep" and form == "base"):
            return True
    return False


def said_amounts(context: Context, text: str) -> list[tuple[Doc, Mark]]:
    """The amounts of ``text`` that are of a food: no bare article, nor "from a cube"."""
    found = [(doc, m) for doc, _, m in context.marks(text, AMOUNT) if not m.value.article]
    return [(doc, m) for doc, m in found if m.start == 0 or doc[m.start - 1].lower_ not in _SOURCE]


def _told(doc: Doc) -> bool:
    """Whether any of it is about the dish, not a story."""
    return any("recipe" in moods(clauses) for clauses in utterances(doc))


def _stray(doc: Doc, mark: Mark) -> bool:
    """A number among words that speak of something else ("training is at six").

    With a unit, it is the subject that tells: "the boat weighs 96 kilos".
    """
    if other_subject(doc, mark):
        return True
    if mark.value.unit is not None or mark.value.vague is not None:
        return False
    own = {i for m in marks(doc, AMOUNT, FOOD) for i in range(m.start, m.end)}
    return any(
        t.tag_[:2] in ("NN", "VB", "JJ") and t.lower_ not in _AROUND_BARE
        for t in doc
        if t.i not in own
    )


def other_subject(doc: Doc, mark: Mark) -> bool:
    """Whether the figure is said of a thing that is neither a food nor a word for an amount."""
    own = {i for m in marks(doc, AMOUNT, FOOD, VESSEL, HEAT) for i in range(m.start, m.end)}
    before = [t for t in doc[: mark.start] if t.i not in own]
    verb = next((t for t in before if t.tag_ in ("VBZ", "VBD", "VBP")), None)
    if verb is None:
        return False
    nouns = [t for t in before if t.i < verb.i and t.tag_[:2] == "NN"]
    return bool(nouns) and nouns[-1].lower_ not in words("speaks of amounts")


def _only_about(context: Context, text: str, row: RowState) -> bool:
    """Whether every food in ``text`` is the row's own, under any of its names."""
    for doc, _, mark in context.food_marks(text):
        name = mark.value.name
        if not mark.value.known and doc[max(0, mark.start - 1)].lower_ != "of":
            continue  # a noun that no kitchen knows ("max"), not what the amount is of
        if name != row.name and not related(name, row.name):
            return False
        said = doc[mark.start : mark.end].text
        if any(r is not row for r in context.rows_named(said, near=row, within=text)):
            return False
    return True


def _related(context: Context, text: str, row: RowState) -> Outcome | None:
    """ "half that", "half as much": against the amount said last before."""
    for doc, _, mark in context.marks(text, RELATIVE):
        value: RelativeValue = mark.value
        if value.of_rest:
            continue
        named = context.rows_named(value.reference) if value.reference else []
        named = [r for r in named if r is not row]
        if len(named) != 1:
            continue
        said = doc[mark.start : mark.end].text
        return change(
            ev.Related(
                key=row.key, to=named[0].key, factor=value.factor, said=said,
                heard=context.heard(),
            )
        )  # fmt: skip
    return None


def _set(
    context: Context, row: RowState, doc: Doc, said: Sequence[Mark], text: str
) -> Outcome | None:
    """Events that set the row's amount to what was said, a second measure beside the first."""
    said = _estimated(doc, said)
    first = _amount(context, row, said[0].value, doc[said[0].start : said[0].end].text)
    if first is None:
        return None
    if isinstance(first, Outcome):
        return first
    heard = context.heard()
    if first.best == 0:
        return change(ev.Dropped(key=row.key, heard=heard))
    how = "add" if said[0].value.more and row.measured else "set"
    events: list[ev.Event] = [
        ev.Measured(key=row.key, amount=first, how="add" if how == "add" else "set", heard=heard)
    ]
    for mark in said[1:]:
        second = _amount(context, row, mark.value, doc[mark.start : mark.end].text)
        if isinstance(second, Amount) and is_exact(second):
            if dimension(second) != dimension(first):
                events.append(
                    ev.Measured(key=row.key, amount=second, how="also", heard=heard)
                )
            break
    named = context.foods(text)
    if named:  # saying the food with its amount confirms that it was heard rightly
        events += [
            ev.Settled(flag=q.kind, key=row.key)
            for q in context.questions
            if q.key == row.key and q.kind == "mis-heard word"
        ]
    fuller = [f for f in named if _fuller(f, row)]
    if fuller:
        events.insert(
            1,
            ev.Described(key=row.key, name=fuller[0].name, state=fuller[0].state, heard=heard),
        )
    return change(*events)


def _estimated(doc: Doc, said: Sequence[Mark]) -> Sequence[Mark]:
    """ "a small cup, say 200 ml": the figure tells what the vessel held, and counts alone."""
    for first, second in pairwise(said):
        a, b = first.value, second.value
        between = doc[first.end : second.start]
        reckoned = any(m.value == "total" and first.end <= m.start < second.start
                       for m in marks(doc, CUE))  # fmt: skip
        reckoned = reckoned or (bool(a.size) and len(between) <= _NEXT_TO)
        if reckoned and a.unit not in _METRIC and b.unit in _METRIC and not b.more:
            return [m for m in said if m is not first]
    return said


def _fuller(food: FoodValue, row: RowState) -> bool:
    return len(food.name.split()) > len(row.name.split()) and related(food.name, row.name)


def _amount(
    context: Context, row: RowState, value: AmountValue, said: str
) -> Amount | Outcome | None:
    """The record's amount; a bare number takes the row's own unit, or counts what is countable."""
    bare = value.unit is None and value.vague is None
    if not bare:
        return amount_of(value, said, weighing=True)
    weighed = row.amount.unit == "piece" and value.best > MOST_COUNTED  # "the onion weighed 140"
    if is_exact(row.amount) and row.amount.basis not in ("energy", "relative") and not weighed:
        return row.amount.model_copy(
            update={"low": value.low, "best": value.best, "high": value.high, "said": said}
        )
    if value.best == 0:
        return Amount(low=0, best=0, high=0, unit="g", basis="weighed", said=said)
    counts = countable(context, row) and not weighed
    if counts or value.best >= _LEAST_GRAMS:
        counted = replace(value, unit="piece" if counts else "g")
        return amount_of(counted, said, weighing=True)
    return unclear(
        f"{said.strip().capitalize()} of what: grams, millilitres, teaspoons, tablespoons?"
    )


def countable(context: Context, row: RowState) -> bool:
    """Whether the pantry knows what one piece of the food weighs."""
    piece = Amount(low=1, best=1, high=1, unit="piece", basis="counted")
    food = context.pantry.match(row.name).food
    return food is not None and context.pantry.grams(food, row.name, piece) is not None


def _by_noun(context: Context, value: AmountValue, row: RowState | None) -> RowState | None:
    """ "three cloves": the one row that is counted in cloves, when the asked one is not."""
    if value.noun is None or (row is not None and row.amount.noun == value.noun):
        return None
    rows = [r for r in context.known.rows.values() if r.amount.noun == value.noun]
    return rows[0] if len(rows) == 1 else None


def assigned(context: Context) -> Outcome | None:
    """ "the butter was 60 g", "tahini: 40g", "make it three cloves": rows that are there already.

    None when the message does something, names a food that is not in the dish,
    or adds to what is there: the follower reads it then.
    """
    events: list[ev.Event] = []
    for doc, _ in context.docs():
        found = marks(doc)
        if any(m.label == ACTION and m.value.kind in _DOING for m in found):
            return None
        amounts = [m for d, m in said_amounts(context, context.text) if d is doc]
        if not amounts or any(m.value.more or m.value.each for m in amounts):
            return None
        if any(m.label in (TIME, TEMPERATURE, RELATIVE) for m in found):
            return None
        outcome = _one(context, doc, found, amounts)
        if outcome is None or outcome.does != "change":
            return outcome
        events += outcome.events
    return change(*events) if events else None


def stray(context: Context) -> Outcome | None:
    """ "two tablespoons", out of the blue: of what? The follower would find something to fit."""
    if context.continues or context.foods(context.text):
        return None
    said: list[str] = []
    for doc, _ in context.docs():
        found = marks(doc)
        if any(m.label in (ACTION, TIME, TEMPERATURE, RELATIVE, PORTIONS, CLAIM) for m in found):
            return None
        amounts = [m for m in found if m.label == AMOUNT and not m.value.article]
        if any(m.value.more for m in amounts):
            return None
        said += [doc[m.start : m.end].text for m in amounts]
    if not said:
        return None
    asked = asked_lines(context.asked) if context.asked else ()
    return unclear(
        f"{said[0][:1].upper()}{said[0][1:]} of what? Say it with the food; nothing was changed.",
        *asked,
    )


def _one(
    context: Context, doc: Doc, found: Sequence[Mark], amounts: Sequence[Mark]
) -> Outcome | None:
    foods = [m for d, _, m in context.food_marks(None) if d is doc]
    corrected = any(m.label == CUE and m.value in ("correction", "total") for m in found)
    if not foods:
        row = _unnamed(context, doc, amounts, corrected)
        if row is None:
            return None
        return _set(context, row, doc, standing(doc, amounts), "")
    held = standing(doc, amounts)
    events: list[ev.Event] = []
    pairs = {p.food: p.amount for p in pair(doc, [*foods, *held])}
    for food in foods:
        text = ("the " if food.value.definite else "") + doc[food.start : food.end].text
        rows = context.rows_named(text, near=context.asked_row, within=doc.text)
        rows = rows or [r for r in context.known.rows.values() if r.name == food.value.name]
        rows = rows or (context.headed(food.value.name) if corrected or refuses(context) else [])
        if len(rows) != 1:
            return None
        said = pairs.get(food) or (held[0] if len(foods) == len(held) == 1 else None)
        if said is None or (said.value.vague in LOOSE and is_exact(rows[0].amount)):
            return None
        outcome = _set(context, rows[0], doc, [said], "")
        if outcome is None or outcome.does != "change":
            return outcome
        events += outcome.events
    return change(*events)


def refuses(context: Context) -> bool:
    """Whether the message begins by refusing what stands ("no, 280 grams of rice")."""
    return context.text.casefold().split()[0].strip(",") in ("no", "nope", "sorry", "actually")


def _unnamed(
    context: Context, doc: Doc, amounts: Sequence[Mark], corrected: bool
) -> RowState | None:
    """The row that an amount without a food is about: by its noun, else what was just set."""
    row = _by_noun(context, standing(doc, amounts)[0].value, None)
    if row is not None:
        return row
    own = {i for m in amounts for i in range(m.start, m.end)}
    left = [t for t in doc if t.i not in own and t.tag_[:2] in ("NN", "JJ", "VB")]
    named = context.every_row(" ".join(t.text for t in left)) if 0 < len(left) <= 2 else []
    if len(named) == 1:
        return named[0]
    just = [e for e in context.last if isinstance(e, ev.Measured | ev.Related)]
    return context.row(just[-1].key) if just and corrected and context.answered else None
