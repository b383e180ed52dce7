"""Measures of the ingredient list: rows, amounts, grams, swaps, parts, flags."""

from __future__ import annotations

from hobnote.record import Amount, Record
from hobnote.scoring.gold import Gold, GoldAmount, GoldIngredient, Note
from hobnote.scoring.names import best_likeness, same_part, words
from hobnote.scoring.rows import EXACT, Alignment, Row, any_amount, replaces
from hobnote.scoring.speech import excerpt
from hobnote.scoring.tally import Sheet

GRAM_SLACK = 0.005
"""How far outside the editor's range a best gram figure may lie (rounding)."""


def score_list(sheet: Sheet, note: Note, record: Record, rows: Alignment, swaps: Alignment) -> None:
    """Every measure of the ingredient list of one note."""
    _ingredients(sheet, note, rows)
    _swaps(sheet, note, swaps)
    for part in (rows, swaps):
        _amounts(sheet, note, part)
    _grams(sheet, note, rows)
    _optional(sheet, note, rows)
    _components(sheet, note, record, rows)
    _kept_out(sheet, note, rows.extra + swaps.extra)
    _flagged(sheet, note, record, rows, "vague", "vague amount")
    _flagged(sheet, note, record, rows, "missing", "missing amount")


def _where(note: Note, want: GoldIngredient) -> str:
    """The words of the note around a gold row, also where its name was mis-heard."""
    misheard = [
        m.heard
        for m in note.gold.mishearings
        if any(set(words(m.meant)) <= set(words(name)) for name in want.accepted)
    ]
    return excerpt(note.spoken, ([want.vague] if want.vague else []) + want.accepted + misheard)


def _ingredients(sheet: Sheet, note: Note, rows: Alignment) -> None:
    sheet.right("ingredients", len(rows.pairs))
    for want in rows.missed:
        sheet.missed("ingredients", want.name, _where(note, want))
    for row in rows.extra:
        sheet.made_up("ingredients", row.name, row.words)


def _swaps(sheet: Sheet, note: Note, swaps: Alignment) -> None:
    for want, row in swaps.pairs:
        if replaces(want, row, note.gold):
            sheet.right("swaps")
        else:
            got = f"{row.name} for {row.item.swap_for}"
            sheet.wrong("swaps", f"{want.name} for {want.swap_for}", got, _where(note, want))
    for want in swaps.missed:
        sheet.missed("swaps", f"{want.name} for {want.swap_for}", _where(note, want))
    for row in swaps.extra:
        sheet.made_up("swaps", f"{row.name} for {row.item.swap_for}", row.words)


def show_amount(amount: GoldAmount | Amount | None) -> str:
    """An amount for a list of misses: "8-10 g", "2 piece", "unsaid"."""
    if amount is None or amount.low is None or amount.high is None:
        return "unsaid"
    figure = f"{amount.low:g}"
    if isinstance(amount, Amount) and amount.best is not None and amount.low != amount.high:
        figure += f"-{amount.best:g}"
    if amount.low != amount.high:
        figure += f"-{amount.high:g}"
    basis = f" ({amount.basis})" if isinstance(amount, Amount) else ""
    return f"{figure} {amount.unit or '?'}{basis}"


def _amounts(sheet: Sheet, note: Note, rows: Alignment) -> None:
    for want, row in rows.pairs:
        got = row.item.amount
        exact = got.basis in EXACT
        label = f"{want.name} {show_amount(want.amount)}"
        if want.amount is None:
            # A relative amount may be resolved to an exact one; its grams are judged.
            if exact and not want.relative and not any_amount(want, got):
                sheet.made_up("amounts", f"{row.name} {show_amount(got)}", _where(note, want))
        elif any_amount(want, got):
            sheet.right("amounts")
        elif exact:
            sheet.wrong("amounts", label, show_amount(got), _where(note, want))
        else:
            sheet.missed("amounts", label, _where(note, want))
    for want in rows.missed:
        if want.amount is not None:
            label = f"{want.name} {show_amount(want.amount)}"
            sheet.missed("amounts", label, _where(note, want))
    for row in rows.extra:
        if row.item.amount.basis in EXACT:
            sheet.made_up("amounts", f"{row.name} {show_amount(row.item.amount)}", row.words)


def _grams(sheet: Sheet, note: Note, rows: Alignment) -> None:
    for want, row in rows.pairs:
        if want.grams is None:
            continue
        low, high = want.grams
        label = f"{want.name} {low:g}-{high:g} g"
        best = row.item.grams.best if row.item.grams else None
        if best is None:
            sheet.missed("grams", label, _where(note, want))
        elif low * (1 - GRAM_SLACK) <= best <= high * (1 + GRAM_SLACK):
            sheet.right("grams")
        else:
            sheet.wrong("grams", label, f"{best:g} g", _where(note, want))
    for want in rows.missed:
        if want.grams is not None:
            sheet.missed("grams", f"{want.name} {want.grams[0]:g}-{want.grams[1]:g} g", "")
    for row in rows.extra:
        if row.item.grams is not None:
            sheet.made_up("grams", f"{row.name} {row.item.grams.best:g} g", row.words)


def _optional(sheet: Sheet, note: Note, rows: Alignment) -> None:
    chosen = {name for group in note.gold.choices for name in group}
    for want, row in rows.pairs:
        if want.component in chosen:
            continue
        if want.optional and row.optional:
            sheet.right("optional")
        elif want.optional:
            sheet.missed("optional", want.name, _where(note, want))
        elif row.optional:
            sheet.made_up("optional", row.name, row.words)
    for want in rows.missed:
        if want.optional and want.component not in chosen:
            sheet.missed("optional", want.name, _where(note, want))
    for row in rows.extra:
        if row.optional:
            sheet.made_up("optional", row.name, row.words)


def _components(sheet: Sheet, note: Note, record: Record, rows: Alignment) -> None:
    """A named part is right when its name agrees and at least half of its rows stand in it."""
    wanted = _gold_parts(note.gold)
    came = [
        c
        for c in record.components
        if not _is_main(c.name) and any(item.swap_for is None for item in c.ingredients)
    ]
    taken: set[int] = set()
    for name, items in wanted.items():
        inside = [row for want, row in rows.pairs if want in items]
        found = next(
            (
                i
                for i, part in enumerate(came)
                if i not in taken
                and same_part(name, part.name)
                and 2 * sum(row.component is part for row in inside) >= len(items)
            ),
            None,
        )
        if found is None:
            sheet.missed("components", name, excerpt(note.spoken, [name]))
        else:
            taken.add(found)
            sheet.right("components")
    for i, part in enumerate(came):
        if i not in taken:
            held = ", ".join(item.name for item in part.ingredients)
            sheet.made_up("components", part.name, held)


def _is_main(name: str) -> bool:
    return words(name) in {("main",), ()}


def _gold_parts(gold: Gold) -> dict[str, list[GoldIngredient]]:
    parts: dict[str, list[GoldIngredient]] = {}
    for row in gold.ingredients:
        if not row.swap_for and not _is_main(row.component):
            parts.setdefault(row.component, []).append(row)
    return parts


def _kept_out(sheet: Sheet, note: Note, extra: list[Row]) -> None:
    """A kept-out food leaks when a row that no gold row explains carries its name."""
    for food in note.gold.kept_out:
        leak = next((row for row in extra if best_likeness(row.name, [food])), None)
        got = leak.name if leak else ""
        sheet.share("kept out", leak is None, f"no {food}", got, leak.words if leak else "")


def flag_kinds(record: Record, row: Row) -> set[str]:
    """The kinds of the flags of a row: those it lists, and those no row lists that name it."""
    listed = {i for part in record.components for item in part.ingredients for i in item.flags}
    mine = words(row.name)
    return {
        flag.kind
        for flag in record.flags
        if flag.id in row.item.flags
        or (flag.id not in listed and flag.ingredient and words(flag.ingredient) == mine)
    }


def _flagged(
    sheet: Sheet, note: Note, record: Record, rows: Alignment, metric: str, kind: str
) -> None:
    """Rows with a vague, or without any, amount must carry the flag; other rows must not."""
    for want, row in rows.pairs:
        wanted = want.vague is not None if metric == "vague" else want.missing
        has = kind in flag_kinds(record, row)
        if metric == "vague" and want.vague and not has and any_amount(want, row.item.amount):
            continue  # "a bunch", "a thumb": the gold accepts a count as well
        if wanted and has:
            sheet.right(metric)
        elif wanted:
            label = f"{want.name}: {want.vague}" if want.vague else want.name
            sheet.missed(metric, label, _where(note, want))
        elif has:
            sheet.made_up(metric, row.name, _where(note, want))
    for want in rows.missed:
        if want.vague is not None if metric == "vague" else want.missing:
            sheet.missed(metric, want.name, _where(note, want))
    for row in rows.extra:
        if kind in flag_kinds(record, row):
            sheet.made_up(metric, row.name, row.words)
