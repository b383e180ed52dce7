"""What cooks type does what they mean, and nothing else (``data/answers.csv``)."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from hobnote.asking.conversation import Conversation, Reply
from hobnote.asking.settling import settled
from hobnote.following import events as ev
from hobnote.following.resume import known
from hobnote.following.tally import tally

HERE = Path(__file__).parent
MIS_HEARD = {"time": "thyme"}
KINDS = {"amount": "vague amount", "food": "generic food"}
LEAST_RIGHT = 0.9

Dish = Callable[..., list[ev.Event]]
Open = Callable[[list[ev.Event]], Conversation]


def phrases() -> list[dict[str, str]]:
    """The rows of the phrase list."""
    lines = (HERE / "data" / "answers.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if line and not line.startswith("#")))


def shape(events: list[ev.Event]) -> dict[str, object]:
    """Everything that a message may change, by key."""
    record, now = tally(events), known(events)
    places = now.places()
    found: dict[str, object] = {"title": record.title, "portions": record.portions}
    for part in record.components:
        for n, row in enumerate(part.ingredients):
            key, a = places[part.name, n], row.amount
            found[f"{key} amount"] = (a.low, a.best, a.high, a.unit, a.noun, a.basis)
            found[f"{key} name"] = (row.name, row.optional, row.swap_for)
    for key, step in zip(now.steps, record.steps, strict=True):
        found[f"{key} step"] = step.model_dump(exclude={"heard", "number", "ingredients"})
    found["claims"] = [c.model_dump(exclude={"heard"}) for c in record.claims]
    return found


def ready(asked: str, make_dish: Dish, open_events: Open) -> Conversation:
    """A conversation in which ``asked`` is the question on the table."""
    kind, _, name = asked.partition(" ")
    portions = None if kind == "portions" else 2
    events = make_dish(portions=portions, baked=None if kind == "oven" else 180.0)
    talk = open_events(events)
    wanted = {
        "portions": "missing portions", "oven": "missing temperature", "word": "mis-heard word",
        "amount": "vague amount", "food": "generic food",
    }.get(kind)  # fmt: skip
    events += [
        ev.Settled(flag=q.kind, key=q.key)
        for q in talk.questions
        if q.kind != wanted or (name and q.ingredient != name)
        if not (kind == "none" and q.kind in ("vague amount", "mis-heard word"))
    ]
    talk = open_events(events)
    if wanted is not None:
        assert talk.asked is not None and talk.asked.kind == wanted, (asked, talk.questions)
    if kind == "undone":
        talk.say("drop the raisins")
        talk.undo()
    return talk


def judge(row: dict[str, str], make_dish: Dish, open_events: Open) -> tuple[bool, bool, str]:
    """(what was meant happened, something else changed, what came of it)."""
    talk = ready(row["asked"], make_dish, open_events)
    if row["expect"] == "undo":
        talk.say("drop the raisins")
    question = talk.asked
    before_events = talk.events
    before = shape(before_events)
    reply = talk.say(row["said"])
    after = shape(talk.events)
    touched = {k for k in before.keys() | after.keys() if before.get(k) != after.get(k)}
    right, allowed = _expected(row["expect"], talk, reply, before_events, after, question)
    harm = bool(touched - allowed)
    told = f"{sorted(touched)} {reply.changed} {reply.lines}"
    return right and not harm, harm, told


def _key(events: list[ev.Event], name: str) -> str:
    component = "dressing" if name.startswith("dressing ") else "main"
    name = name.removeprefix("dressing ")
    name = MIS_HEARD.get(name, name)
    rows = known(events).rows.values()
    return next(r.key for r in rows if r.name == name and r.component == component)


def _expected(expect, talk, reply: Reply, events, after, question):  # type: ignore[no-untyped-def]
    verb, _, rest = expect.partition(" ")
    if verb == "keep":
        return True, set()
    if verb == "say":
        said = " ".join(reply.lines).casefold()
        return rest.casefold() in said, set()
    if verb in ("undo", "redo"):
        return ("r3 name" in after) is (verb == "undo"), {"r3 name", "r3 amount"}
    if verb == "settle":
        return (question.kind, question.key) in settled(talk.events), set()
    if verb == "drop":
        key = _key(events, rest)
        return f"{key} name" not in after, {f"{key} name", f"{key} amount"}
    if verb == "rename":
        old, new = rest.split(" > ")
        key = _key(events, old)
        closed = old not in MIS_HEARD or ("mis-heard word", key) in settled(talk.events)
        named = after.get(f"{key} name")
        return named is not None and named[0] == new and closed, {f"{key} name"}
    if verb == "portions":
        low, _, high = rest.partition("..")
        p = after["portions"]
        fits = p is not None and (p.low, p.high) == (float(low), float(high or low))
        return fits, {"portions"}
    if verb == "title":
        return after["title"] == rest, {"title"}
    if verb == "oven":
        steps = {k for k in after if k.endswith(" step")}
        return after["s3 step"]["temperature_c"] == float(rest), steps & {"s3 step"}
    if verb == "option":
        return _picked(int(rest), talk, events, after, question)
    if verb == "copy":
        return after["r1 amount"][:4] == after[f"{_key(events, rest)} amount"][:4], {"r1 amount"}
    return _measured(expect, events, after)


def _picked(place, talk, events, after, question):  # type: ignore[no-untyped-def]
    option = question.options[place - 1]
    closed = (question.kind, question.key) in settled(talk.events)
    if question.kind == "missing portions":
        return after["portions"].best == float(option) and closed, {"portions"}
    if question.kind == "mis-heard word":
        return after.get("r8 name", [""])[0] == option and closed, {"r8 name"}
    best = float(option.split()[0])
    return after["r1 amount"][1] == best and closed, {"r1 amount"}


def _measured(expect, events, after):  # type: ignore[no-untyped-def]
    found = re.fullmatch(r"(new )?(.+?) ([\d.]+?)(?:\.\.([\d.]+))? (\w+)", expect)
    assert found, expect
    new, name, low, high, unit = found.groups()
    if new:
        old = {k.split()[0] for k in shape(events)}
        keys = {k.split()[0] for k in after} - old
        rows = [k for k in keys if f"{k} name" in after]
        fits = len(rows) == 1 and after[f"{rows[0]} name"][0].endswith(name.split()[-1])
        allowed = {k for k in after if k.split()[0] in keys}
        # a step that is told alongside may be a new one or more of the last
        key = rows[0] if rows else ""
    else:
        key = _key(events, name)
        # something may be done with it, in a step of its own
        steps = {k for k in after if k.endswith(" step") and k not in shape(events)}
        fits, allowed = True, {f"{key} amount", *steps}
    amount = after.get(f"{key} amount")
    if amount is None:
        return False, allowed
    a_low, _, a_high, a_unit, _, basis = amount
    want = (float(low), float(high or low))
    unit_fits = basis == "energy" if unit == "kcal" else a_unit == unit
    return fits and (a_low, a_high) == want and unit_fits, allowed


def test_answers_do_what_the_cook_meant_and_nothing_else(
    make_dish: Dish, open_events: Open
) -> None:
    right: Counter[str] = Counter()
    total: Counter[str] = Counter()
    wrong: list[str] = []
    harmed: list[str] = []
    for row in phrases():
        good, harm, told = judge(row, make_dish, open_events)
        total[row["kind"]] += 1
        right[row["kind"]] += good
        line = f"{row['kind']} / {row['said']} / {row['expect']}: {told}"
        if not good:
            wrong.append(line)
        if harm:
            harmed.append(line)
    assert not harmed, "\n".join(harmed)
    few = {k: f"{right[k]} of {n}" for k, n in total.items() if right[k] < LEAST_RIGHT * n}
    assert not few, f"{few}\n" + "\n".join(wrong)


def test_every_kind_has_twenty_phrases() -> None:
    counts = Counter(row["kind"] for row in phrases())
    assert min(counts.values()) >= 19 and len(counts) >= 18


@pytest.mark.parametrize("text", ["", "   ", "?!", "\n"])
def test_an_empty_message_changes_nothing(talk: Conversation, text: str) -> None:
    before = talk.record
    talk.say(text)
    assert talk.record == before
