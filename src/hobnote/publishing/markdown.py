"""A recipe as Markdown (CommonMark with pipe tables)."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hobnote.publishing.measures import Density, table_density
from hobnote.publishing.options import DEFAULT, Options
from hobnote.publishing.sheet import Line, Sheet, sheet
from hobnote.record import Record

# Whatever could start markup, a link or raw HTML.
_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~$^!&])")
_START = re.compile(r"^(\s*)([-+=]|\d+[.)])")


def to_markdown(
    record: Record, options: Options = DEFAULT, density: Density = table_density
) -> str:
    """The recipe as Markdown. Raises OpenQuestions where only settled ones are wanted."""
    page = sheet(record, options, density)
    blocks = [block for block in _blocks(page) if block]
    return "\n\n".join(blocks) + "\n"


def plain(words: str) -> str:
    """``words`` so that Markdown shows them as they are."""
    line = _SPECIAL.sub(r"\\\1", " ".join(words.split()))
    return _START.sub(lambda m: f"{m[1]}{_escaped(m[2])}", line)


def _escaped(start: str) -> str:
    return f"{start[:-1]}\\{start[-1]}"


def _blocks(page: Sheet) -> Iterator[str]:
    yield f"# {plain(page.title)}"
    if page.status:
        yield f"**{page.status}.** See the end of the page."
    yield plain(page.portions or "How many portions was not said.")
    yield "## Ingredients"
    for part in page.parts:
        if part.name != "main" or part.note:
            yield f"### {plain(_named(part.name, part.note))}"
        yield "\n".join(f"- {_ingredient(line)}" for line in part.lines)
    if page.extras:
        yield "### Swaps and extras (not in the totals)"
        yield "\n".join(f"- {_extra(line)}" for line in page.extras)
    yield from _method(page)
    yield from _nutrition(page)
    yield from _care(page)
    if page.questions:
        yield "## Open questions"
        yield "\n".join(
            f"{asked.number}. {plain(asked.question)}"
            + (f" ({plain(asked.effect)})" if asked.effect else "")
            + (f" Perhaps: {plain(' / '.join(asked.options))}." if asked.options else "")
            for asked in page.questions
        )
    yield "---"
    yield "\n".join(f"- {plain(note)}" for note in page.notes)


def _named(name: str, note: str) -> str:
    return f"{name} ({note})" if note else name


def _marks(line: Line) -> str:
    return "".join(f" **?{mark}**" for mark in line.marks)


def _ingredient(line: Line) -> str:
    if not line.amount:
        return f"{plain(line.text)}{_marks(line)}"
    return f"**{plain(line.amount)}** {plain(line.words)}{_marks(line)}"


def _extra(line: Line) -> str:
    amount = f": {plain(line.amount)}" if line.amount else ""
    effect = f", {plain(line.effect)}" if line.effect else ""
    return f"{plain(line.words)} ({plain(line.note)}){amount}{effect}{_marks(line)}"


def _method(page: Sheet) -> Iterator[str]:
    if not page.steps:
        return
    yield "## Method"
    part, lines = "main", list[str]()
    for step in page.steps:
        if step.component != part:
            if lines:
                yield "\n".join(lines)
            part, lines = step.component, []
            yield f"### {plain(part)}"
        lines.append(f"{step.number}. {plain(step.words)}")
    yield "\n".join(lines)


def _nutrition(page: Sheet) -> Iterator[str]:
    if not page.facts:
        return
    yield "## Nutrition"
    rows = ["| | a portion | the whole dish | per 100 g |", "|---|---:|---:|---:|"]
    rows += [
        f"| {fact.name}, {fact.unit} | {fact.portion} | {fact.total} | {fact.per_100g} |"
        for fact in page.facts
    ]
    yield "\n".join(rows)


def _care(page: Sheet) -> Iterator[str]:
    if page.contains or page.may_contain:
        yield "## Allergens"
        yield "\n".join(
            [
                *([f"- Contains: {plain('; '.join(page.contains))}"] if page.contains else []),
                *(
                    [f"- May contain: {plain('; '.join(page.may_contain))}"]
                    if page.may_contain
                    else []
                ),
                "- Judged from the words of the recipe: check every label.",
            ]
        )
    if page.cautions:
        yield "## Take care"
        yield "\n".join(f"- {plain(text)} ({plain(source)})" for text, source in page.cautions)
