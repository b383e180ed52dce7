"""Measures of the rest: claims, aside spans, mis-hearings, portions and the dish's energy."""

from __future__ import annotations

from hobnote.record import Claim, Heard, Record
from hobnote.scoring.gold import GoldClaim, GoldError, Misheard, Note
from hobnote.scoring.names import likeness, same_part, words
from hobnote.scoring.rows import close, said
from hobnote.scoring.speech import excerpt, squeeze
from hobnote.scoring.tally import Sheet

OVERLAP = 50.0
"""Least share of a gold aside, in per cent, that a marked aside must cover."""


SPELT = 0.98
"""Likeness from which a suggestion is the heard word in another spelling."""


def score_rest(sheet: Sheet, note: Note, record: Record) -> None:
    """The measures that are neither of the list nor of the method."""
    _claims(sheet, note, record)
    _aside_spans(sheet, note, record)
    _mishearings(sheet, note, record)
    _portions(sheet, note, record)
    _energy(sheet, note, record)


def _claims(sheet: Sheet, note: Note, record: Record) -> None:
    left = list(record.claims)
    single = note.gold.portions in (None, 1)
    for want in note.gold.claims:
        label = f"{want.nutrient} {want.low:g}-{want.high:g} {want.unit} per {want.scope}"
        found = next((c for c in left if _same_claim(want, c, single)), None)
        if found is None:
            sheet.missed("claims", label, excerpt(note.spoken, [f"{want.low:g}", want.nutrient]))
        else:
            left.remove(found)
            sheet.right("claims")
    for claim in left:
        label = f"{claim.nutrient} {claim.low:g}-{claim.high:g} {claim.unit} per {claim.scope}"
        sheet.made_up("claims", label, said(claim.heard))


def _same_claim(want: GoldClaim, got: Claim, single: bool) -> bool:
    """Same nutrient, figures, unit and scope; one unnamed portion is the whole dish."""
    whole = {"portion", "total"}
    scope = same_part(want.scope, got.scope) or (single and {want.scope, got.scope} <= whole)
    figures = close(want.low, got.low) and close(want.high, got.high)
    return scope and figures and want.nutrient == got.nutrient and want.unit == got.unit


def _aside_spans(sheet: Sheet, note: Note, record: Record) -> None:
    """Share of the quoted asides that marked asides cover by half or more (nervaluate).

    The gold quotes only a few clear asides, so precision has no meaning here.
    """
    try:
        from nervaluate import Evaluator
    except ImportError as error:
        raise GoldError("scoring asides needs nervaluate: pip install 'hobnote[score]'") from error
    quoted = [aside for aside in note.gold.asides if aside in note.spoken]
    if not quoted:
        return
    spans = [(note.spoken.index(q), note.spoken.index(q) + len(q)) for q in quoted]
    marked = _marked(note, record.asides)
    for quote, (start, end) in zip(quoted, spans, strict=True):
        clipped = [(max(a, start), min(b, end)) for a, b in marked if a < end and b > start]
        came = [(min(a for a, _ in clipped), max(b for _, b in clipped))] if clipped else []
        result = Evaluator(
            [[_entity(start, end)]],
            [[_entity(a, b) for a, b in came]],
            tags=["ASIDE"],
            loader="dict",
            min_overlap_percentage=OVERLAP,
        ).evaluate()["overall"]["ent_type"]
        sheet.share("aside spans", result.correct == 1, squeeze(quote), "", quote)


def _entity(start: int, end: int) -> dict[str, object]:
    return {"label": "ASIDE", "start": start, "end": end - 1}


def _marked(note: Note, asides: list[Heard]) -> list[tuple[int, int]]:
    """Marked asides as offsets into the squeezed speech, found in order of the text."""
    spans: list[tuple[int, int]] = []
    after = 0
    for heard in sorted(asides, key=lambda h: h.start):
        text = squeeze(heard.text)
        at = note.spoken.find(text, after)
        if text and at >= 0:
            spans.append((at, at + len(text)))
            after = at + len(text)
    return spans


def _mishearings(sheet: Sheet, note: Note, record: Record) -> None:
    """Each mis-heard word must be flagged with the word that was meant, once."""
    proposed = {
        (words(f.heard_word or ""), words(s))
        for f in record.flags
        if f.kind == "mis-heard word"
        for s in [f.suggestion or "", *f.options]
    }
    wanted = {(m.heard, m.meant): m for m in note.gold.mishearings}.values()
    explained: set[tuple[str, ...]] = set()
    for miss in wanted:
        hits = [h for h, s in proposed if _same_words(miss.heard, h) and s == words(miss.meant)]
        if hits:
            explained.update(hits)
            sheet.right("mis-hearings")
        else:
            where, label = excerpt(note.spoken, [miss.heard]), f"{miss.heard} → {miss.meant}"
            others = [" ".join(s) for h, s in proposed if _same_words(miss.heard, h) and s]
            if others:
                sheet.wrong("mis-hearings", label, ", ".join(sorted(others)), where)
            else:
                sheet.missed("mis-hearings", label, where)
    for flag in record.flags:
        if flag.kind != "mis-heard word":
            continue
        heard = words(flag.heard_word or "")
        if likeness(flag.heard_word or "", flag.suggestion or "") >= SPELT:
            continue  # a slip of the keyboard: worth a flag, but nothing was mis-heard
        if heard not in explained and not _known(heard, list(wanted)):
            explained.add(heard)
            label = f"{flag.heard_word} → {flag.suggestion}"
            sheet.made_up("mis-hearings", label, said(flag.heard))


def _known(heard: tuple[str, ...], wanted: list[Misheard]) -> bool:
    """Was the word mis-heard? Then its flag has been judged already."""
    return any(_same_words(m.heard, heard) for m in wanted)


def _same_words(heard: str, got: tuple[str, ...]) -> bool:
    mine = words(heard)
    return mine == got or (bool(got) and bool(mine) and (set(mine) <= set(got)))


def _portions(sheet: Sheet, note: Note, record: Record) -> None:
    want = note.gold.portions
    got = record.portions.best if record.portions else None
    if want is None and got is None:
        return
    holds = want is not None and got is not None and close(want, got)
    sheet.share("portions", holds, f"{want or 'unsaid'}", f"{got or 'unsaid'}", "")


def _energy(sheet: Sheet, note: Note, record: Record) -> None:
    """The best figure for the whole dish must lie in the editor's range."""
    if note.gold.energy_kcal is None:
        return
    low, high = note.gold.energy_kcal
    energy = record.nutrition.total.get("energy_kcal")
    got = energy.best if energy else None
    holds = got is not None and low <= got <= high
    shown = "none" if got is None else f"{got:.0f} kcal"
    sheet.share("energy", holds, f"{low:g}-{high:g} kcal", shown, "")
