"""Reads phrase lists and judges what a message did to a recipe: what was meant, and what else."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from hobnote.asking.conversation import Conversation, Reply
from hobnote.asking.questions import Question
from hobnote.asking.settling import settled
from hobnote.following import events as ev
from hobnote.following.resume import known
from hobnote.following.tally import tally
from hobnote.keeping.memory import InMemory
from hobnote.keeping.turns import Draft

DATA = Path(__file__).parent / "data"
_STATES = {"amount": "vague amount", "food": "generic food", "word": "mis-heard word",
           "heat": "missing temperature", "portions": "missing portions"}  # fmt: skip
_STEP = re.compile(
    r"(?P<verb>[\w ]+): (?:(?P<low>\d+(?:\.\d+)?)(?:\.\.(?P<high>[\d.]+))? (?P<unit>min|C|core)"
    r"|(?P<heat>[\w-]+) heat)"
)
_AMOUNT = re.compile(r"(?P<low>\d+(?:\.\d+)?)(?:\.\.(?P<high>[\d.]+))? (?P<unit>[\w ]+)")


@dataclass(frozen=True)
class Phrase:
    """One line of a phrase list."""

    kind: str
    note: str
    state: str
    said: str
    wanted: str


@dataclass(frozen=True)
class Verdict:
    """``right``: what was meant happened and nothing else; ``harm``: something else changed."""

    right: bool
    harm: bool
    told: str


def phrases(name: str) -> Iterator[Phrase]:
    """The phrases of a list of ``data``."""
    head = ("", "", "")
    for line in (DATA / name).read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            kind, note, state = (part.strip() for part in line.strip("[]").split("|"))
            head = (kind, note, state)
        elif "=>" in line and not line.startswith("#"):
            said, _, wanted = line.partition(" => ")
            yield Phrase(*head, said.strip(), wanted.strip())


@cache
def _notes() -> dict[str, str]:
    return tomllib.loads((DATA / "galley.toml").read_text(encoding="utf-8"))


@cache
def _opened(note: str, state: str) -> Conversation:
    """The note's conversation with ``state`` on the table; dearer questions are settled."""
    talk = Conversation.start(_notes()[note])
    if state == "first":
        return talk
    asked = [q for q in talk.questions if q.matters]
    if state != "nothing":
        kind, _, name = state.partition(" ")
        place = next(
            n for n, q in enumerate(asked)
            if q.kind == _STATES[kind] and (not name or q.key in _keys(talk.events, name))
        )  # fmt: skip
        asked = asked[:place]
    events = [*talk.events, *(ev.Settled(flag=q.kind, key=q.key) for q in asked)]
    keeper = InMemory()
    recipe = keeper.create(Draft("said", talk.text, tuple(events)))
    talk = Conversation(keeper, recipe, keeper.turns(recipe), measures=talk.measures)
    assert talk.record is not None
    return talk


def _fresh(phrase: Phrase) -> Conversation:
    state, _, message = phrase.state.partition(" ")
    earlier = state in ("after", "undone")
    talk = copy.copy(_opened(phrase.note, "first" if earlier else phrase.state))
    talk.keeper, talk.turns = copy.deepcopy(talk.keeper), list(talk.turns)
    if earlier:
        talk.say(message)
    if state == "undone":
        talk.undo()
    return talk


def shape(events: list[ev.Event]) -> dict[str, object]:
    """Everything that a message may change, by key."""
    record, now = tally(events), known(events)
    places = now.places()
    found: dict[str, object] = {"title": record.title, "portions": record.portions}
    for part in record.components:
        for n, row in enumerate(part.ingredients):
            key, a = places[part.name, n], row.amount
            found[f"{key} amount"] = (a.low, a.high, a.unit, a.noun, a.basis)
            found[f"{key} also"] = row.also
            found[f"{key} name"] = row.name
            found[f"{key} place"] = (part.name, row.optional, row.swap_for, row.condition)
    for key, step in zip(now.steps, record.steps, strict=True):
        found[f"{key} step"] = step.model_dump(exclude={"heard", "number", "ingredients", "text"})
    found["claims"] = [c.model_dump(exclude={"heard"}) for c in record.claims]
    found["stated"] = [c.model_dump(exclude={"heard"}) for c in record.stated]
    return found


def _keys(events: list[ev.Event], name: str) -> list[str]:
    """The rows with this name, as ``PART/NAME`` where a part is told; a mis-heard word's row."""
    part, _, plain = name.rpartition("/")
    words = [e.key for e in events if isinstance(e, ev.Misheard) and e.word == plain]
    rows = known(events).rows.values()
    return [
        r.key
        for r in rows
        if (r.name == plain or r.key in words) and (not part or r.component == part)
    ]


class _Judge:
    def __init__(self, events: list[ev.Event], talk: Conversation, reply: Reply,
                 question: Question | None) -> None:  # fmt: skip
        self.events, self.talk, self.reply, self.question = events, talk, reply, question
        self.before, self.after = shape(events), shape(talk.events)
        self.touched = {
            k for k in self.before.keys() | self.after.keys()
            if self.before.get(k) != self.after.get(k)
        }  # fmt: skip
        self.new = {k.split()[0] for k in self.after} - {k.split()[0] for k in self.before}

    def wants(self, wanted: str) -> tuple[bool, set[str]]:
        """Whether one thing that was wanted happened, and what it may have touched."""
        verb, _, rest = wanted.partition(" ")
        if wanted == "settle":
            assert self.question is not None
            told = (self.question.kind, self.question.key) in settled(self.talk.events)
            return told, set()
        if wanted in ("keep", "ask"):
            return wanted == "keep" or not self.reply.understood, set()
        if wanted in ("undo", "redo"):
            back = any(self.after[k] == "raisin" for k in self.after if k.endswith(" name"))
            return back is (wanted == "undo"), self.touched if back is (wanted == "undo") else set()
        if verb == "say":
            said = " ".join([*self.reply.lines, *self.reply.changed]).casefold()
            return self.reply.understood and rest.casefold() in said, set()
        if verb == "option":
            return self._option(int(rest))
        if verb in ("drop", "new"):
            return self._step_or_row(verb, rest)
        if (step := _STEP.fullmatch(wanted)) is not None:
            return self._step(step)
        return self._set(wanted)

    def _option(self, place: int) -> tuple[bool, set[str]]:
        assert self.question is not None
        option = self.question.options[place - 1]
        fits, may = self.wants("settle")
        if self.question.kind == "missing portions":
            return fits and _span(self.after["portions"]) == (float(option),) * 2, {"portions"}
        key = self.question.key
        if self.question.kind == "mis-heard word":
            return fits and self.after.get(f"{key} name") == option, {f"{key} name"}
        if self.question.kind == "generic food":
            return self.after.get(f"{key} name") == option, {f"{key} name"}
        amount = self.after.get(f"{key} amount")
        good = isinstance(amount, tuple) and amount[:2] == (float(option.split()[0]),) * 2
        return fits and good, may | {f"{key} amount"}

    def _step_or_row(self, verb: str, rest: str) -> tuple[bool, set[str]]:
        if rest.startswith("step"):
            verbs = rest.removeprefix("step").strip().split("|")
            if verb == "drop":
                keys = [k for k, v in self.before.items() if _verb(v) in verbs]
                return not set(keys) & set(self.after), set(keys)
            new = [k for k in self.after if k.split()[0] in self.new and k.endswith(" step")]
            told = any(verbs == [""] or _verb(self.after[k]) in verbs for k in new)
            return told, set(new)
        if verb == "drop":
            keys = _keys(self.events, rest)
            gone = bool(keys) and all(f"{k} name" not in self.after for k in keys)
            return gone, {k for k in self.before if k.split()[0] in keys}
        return self._new(rest)

    def _new(self, rest: str) -> tuple[bool, set[str]]:
        found = re.fullmatch(r"(?P<names>.+?)(?: (?P<amount>\d[\d.]* \w+))?", rest)
        assert found is not None
        names = found["names"].split("|")
        rows = [k for k in self.new if self.after.get(f"{k} name") in names]
        others = [k for k in self.new if f"{k} name" in self.after and k not in rows]
        may = {k for k in self.after if k.split()[0] in self.new}
        fits = len(rows) == 1 and not others
        if fits and found["amount"]:
            fits = self._amounts(f"{rows[0]} amount", found["amount"])
        return fits, may

    def _amounts(self, key: str, wanted: str) -> bool:
        amount, found = self.after.get(key), _AMOUNT.fullmatch(wanted)
        if found is None or not isinstance(amount, tuple):
            return False
        low, high, unit, noun, _ = amount
        ends = (float(found["low"]), float(found["high"] or found["low"]))
        if low is None or (low, high) != ends:
            return found["unit"] in (noun,)
        return bool(found["unit"] in (unit, noun))

    def _step(self, wanted: re.Match[str]) -> tuple[bool, set[str]]:
        keys = [k for k, v in self.before.items() if _verb(v) == wanted["verb"]]
        assert len(keys) == 1, wanted
        step = self.after.get(keys[0])
        if not isinstance(step, dict):
            return False, set()
        if wanted["heat"]:
            return step["heat"] == wanted["heat"], {keys[0]}
        low, high = float(wanted["low"]), float(wanted["high"] or wanted["low"])
        if wanted["unit"] == "min":
            return step["minutes"] == {"low": low, "high": high}, {keys[0]}
        return step["temperature_c" if wanted["unit"] == "C" else "core_c"] == low, {keys[0]}

    def _set(self, wanted: str) -> tuple[bool, set[str]]:
        left, sign, right = wanted.partition(" > ")
        if sign:
            keys = _keys(self.events, left)
            fits = any(self.after.get(f"{k} name") in right.split("|") for k in keys)
            return fits, {f"{k} name" for k in keys}
        left, sign, right = wanted.partition(" = ")
        assert sign, wanted
        if left == "title":
            return self.after["title"] in right.split("|"), {"title"}
        if left == "portions":
            low, _, high = right.partition("..")
            return _span(self.after["portions"]) == (float(low), float(high or low)), {"portions"}
        keys = _keys(self.events, left)
        assert len(keys) == 1, wanted
        mine = f"{keys[0]} amount"
        same = _keys(self.events, right)
        if same:
            theirs = self.after[f"{same[0]} amount"]
            return self.after.get(mine) == theirs, {mine}
        return self._amounts(mine, right), {mine, f"{keys[0]} also"}


def _verb(value: object) -> str | None:
    return str(value["verb"]) if isinstance(value, dict) and "verb" in value else None


def _span(bounds: object) -> tuple[float, float] | None:
    low, high = getattr(bounds, "low", None), getattr(bounds, "high", None)
    return None if low is None or high is None else (low, high)


def judged(phrase: Phrase) -> Verdict:
    """What came of a phrase said to its note."""
    talk = _fresh(phrase)
    events, question = talk.events, talk.asked
    reply = talk.say(phrase.said)
    judge = _Judge(events, talk, reply, question)
    best: tuple[bool, bool] = (False, False)
    for wanted in phrase.wanted.split(" | "):
        results = [judge.wants(w.strip()) for w in wanted.split("; ")]
        may = set().union(*(allowed for _, allowed in results))
        harm = bool(judge.touched - may)
        best = max(best, (all(fits for fits, _ in results) and not harm, not harm))
    changed = {k: (judge.before.get(k), judge.after.get(k)) for k in sorted(judge.touched)}
    told = f"{reply.changed} {reply.lines} {changed}"
    return Verdict(best[0], not best[1], told)
