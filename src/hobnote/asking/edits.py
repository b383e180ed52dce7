"""Frames that change rows and the dish: swap, drop, rename, copy an amount, title, portions."""

from __future__ import annotations

import re

from hobnote.asking.context import Context, plain_words
from hobnote.asking.figures import other_subject
from hobnote.asking.frames import Frame
from hobnote.asking.outcomes import Making, Outcome, change, look, unclear
from hobnote.asking.refusals import refused, words
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
    marks,
)

_AND = re.compile(r"\s*(?:,|;|\band\b|\bor\b|&)\s*", re.IGNORECASE)
_POLITE = re.compile(
    r"(?:[ ,]+(?:please|pls|thanks|thank you|then|instead|from now on|ok|okay|yeah|mate))+$"
)
_OF_COOKING = (TIME, TEMPERATURE, HEAT, VESSEL, ACTION, AMOUNT)
_LONGEST_TITLE = 12
_MOST_PORTIONS = 100_000


def title(frame: Frame, context: Context) -> Outcome | None:
    """ "call it harbour porridge"; "call it 100" is an amount and not taken."""
    name = " ".join(frame.slots["title"].split()).lower().removeprefix("the ").strip(" '\"“”")
    name = _POLITE.sub("", name).strip(" ,'\"“”")
    if not any(c.isalpha() for c in name) or len(name.split()) > _LONGEST_TITLE:
        return None
    for doc, _, mark in context.marks(name, AMOUNT):
        if mark.start == 0 and mark.end == len(doc):
            return None
    return change(ev.Titled(title=name, heard=context.heard()))


def portions(frame: Frame, context: Context) -> Outcome | None:
    """ "make it serve four"; a bare number only when portions were asked for."""
    asked = context.asked is not None and context.asked.kind == "missing portions"
    if context.text.casefold().split()[0] in ("then", "next", "finally", "after", "once"):
        return None  # "then cut it into twelve squares" is done
    if frame.value == "bare" and not (asked and counts_eaters(context)):
        return None
    if frame.value == "one":
        one = AmountValue(low=1, best=1, high=1)
        return portioned(context, one) if asked else None
    value = count_of(context, frame.slots["count"])
    return None if value is None else portioned(context, value)


def counts_eaters(context: Context) -> bool:
    """Whether the message's number may count portions: nothing is timed, heated or held in it."""
    if _of_other_things(context):
        return False
    for doc, _ in context.docs():
        verbs = {t.lower_ for t in doc if t.tag_ in ("VBD", "VBZ", "VBP", "VBN", "VBG")}
        if verbs - words("eating"):
            return False
    for doc, _, mark in context.marks(context.text, *_OF_COOKING):
        value = mark.value
        if mark.label == VESSEL and any(m.end == mark.start for m in marks(doc, AMOUNT)):
            continue  # "a dozen lunch boxes"
        if mark.label == ACTION:
            if value.kind in ("cook", "prep", "hold", "heat", "add"):
                return False
        elif mark.label != AMOUNT or value.content is not None or not _divides(value):
            return False
    return True


def _of_other_things(context: Context) -> bool:
    """Whether the only number is an article, or is said of something that is no dish."""
    found = context.marks(None, AMOUNT, PORTIONS)
    told = [(doc, m) for doc, _, m in found if m.label == PORTIONS or not m.value.article]
    return any(other_subject(doc, m) for doc, m in told) or (bool(found) and not told)


def _divides(value: AmountValue) -> bool:
    """Whether a count may be of portions: eight, eight bowls; not eight cloves."""
    return value.noun is None or value.noun in words("divides")


def portioned(context: Context, value: AmountValue) -> Outcome | None:
    """The dish serves ``value``."""
    if not 0 < value.low <= value.high <= _MOST_PORTIONS:
        return None
    return change(
        ev.Portioned(low=value.low, best=value.best, high=value.high, heard=context.heard())
    )


def count_of(context: Context, text: str) -> AmountValue | None:
    """The bare number or range that ``text`` is; None when it is anything else.

    "Ten, not twelve" is ten; of "eight plus the cox, so nine" the sum counts.
    """
    text = re.split(r"\b(?:so|makes|that's|that is|equals)\b", text.casefold())[-1].strip() or text
    if context.foods(text) or context.marks(text, TIME, TEMPERATURE):
        return None
    told = context.marks(text, AMOUNT, PORTIONS)
    if told and all(m.label == AMOUNT and m.value.article for _, _, m in told):
        return None
    found = [m.value for doc, _, m in told if not refused(doc, m)]
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
    if not rows and frame.value == "verb" and context.known_food(old):
        return absent(old)
    if len(rows) != 1:
        return None
    food = completed(new, rows[0], context) or context.only_food(
        new, known=frame.value != "verb"
    )
    return None if food is None else renamed(rows[0], food, context)


def offer(frame: Frame, context: Context) -> Outcome | None:
    """ "you could use pecans instead of the raisins": the row stays, with a swap beside it."""
    old, new = frame.slots["old"], frame.slots["new"]
    if context.holds_amount(old) or context.holds_amount(new):
        return None
    rows = context.rows_named(old, near=context.asked_row)
    if not rows and context.known_food(old) and context.known_food(new):
        return absent(old)
    if len(rows) != 1:
        return None
    row = rows[0]
    food = completed(new, row, context) or context.only_food(new, known=True)
    if food is None or food.name == row.name:
        return None
    for other in context.known.rows.values():
        if other.swap_for == row.name and other.name == food.name:
            return look(f"{food.name.capitalize()} stands beside the {row.name} already.")
    return change(
        ev.Named(
            key=f"{context.prefix}r1",
            name=food.name,
            component=row.component,
            state=food.state,
            preparation=food.preparation,
            swap_for=row.name,
            heard=context.heard(),
        )
    )


def absent(name: str) -> Outcome:
    """Says that the recipe has no such food."""
    plain = " ".join(plain_words(name))
    return unclear(f"There is no {plain} in the recipe; nothing was changed.")


def _split(both: str, context: Context) -> Outcome | None:
    """ "make the kefir buttermilk": where the old name ends is found by trying."""
    typed = both.split()
    if context.holds_amount(both):
        return None
    for cut in range(1, len(typed)):
        rows = context.rows_named(" ".join(typed[:cut]), near=context.asked_row)
        food = context.only_food(" ".join(typed[cut:]), known=True)
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
    cut_up = words("cut up") & set(gone.casefold().replace(",", " ").split())
    if context.holds_amount(gone) or (cut_up and "cut" in context.text.casefold().split()):
        return None
    making = Making()
    for name in filter(None, _AND.split(gone)):
        rows = context.rows_named(name, near=context.asked_row)
        if not rows and frame.value != "no" and context.only_food(name, known=True):
            return absent(name)
        if len(rows) != 1 or len(context.foods(name)) > 1 or not context.only_name(name):
            return None
        making.events.append(ev.Dropped(key=rows[0].key, heard=context.heard()))
    return making.done() if making.events else None


def called(frame: Frame, context: Context) -> Outcome | None:
    """ "it was thyme": the name of the row that is asked about, or of the one mis-heard as it."""
    name = frame.slots["name"]
    if context.holds_amount(name):
        return None
    question = context.asked if context.asked and context.asked.kind in FOODS else None
    if frame.value == "bare" and not context.is_name(name):
        return None
    food = None if frame.value == "one" else context.new_food(name, known=True)
    if food is None and question is None:
        return None
    plain = " ".join(name.casefold().split())
    if frame.value == "said":
        for other in context.questions:
            if other.kind == "mis-heard word" and _means(other.suggestion, food, plain):
                question = other
                break
    if question is None or question.key is None:
        return None
    row = context.row(question.key)
    if row is None:
        return None
    food = completed(name, row, context) or food
    if food is not None and not related_or_same(food.name, row.name):
        others = [
            r for r in context.known.rows.values()
            if r is not row and f" {food.name}".endswith(f" {r.name}")
        ]  # fmt: skip
        if others:  # "it was oat milk", while the flour is asked about
            kind = len(others) == 1 and others[0].name != food.name
            return renamed(others[0], food, context) if kind else None
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


def completed(name: str, row: RowState, context: Context) -> FoodValue | None:
    """ "sunflower", said of the oil: sunflower oil, where the pantry has such a food.

    "Chicken", said of the vegetable stock, is chicken stock: another kind of the same.
    """
    plain = " ".join(plain_words(name))
    if not plain or plain == row.name or plain.endswith(" " + row.name):
        return None
    head = row.name.split()[-1]
    if plain.split()[-1] == head:
        return None
    for base in dict.fromkeys((row.name, head)):
        held = context.pantry.vocabulary().get(f"{plain} {base}")
        if held is not None:
            return FoodValue(name=held)
    return None


def restore(frame: Frame, context: Context) -> Outcome | None:
    """ "put the raisins back": a row that was taken out returns as it was."""
    rows = [r for r in context.known.gone if context.answers_to(frame.slots["gone"], r)]
    if len(rows) != 1:
        return None
    key, left = rows[0].key, {ev.Dropped, ev.Settled}
    again = [e for e in context.events if getattr(e, "key", None) == key and type(e) not in left]
    again = [e for e in again if not isinstance(e, ev.Stepped | ev.StepChanged | ev.StepDropped)]
    return change(*again)


def same(frame: Frame, context: Context) -> Outcome | None:
    """ "same as the dressing": the asked row's amount is that of another row, or a share of it."""
    row = context.asked_row
    if "food" in frame.slots:
        rows = context.rows_named(frame.slots["food"], near=row)
        row = rows[0] if len(rows) == 1 else None
    if row is None or context.holds_amount(frame.slots["ref"]):
        return None  # "a quarter of a cup of yoghurt" is an amount of its own
    other = _reference(frame.slots["ref"], row, context)
    if other is None or not other.measured:
        return None
    if other.amount.unit == "piece" and row.amount.unit != "piece":
        return unclear(f"The {other.name} is counted, so I need the {row.name} in figures.")
    settles = settle_asked(context) if context.asked and context.asked.key == row.key else []
    factor, heard = float(frame.value), context.heard()
    if other.amount.basis == "vague":
        copied = ev.Measured(key=row.key, amount=other.amount, heard=heard)
        return change(copied, *settles)
    said = context.text.strip()
    return change(
        ev.Related(key=row.key, to=other.key, factor=factor, said=said, heard=heard),
        *settles,
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
