"""The fold of events into a record. Pure: no text is looked at, nothing is weighed.

``tally(events)`` depends on the events alone, so dropping the last event is
undo and a saved list is the whole history.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from hobnote.following import events as ev
from hobnote.following.amounts import added, rank, scaled
from hobnote.following.order import moved
from hobnote.record import (
    Bounds,
    Claim,
    Component,
    Flag,
    Heard,
    Ingredient,
    Record,
    StatedClaim,
    Step,
    Use,
)


@dataclass(slots=True)
class _Row:
    key: str
    item: Ingredient
    component: str
    related: tuple[str, float, str] | None = None


@dataclass(slots=True)
class _Fold:
    rows: dict[str, _Row] = field(default_factory=dict)
    parts: dict[str, Component] = field(default_factory=lambda: {"main": Component()})
    steps: dict[str, Step] = field(default_factory=dict)
    step_rows: dict[str, list[str]] = field(default_factory=dict)
    along: dict[str, str] = field(default_factory=dict)
    title: str | None = None
    portions: Bounds | None = None
    claims: list[Claim] = field(default_factory=list)
    stated: list[StatedClaim] = field(default_factory=list)
    asides: list[Heard] = field(default_factory=list)
    misheard: list[ev.Misheard] = field(default_factory=list)


def tally(events: Iterable[ev.Event]) -> Record:
    """Fold ``events`` in order into a record without grams, foods or nutrition.

    Events about keys that do not exist (any more) are passed over.
    """
    fold = _Fold()
    for event in events:
        _take(fold, event)
    return _close(fold)


def _take(fold: _Fold, event: ev.Event) -> None:
    match event:
        case ev.Named():
            _name(fold, event)
        case ev.Measured():
            _measure(fold, event)
        case ev.Related():
            if event.key in fold.rows:
                row = fold.rows[event.key]
                row.related = (event.to, event.factor, event.said)
                row.item.heard.extend(event.heard)
        case ev.Described():
            _describe(fold, event)
        case ev.Mentioned():
            if event.key in fold.rows:
                fold.rows[event.key].item.heard.extend(event.heard)
        case ev.Dropped():
            fold.rows.pop(event.key, None)
        case ev.Opened():
            part = fold.parts.setdefault(event.name, Component(name=event.name))
            part.choice = event.choice or part.choice
            part.optional = event.optional or part.optional
        case ev.Stepped() | ev.StepChanged() | ev.StepDropped():
            _step(fold, event)
        case ev.Moved(what="row"):
            fold.rows = moved(fold.rows, event.key, event.before)
        case ev.Moved():
            fold.steps = moved(fold.steps, event.key, event.before)
        case ev.Claimed():
            fold.claims.append(
                event.claim.model_copy(update={"heard": list(event.heard)}, deep=True)
            )
        case ev.Unclaimed():
            said = (event.nutrient, event.scope)
            fold.claims = [c for c in fold.claims if (c.nutrient, c.scope) != said]
        case ev.Stated():
            fold.stated.append(
                StatedClaim(
                    claim=event.claim, rule="", met=None, reason="", heard=list(event.heard)
                )
            )
        case ev.Portioned():
            fold.portions = Bounds(low=event.low, best=event.best, high=event.high)
        case ev.Titled():
            fold.title = event.title
        case ev.SetAside():
            fold.asides.extend(event.heard)
        case ev.Misheard():
            fold.misheard.append(event)
        case ev.Settled():
            pass


def _name(fold: _Fold, event: ev.Named) -> None:
    known = fold.rows.get(event.key)
    if known is not None:
        known.item.heard.extend(event.heard)
        return
    fold.parts.setdefault(event.component, Component(name=event.component))
    item = Ingredient(
        name=event.name,
        state=event.state,
        preparation=list(event.preparation),
        optional=event.optional,
        swap_for=event.swap_for,
        condition=event.condition,
        heard=list(event.heard),
    )
    fold.rows[event.key] = _Row(event.key, item, event.component)


def _measure(fold: _Fold, event: ev.Measured) -> None:
    row = fold.rows.get(event.key)
    if row is None:
        return
    item = row.item
    item.heard.extend(event.heard)
    amount = event.amount
    if event.how == "also" and item.amount.basis != "unsaid":
        if rank(amount) > rank(item.amount):
            item.amount, item.also = amount, item.amount
        else:
            item.also = amount
    elif event.how == "add" and item.amount.basis != "unsaid":
        if not item.uses:
            item.uses.append(Use(amount=item.amount))
        item.uses.append(Use(amount=amount, heard=list(event.heard)))
        total = added(item.amount, amount)
        if total is not None:
            item.amount = total
    else:
        item.amount = amount
        item.uses = []
        item.also = None
    row.related = None


def _describe(fold: _Fold, event: ev.Described) -> None:
    row = fold.rows.get(event.key)
    if row is None:
        return
    item = row.item
    item.heard.extend(event.heard)
    item.name = event.name or item.name
    item.state = event.state or item.state
    item.preparation = list(dict.fromkeys((*item.preparation, *event.preparation)))
    item.condition = event.condition or item.condition
    if event.optional is not None:
        item.optional = event.optional
    if event.component is not None:
        row.component = event.component
        fold.parts.setdefault(event.component, Component(name=event.component))


def _step(fold: _Fold, event: ev.Stepped | ev.StepChanged | ev.StepDropped) -> None:
    if isinstance(event, ev.StepDropped):
        fold.steps.pop(event.key, None)
        return
    if isinstance(event, ev.Stepped):
        fold.steps[event.key] = Step(
            number=0,
            text=event.text,
            verb=event.verb,
            component=event.component,
            vessel=event.vessel,
            heat=event.heat,
            temperature_c=event.temperature_c,
            core_c=event.core_c,
            minutes=event.minutes,
            until=event.until,
            heard=list(event.heard),
        )
        fold.step_rows[event.key] = list(event.ingredients)
        if event.alongside:
            fold.along[event.key] = event.alongside
        return
    step = fold.steps.get(event.key)
    if step is None:
        return
    for gone in event.cleared:
        setattr(step, gone, None)
    for name in (*ev.STEP_DETAILS, "verb", "text", "component"):
        value = getattr(event, name)
        if value is not None:
            setattr(step, name, value)
    rows = fold.step_rows[event.key]
    rows.extend(k for k in event.ingredients if k not in rows)
    step.heard.extend(event.heard)


def _close(fold: _Fold) -> Record:
    for row in fold.rows.values():
        _relate(fold, row, seen=set())
    # Parts and rows were made for this fold and are nobody else's: no copies.
    keep = dict(fold.parts)
    for row in fold.rows.values():
        keep.setdefault(row.component, Component(name=row.component)).ingredients.append(row.item)
    return Record(
        title=fold.title,
        portions=fold.portions,
        components=[p for p in keep.values() if p.ingredients or p.name == "main"],
        steps=_number(fold),
        claims=fold.claims,
        stated=fold.stated,
        asides=fold.asides,
        flags=[
            Flag(
                id="",
                kind="mis-heard word",
                ingredient=fold.rows[m.key].item.name if m.key in fold.rows else None,
                question=f"I heard “{m.word}”: did you say “{m.suggestion}”?",
                suggestion=m.suggestion,
                heard_word=m.word,
                heard=list(m.heard),
            )
            for m in fold.misheard
        ],
    )


def _relate(fold: _Fold, row: _Row, seen: set[str]) -> None:
    """Resolve a relative amount, through chains, once every row is known."""
    if row.related is None or row.key in seen:
        return
    seen.add(row.key)
    to, factor, said = row.related
    base = fold.rows.get(to)
    if base is None:
        return
    _relate(fold, base, seen)
    amount = scaled(base.item.amount, factor, said or None)
    if amount.best is not None:
        row.item.amount = amount
        row.related = None


def _number(fold: _Fold) -> list[Step]:
    numbers = {key: n for n, key in enumerate(fold.steps, 1)}
    found: list[Step] = []
    for key, step in fold.steps.items():
        names = [fold.rows[k].item.name for k in fold.step_rows[key] if k in fold.rows]
        found.append(
            step.model_copy(
                update={
                    "number": numbers[key],
                    "ingredients": list(dict.fromkeys(names)),
                    "alongside": numbers.get(fold.along.get(key, "")),
                }
            )
        )
    return found
