"""Plain lines for the chat: rows, steps, questions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hobnote.asking.questions import LETTERS, Question
from hobnote.nutrition import words
from hobnote.record import Amount, Ingredient, Range, Record, Step


def amount_words(amount: Amount) -> str:
    """An amount as said, or as its figures read."""
    if amount.basis == "unsaid" or amount.best is None:
        return "no amount said"
    if amount.said:
        return amount.said
    unit = "kcal" if amount.basis == "energy" else (amount.noun or amount.unit or "")
    ends = words.span(Range(low=amount.low or 0, high=amount.high or 0), unit)
    return ends.replace(" piece", "").strip()


def row_line(row: Ingredient) -> str:
    """One ingredient in a line."""
    grams = f" ({words.grams(row.grams)})" if row.grams is not None else ""
    what = row.name + (f" instead of {row.swap_for}" if row.swap_for else "")
    optional = ", optional" if row.optional else ""
    return f"{what}: {amount_words(row.amount)}{grams}{optional}"


def component_lines(record: Record) -> Iterator[str]:
    """Every ingredient, part by part."""
    parts = [part for part in record.components if part.ingredients]
    if not parts:
        yield "No ingredients yet."
    for part in parts:
        if len(parts) > 1:
            yield f"{part.name}:"
        yield from (f"  {row_line(row)}" for row in part.ingredients)


def step_line(step: Step) -> str:
    """One step in a line."""
    details = []
    if step.heat:
        details.append(f"{step.heat} heat")
    if step.temperature_c is not None:
        details.append(f"{step.temperature_c:.0f} °C")
    if step.core_c is not None:
        details.append(f"{step.core_c:.0f} °C inside")
    if step.minutes is not None:
        details.append(words.span(step.minutes, "min"))
    if step.until:
        details.append(step.until if step.until.startswith("until") else f"until {step.until}")
    noted = f" [{'; '.join(details)}]" if details else ""
    return f"{step.number}. {step.text or step.verb}{noted}"


def question_lines(questions: Sequence[Question]) -> list[str]:
    """The open questions: those asked first, then those only listed."""
    asked = [q for q in questions if q.matters]
    minor = [q for q in questions if not q.matters]
    lines = [f"{n}. {q.text}" for n, q in enumerate(asked, 1)]
    if not asked:
        lines.append("No question is open that matters.")
    if minor:
        lines.append("These hardly matter; say how much it was if you know:")
        lines += [f"  {q.text}" for q in minor]
    return lines


def asked_lines(question: Question) -> list[str]:
    """The question on the table with its choices."""
    choices = "  ".join(f"{LETTERS[n]}) {option}" for n, option in enumerate(question.options))
    return [question.text, *([f"  {choices}"] if choices else [])]
