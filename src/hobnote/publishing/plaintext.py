"""A recipe as the plain text under a video, with time marks where the note had times."""

from __future__ import annotations

from collections.abc import Iterator

from hobnote.publishing.measures import Density, table_density
from hobnote.publishing.options import DEFAULT, Options
from hobnote.publishing.sheet import Sheet, sheet
from hobnote.record import Record


def to_text(record: Record, options: Options = DEFAULT, density: Density = table_density) -> str:
    """The description of a video: ingredients, method with time marks, a portion's figures.

    The first mark is 0:00, marks rise, and steps spoken of at the same second share one.
    """
    return "\n".join(_lines(sheet(record, options, density))) + "\n"


def clock(seconds: float) -> str:
    """Seconds as M:SS, or H:MM:SS from an hour on; rounded down so that a mark never comes late."""
    whole = int(seconds)
    hours, minutes = whole // 3600, whole // 60 % 60
    if hours:
        return f"{hours}:{minutes:02}:{whole % 60:02}"
    return f"{minutes}:{whole % 60:02}"


def _one_line(words: str) -> str:
    return " ".join(words.split())


def _lines(page: Sheet) -> Iterator[str]:
    yield _one_line(page.title)
    if page.status:
        yield page.status
    if page.portions:
        yield page.portions
    yield ""
    yield "INGREDIENTS"
    for part in page.parts:
        if part.name != "main" or part.note:
            yield _one_line(f"{part.name}{f' ({part.note})' if part.note else ''}:")
        for line in part.lines:
            yield _one_line(f"- {line.text}{' (to be settled)' if line.marks else ''}")
    for line in page.extras:
        yield _one_line(f"- {line.text} ({line.note})")
    if page.steps:
        yield from ["", "METHOD"]
        yield from _method(page)
    if page.facts:
        yield from ["", "A PORTION (calculated, not analysed)"]
        for fact in page.facts:
            if fact.portion != "–":
                yield f"{fact.name}: {fact.portion} {fact.unit}"
    if page.contains or page.may_contain:
        yield ""
        if page.contains:
            yield _one_line(f"Contains: {'; '.join(page.contains)}")
        if page.may_contain:
            yield _one_line(f"May contain: {'; '.join(page.may_contain)}")
    for text, _ in page.cautions:
        yield _one_line(text)
    if page.questions:
        yield from ["", "STILL OPEN"]
        for asked in page.questions:
            yield _one_line(f"{asked.number}. {asked.question}")
    yield ""
    yield from page.notes


def _method(page: Sheet) -> Iterator[str]:
    """Steps in the order of the method; those with a time get a mark in front."""
    last = -1
    for place, step in enumerate(page.steps):
        mark = ""
        if step.at is not None and int(step.at) > last:
            # A list of marks is only taken as chapters when it begins at nought.
            moment = 0 if last < 0 and place == 0 else int(step.at)
            mark, last = f"{clock(moment)} ", int(step.at)
        yield _one_line(f"{mark}{step.number}. {step.words}")
