"""Frames that change rows and the dish: swap, drop, rename, copy an amount, title, portions."""

from __future__ import annotations

import re

from hobnote.asking.context import Context
from hobnote.asking.frames import Frame
from hobnote.asking.outcomes import Making, Outcome, change
from hobnote.asking.settling import FOODS
from hobnote.following import events as ev
from hobnote.following.state import RowState, related
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    HEAT,
    PORTIONS,
    TEMPERATURE,
    TIME,
    VESSEL,
    AmountValue,
    FoodValue,
)

_AND = re.compile(r"\s*(?:,|;|\band\b|\bor\b|&)\s*", re.IGNORECASE)
_LONGEST_TITLE = 12
_HOLDERS = frozenset({"tin", "can", "jar", "tub", "packet", "pack", "bag", "bottle"})
_MOST_PORTIONS = 100_000


def title(frame: Frame, context: Context) -> Outcome | None:
    """ "call it harbour porridge"; "call it 100" is an amount and not taken."""
    words = " ".join(frame.slots["title"].split()).lower().removeprefix("the ").strip(" '\"“”")
    if not any(c.isalpha() for c in words) or len(words.split()) > _LONGEST_TITLE:
        return None
    for doc, _, mark in context.marks(words, AMOUNT):
        if mark.start == 0 and mark.end == len(doc):
            return None
    return change(ev.Titled(title=words, heard=context.heard()))


def portions(frame: Frame, context: Context) -> Outcome | None:
    """ "make it serve four"; a bare number only when portions were asked for."""
    asked = context.asked is not None and context.asked.kind == "missing portions"
    if frame.value == "bare" and not (asked and counts_eaters(context)):
        return None
    if frame.value == "one":
        one = AmountValue(low=1, best=1, high=1)
        return portioned(context, one) if asked else None
    value = count_of(context, frame.slots["count"])
    return None if value is None else portioned(context, value)


def counts_eaters(context: Context) -> bool:
    """Whether the message's number may count portions: nothing is timed, heated or held in it."""
    for _, _, mark in context.marks(context.text, TIME, TEMPERATURE, HEAT, VESSEL, ACTION, AMOUNT):
        value = mark.value
        if mark.label == ACTION:
            if value.kind in ("cook", "prep", "hold", "heat", "add"):
                return False
        elif mark.label != AMOUNT or value.content is not None or value.noun in _HOLDERS:
            return False
    return True


def portioned(context: Context, value: AmountValue) -> Outcome | None:
    """The dish serves ``value``."""
    if not 0 < value.low <= value.high <= _MOST_PORTIONS:
        return None
    return change(
        ev.Portioned(low=value.low, best=value.best, high=value.high, heard=context.heard())
    )


def count_of(context: Context, text: str) -> AmountValue | None:
    """The bare number or range that ``text`` is; None when it is anything else."""
    if context.foods(text):
        return None
    found = [m.value for _, _, m in context.marks(text, AMOUNT, PORTIONS)]
    found = [v for v in found if isinstance(v, AmountValue) and v.vague is None]
    if found:
        if any(v.unit not in (None, "piece") for v in found):
            return None
        low, high = min(v.low for v in found), max(v.high for v in found)
        return AmountValue(low=low, best=(low + high) / 2, high=high)
    number = context.number(text)
    return None if number is None else AmountValue(low=number, best=number, high=number)


def swap(frame: Frame, context: Context) -> Outcome | None:
    """ "swap the kefir for buttermilk": the row is buttermilk from now on, in the same amount."""
    if frame.value == "split":
        return _split(frame.slots["both"], context)
    old, new = frame.slots["old"], frame.slots["new"]
    if context.holds_amount(old) or context.holds_amount(new):
        return None
    rows = context.rows_named(old, near=context.asked_row)
    if not rows and frame.value == "verb" and context.rows_named(new):
        old, new = new, old  # "swap buttermilk for the kefir" where only kefir is in
        rows = context.rows_named(old)
    if len(rows) != 1:
        return None
    food = context.new_food(new, known=frame.value != "verb")
    return None if food is None else renamed(rows[0], food, context)


def _split(both: str, context: Context) -> Outcome | None:
    """ "make the kefir buttermilk": where the old name ends is found by trying."""
    words = both.split()
    if context.holds_amount(both):
        return None
    for cut in range(1, len(words)):
        rows = context.rows_named(" ".join(words[:cut]), near=context.asked_row)
        food = context.new_food(" ".join(words[cut:]), known=True)
        if len(rows) == 1 and food is not None:
            return renamed(rows[0], food, context)
    return None


def renamed(row: RowState, food: FoodValue, context: Context) -> Outcome | None:
    """``row`` becomes ``food``; a swap that was on offer takes its place, with its own amount."""
    settled = [
        ev.Settled(flag=q.kind, key=row.key)
        for q in context.questions
        if q.key == row.key and q.kind == "mis-heard word"
    ]
    if food.name == row.name and food.state is None:
        return change(*settled) if settled else None
    making = Making()
    heard = context.heard()
    for other in context.known.rows.values():
        if other.swap_for and other.name == food.name and related_or_same(other.swap_for, row.name):
            making.events.append(ev.Dropped(key=other.key, heard=heard))
            if other.measured and other.amount != row.amount:
                making.events.append(ev.Measured(key=row.key, amount=other.amount, heard=heard))
    making.events.append(
        ev.Described(
            key=row.key,
            name=food.name,
            state=food.state,
            preparation=food.preparation,
            heard=heard,
        )
    )
    making.events += settled
    return making.done()


def related_or_same(a: str, b: str) -> bool:
    """Whether two names are one or may stand for each other."""
    return a == b or related(a, b)


def drop(frame: Frame, context: Context) -> Outcome | None:
    """ "drop the raisins": every food named must be in the dish, else nothing is done."""
    gone = frame.slots.get("gone", "")
    if context.holds_amount(gone):
        return None
    making = Making()
    for name in filter(None, _AND.split(gone)):
        rows = context.rows_named(name, near=context.asked_row)
        if len(rows) != 1 or len(context.foods(name)) > 1:
            return None
        making.events.append(ev.Dropped(key=rows[0].key, heard=context.heard()))
    return making.done() if making.events else None


def called(frame: Frame, context: Context) -> Outcome | None:
    """ "it was thyme": the name of the row that is asked about, or of the one mis-heard as it."""
    name = frame.slots["name"]
    if context.holds_amount(name):
        return None
    question = context.asked if context.asked and context.asked.kind in FOODS else None
    food = None if frame.value == "one" else context.new_food(name, known=True)
    if food is None and question is None:
        return None
    words = " ".join(name.casefold().split())
    if frame.value == "said":
        for other in context.questions:
            if other.kind == "mis-heard word" and _means(other.suggestion, food, words):
                question = other
                break
    if question is None or question.key is None:
        return None
    row = context.row(question.key)
    if row is None:
        return None
    food = food or _completed(name, row, context)
    if food is None:
        return None
    described = ev.Described(
        key=row.key,
        name=food.name,
        state=food.state,
        preparation=food.preparation,
        heard=context.heard(),
    )
    return change(described, ev.Settled(flag=question.kind, key=row.key))


def _means(suggestion: str | None, food: FoodValue | None, words: str) -> bool:
    return suggestion is not None and suggestion in (words, food.name if food else None)


def _completed(name: str, row: RowState, context: Context) -> FoodValue | None:
    """ "sunflower", asked which oil: sunflower oil."""
    food = context.new_food(f"{name} {row.name}", known=True)
    return food if food is not None and food.name != row.name else None


def same(frame: Frame, context: Context) -> Outcome | None:
    """ "same as the dressing": the asked row's amount is that of another row, or a share of it."""
    row = context.asked_row
    if row is None:
        return None
    other = _reference(frame.slots["ref"], row, context)
    if other is None or not other.measured:
        return None
    factor, heard = float(frame.value), context.heard()
    if other.amount.basis == "vague":
        copied = ev.Measured(key=row.key, amount=other.amount, heard=heard)
        return change(copied, *settle_asked(context))
    said = context.text.strip()
    return change(
        ev.Related(key=row.key, to=other.key, factor=factor, said=said, heard=heard),
        *settle_asked(context),
    )


def _reference(text: str, row: RowState, context: Context) -> RowState | None:
    """The row that an amount is taken from: a food's, or this food's in another part or pan."""
    small = ("the", "in", "for", "one", "what")
    part = " ".join(w for w in text.casefold().split() if w not in small)
    twins = [
        r
        for r in context.known.rows.values()
        if r is not row and related_or_same(r.name, row.name) and not r.swap_for
    ]
    here = [r for r in twins if r.component == part]
    if here:
        return here[0]
    found = [r for r in context.rows_named(text) if r is not row]
    if len(found) == 1:
        return found[0]
    if part.split()[:1] == ["other"] or part in _vessels(context):
        measured = [r for r in twins if r.measured]
        return measured[0] if len(measured) == 1 else None
    return None


def _vessels(context: Context) -> set[str]:
    return {step.vessel for step in context.record.steps if step.vessel}


def settle_asked(context: Context) -> list[ev.Settled]:
    """The question on the table is closed, whatever else follows."""
    if context.asked is None:
        return []
    return [ev.Settled(flag=context.asked.kind, key=context.asked.key)]
