"""Answers to the question on the table: picked, confirmed, refused, skipped, or a figure."""

from __future__ import annotations

import re

from hobnote.asking import edits
from hobnote.asking.context import Context
from hobnote.asking.edits import count_of, counts_eaters, portioned, settle_asked
from hobnote.asking.figures import asked_amount, said_amounts
from hobnote.asking.frames import Frame
from hobnote.asking.heat import asked_heat
from hobnote.asking.outcomes import Outcome, change, look, unclear
from hobnote.asking.questions import LETTERS, Question
from hobnote.asking.refusals import words
from hobnote.asking.settling import AMOUNTS, FOODS
from hobnote.following import events as ev
from hobnote.following.state import RowState, related
from hobnote.marking.marks import FoodValue

_HEATS = ("missing temperature", "low temperature")
_THE_ONE = re.compile(r"(?:the|that) (.+) (?:one|option|answer|choice)", re.IGNORECASE)
_CONFIRMED = ("unsure food", "unlikely amount", "low temperature")


def skip(frame: Frame, context: Context) -> Outcome | None:
    """Skipped, or not known: the question is not asked again; the range stays."""
    if context.asked is None:
        return look("There is no question open.")
    return change(*settle_asked(context))


def none(frame: Frame, context: Context) -> Outcome | None:
    """ "none": what was asked about is not in the dish."""
    row = context.asked_row
    if row is None or context.asked is None or context.asked.kind not in AMOUNTS | FOODS:
        return None
    return change(ev.Dropped(key=row.key, heard=context.heard()))


def yes(frame: Frame, context: Context) -> Outcome | None:
    """Confirms what the question supposes."""
    question = context.asked
    if question is None:
        return None
    if question.kind == "mis-heard word":
        return _word(question, question.suggestion, context)
    if question.kind in _CONFIRMED:
        return change(*settle_asked(context), lines=("Good; it stays so.",))
    return unclear("That needs more than a yes.", *_again(question))


def no(frame: Frame, context: Context) -> Outcome | None:
    """Refuses what the question supposes."""
    question = context.asked
    if question is None:
        return None
    if question.kind == "mis-heard word":
        return _heard_right(question, context)
    if question.kind in AMOUNTS:
        return unclear(f"How much {question.ingredient} was it, then?", *_choices(question))
    if question.kind in FOODS:
        return unclear("What was it, then?", *_choices(question))
    return unclear("That needs more than a no.", *_again(question))


def _heard_right(question: Question, context: Context) -> Outcome:
    """The word was heard rightly: a food is named by it, anything else was no ingredient."""
    row, word = context.row(question.key), question.heard_word or ""
    settled = settle_asked(context)
    if row is None:
        return change(*settled)
    match = context.pantry.match(word)
    if match.food is None or match.score < context.pantry.ASK_BELOW:
        return change(ev.Dropped(key=row.key, heard=context.heard()), *settled)
    return change(ev.Described(key=row.key, name=word, heard=context.heard()), *settled)


def _word(question: Question, name: str | None, context: Context) -> Outcome:
    row, settled = context.row(question.key), settle_asked(context)
    if row is None or name is None or row.name == name:
        return change(*settled, lines=(f"Right: {name}.",) if name else ())
    return change(ev.Described(key=row.key, name=name, heard=context.heard()), *settled)


def pick(frame: Frame, context: Context) -> Outcome | None:
    """One of the options, by its place."""
    question = context.asked
    if question is None:
        return look("There is no question open.")
    count = len(question.options)
    if not count:
        return unclear("There is nothing to choose from here.", *_again(question))
    place = _place(frame.value, count)
    if place is None:
        return unclear(f"There are only {count} to choose from.", *_again(question))
    return take_option(place, context)


def _place(value: str, count: int) -> int | None:
    if value == "middle":
        return count // 2 if count % 2 else None
    place = int(value)
    if place < 0:
        return count + place
    return place - 1 if place <= count else None


def take_option(place: int, context: Context) -> Outcome | None:
    """The option at ``place`` (from 0) of the question on the table; None if there is none."""
    question = context.asked
    if question is None or not 0 <= place < len(question.options):
        return None
    option = question.options[place]
    if question.kind == "claim differs":
        return _claim(question, place, context)
    if question.kind == "mis-heard word":
        if option == question.heard_word:
            return _heard_right(question, context)
        return _word(question, option, context)
    if question.kind in FOODS:
        return _food(question, option, context)
    if question.kind == "missing portions":
        value = count_of(context, option)
        found = None if value is None else portioned(context, value)
    elif question.kind in _HEATS:
        found = asked_heat(context, option)
    else:
        found = asked_amount(context, option) or none(Frame("none", "", {}), context)
    if found is None or found.does != "change":
        return None
    return change(*found.events, *settle_asked(context))


def _food(question: Question, option: str, context: Context) -> Outcome:
    row = context.row(question.key)
    if row is None or option in (question.suggestion, row.name):
        return change(*settle_asked(context))
    food = context.new_food(option) or FoodValue(name=option.lower())
    described = ev.Described(
        key=row.key, name=food.name, state=food.state, heard=context.heard()
    )
    return change(described, *settle_asked(context))


def _claim(question: Question, place: int, context: Context) -> Outcome:
    """The stated figure stands (0), or it is taken back (1)."""
    events: list[ev.Event] = []
    if place > 0:
        events = [
            ev.Unclaimed(nutrient=c.nutrient, scope=c.scope, heard=context.heard())
            for c in context.record.claims
            if question.key == f"claim {c.nutrient} {c.scope}"
        ]
    return change(*events, *settle_asked(context))


def called(frame: Frame, context: Context) -> Outcome | None:
    """A food for the question on the table, or for the row that was mis-heard as it."""
    if context.asked is not None and context.asked.kind in FOODS:
        name = frame.slots["name"].removeprefix("the ").removeprefix("The ")
        place = _named_option(context.asked, name)
        if place is not None:
            return take_option(place, context)
    return edits.called(frame, context)


_KINDLY = frozenset({"be", "is", "was", "were", "'s", "use", "used", "had", "have", "think", "put",
                     "bought", "took", "said", "meant", "say", "believe", "guess"})  # fmt: skip
"""Verbs that may stand about the kind of a food."""


def named_kind(context: Context) -> Outcome | None:
    """ "double cream", while something else is asked: the open question that it answers."""
    found = [(doc, m) for doc, _, m in context.food_marks(None)]
    if len(found) != 1 or said_amounts(context, context.text):
        return None
    doc, mark = found[0]
    on_table = context.asked is not None and context.asked.kind == "generic food"
    on_table = on_table and _kind_of(mark.value.name, context.asked_row)
    others = [t for t in doc if t.i < mark.start or (t.i >= mark.end and not on_table)]
    if any(t.tag_[:2] in ("NN", "JJ", "CD") for t in others):
        return None
    if any(t.tag_[:2] == "VB" and t.lower_ not in _KINDLY for t in others):
        return None
    name = mark.value.name
    asked = [
        q for q in context.questions
        if q.kind == "generic food" and q.key and _kind_of(name, context.row(q.key))
    ]  # fmt: skip
    if len(asked) != 1:
        return None
    question = asked[0]
    described = ev.Described(
        key=question.key or "", name=name, state=mark.value.state, heard=context.heard()
    )
    return change(described, ev.Settled(flag=question.kind, key=question.key))


def _kind_of(name: str, row: RowState | None) -> bool:
    return row is not None and name.endswith(" " + row.name) and related(name, row.name)


def figure(context: Context) -> Outcome | None:
    """A figure (or an option in so many words) for the question on the table."""
    question = context.asked
    if question is None:
        return None
    place = None if context.holds_amount(context.text) else _named_option(question, context.text)
    if place is not None:
        return take_option(place, context)
    if question.kind == "missing portions":
        value = count_of(context, context.text) if counts_eaters(context) else None
        return None if value is None else portioned(context, value)
    if question.kind in _HEATS:
        found = asked_heat(context, context.text)
    elif question.kind in FOODS and not context.foods(context.text):
        return _servings(context)  # an amount is no answer to which food it was
    elif question.kind in AMOUNTS | FOODS:
        inner = _THE_ONE.fullmatch(context.text.strip(" .!"))
        found = asked_amount(context, inner[1] if inner else context.text)
    else:
        return None
    if found is None or found.does != "change":
        return found
    settles = settle_asked(context) if question.kind not in FOODS else []
    return change(*found.events, *settles)


def _servings(context: Context) -> Outcome | None:
    """ "ten slices": what the dish comes in, where no amount is asked for."""
    found = said_amounts(context, context.text)
    named = len(found) == 1 and found[0][1].value.noun in words("divides") - {"piece"}
    if not named or not counts_eaters(context):
        return None
    value = found[0][1].value
    return portioned(context, value)


def _named_option(question: Question, typed: str) -> int | None:
    """The option that was typed out, or the one option that holds all words typed."""
    if question.kind in AMOUNTS or question.kind in _HEATS:
        return None
    text = " ".join(typed.casefold().replace("-", " ").strip(" .!?").split())
    plain = [option.casefold().replace("-", " ") for option in question.options]
    if text in plain:
        return plain.index(text)
    typed_words = set(text.split())
    if question.kind not in FOODS or not typed_words:
        return None
    held = [set(option.replace(",", "").split()) for option in plain]
    fits = [n for n, option in enumerate(held) if typed_words <= option]
    return fits[0] if len(fits) == 1 else None


def _choices(question: Question) -> list[str]:
    return ["  ".join(f"{LETTERS[n]}) {o}" for n, o in enumerate(question.options))]


def _again(question: Question) -> list[str]:
    return [question.text, *_choices(question)]
