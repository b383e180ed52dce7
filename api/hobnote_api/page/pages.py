"""The routes of the page. Every form works without a script; a script only saves the reload."""

from __future__ import annotations

from functools import cache
from itertools import groupby
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse
from jinja2 import Environment, PackageLoader, StrictUndefined

from hobnote import __version__
from hobnote.asking.corrections import CannotCorrect
from hobnote.keeping import StaleRecipe
from hobnote.keeping.shelves import page as shelf_page
from hobnote.keeping.tokens import Tokens
from hobnote.reading import Dictation, ReadingError, read_bytes, read_text
from hobnote_api.common import Caller, Number, TheKitchen, TheOperations, TheSettings
from hobnote_api.guard import COOKIE
from hobnote_api.kitchen import Kitchen
from hobnote_api.notes import Note, begun
from hobnote_api.operations import begin_note
from hobnote_api.page.forms import fields_of, fix_of, note_form, seen
from hobnote_api.page.view import Doing as Step
from hobnote_api.page.view import Review, Trouble, clock, review, worth
from hobnote_api.problems import Refused
from hobnote_api.shapes import Correction
from hobnote_api.talking import Doing, answering, correcting, done
from hobnote_api.work import ENDED

router = APIRouter(include_in_schema=False)

MEASURES = (
    ("", "as the words sound"),
    ("uk", "British"),
    ("us", "American"),
    ("au", "Australian"),
    ("metric", "metric"),
)
EXPORTS = (
    ("html", "Web page"),
    ("pdf", "PDF for print"),
    ("markdown", "Markdown"),
    ("text", "Plain text"),
    ("csv", "Spreadsheet"),
    ("json-ld", "Linked data for a site"),
    ("json", "The whole record"),
)
HEATS = ("low", "medium-low", "medium", "medium-high", "high")
_LISTED = 60
_LONGEST = 20_000
_LONG = 8_000
"""Characters of a note from which its reading is shown as it goes on."""


@cache
def _environment() -> Environment:
    found = Environment(
        loader=PackageLoader("hobnote_api.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.globals.update(worth=worth, exports=EXPORTS, heats=HEATS, measures=MEASURES)
    found.globals["program_version"] = __version__
    found.filters["clock"] = clock
    found.filters["groupby_run"] = _runs
    return found


def _runs(steps: list[Step]) -> list[tuple[str, list[Step]]]:
    """Steps in runs of one part each, in the order of the method."""
    return [(name, list(run)) for name, run in groupby(steps, key=lambda one: one.component)]


def html(template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A template of the page filled in."""
    return HTMLResponse(_environment().get_template(template).render(**values), status)


@router.get("/")
def home(
    kitchen: TheKitchen,
    words: Annotated[str, Query(max_length=200)] = "",
    after: Annotated[int | None, Query(ge=1, le=2_147_483_647)] = None,
) -> Response:
    """Begin with a note, or take up a kept recipe."""
    return _home(kitchen, words=words, after=after)


def _home(
    kitchen: Kitchen,
    *,
    words: str = "",
    after: int | None = None,
    text: str = "",
    trouble: str | None = None,
    status: int = 200,
) -> Response:
    plain = [word for word in words.split() if word.isprintable()]
    found = shelf_page(kitchen.store, words=plain, before=after, limit=_LISTED)
    return html(
        "home.html.j2",
        status,
        recipes=found.recipes,
        older=found.recipes[-1].id if found.more else None,
        words=words,
        searched=bool(plain) or after is not None,
        text=text,
        trouble=trouble,
    )


@router.post("/recipes")
async def begin(
    request: Request,
    kitchen: TheKitchen,
    operations: TheOperations,
    settings: TheSettings,
    caller: Caller,
) -> Response:
    """A note from the form, typed or as a file."""
    fields, file = await note_form(request)
    text, measures = fields.get("text", ""), fields.get("measures") or None
    if measures not in (None, "uk", "us", "au", "metric"):
        raise HTTPException(422, "those measures are not known.")
    try:
        dictation = await run_in_threadpool(_dictation, text, file, settings.note)
        note = Note.model_validate({"text": dictation.text, "measures": measures})
        if len(dictation.text) > _LONG:
            begun_now = begin_note(operations, kitchen, note, dictation, caller, caller)
            return RedirectResponse(f"/reading/{begun_now.status.id}", 303)
        number, _ = await run_in_threadpool(begun, kitchen, note, dictation, caller, caller)
    except ReadingError as problem:
        told = str(problem)
        return await run_in_threadpool(
            lambda: _home(kitchen, text=text, trouble=told, status=422)
        )
    return RedirectResponse(f"/recipes/{number}", 303)


def _dictation(text: str, file: tuple[str, bytes] | None, longest: int) -> Dictation:
    """What was typed, else the file. Raises ReadingError."""
    if not text.strip() and file is not None:
        name = "".join(c for c in file[0][-80:] if c.isprintable()) or "the file"
        found = read_bytes(file[1], name)
    elif not text.strip():
        raise ReadingError("type or paste a note, or choose a file.", "the note")
    else:
        found = read_text(text, "the note")
    if len(found.text) > longest:
        raise ReadingError(
            f"this note has {len(found.text):,} characters; give at most {longest:,}.", "the note"
        )
    return found


# -- a long note, while it is read ----------------------------------------------------


@router.get("/reading/{id}")
def reading(id: str, kitchen: TheKitchen, operations: TheOperations) -> Response:
    """How far a long note is read; the recipe, once it is."""
    found = operations.find(id)
    now = found.status
    if now.state == "done" and now.recipes:
        return RedirectResponse(f"/recipes/{now.recipes[0]}", 303)
    if now.state in ENDED:
        told = now.problem or "The reading was stopped; nothing was kept."
        return _home(kitchen, text=found.text, trouble=told, status=now.code or 200)
    return html("reading.html.j2", now=now)


@router.post("/reading/{id}/stop")
async def stop_reading(
    request: Request, id: str, kitchen: TheKitchen, operations: TheOperations
) -> Response:
    """Stop reading a long note."""
    await fields_of(request)
    found = operations.find(id)
    await run_in_threadpool(found.stop)
    return RedirectResponse(f"/reading/{id}", 303)


@router.get("/recipes/{id}")
def show(
    number: Number,
    kitchen: TheKitchen,
    since: Annotated[int | None, Query(ge=1, le=1_000_000)] = None,
) -> Response:
    """The recipe beside its words, and what is still open."""
    return _shown(kitchen, number, since=since)


def _shown(
    kitchen: Kitchen,
    number: int,
    *,
    since: int | None = None,
    trouble: Trouble | None = None,
    status: int = 200,
) -> Response:
    with kitchen.recipe(number) as talk:
        page: Review = review(kitchen, talk, since=since, trouble=trouble)
    return html("review.html.j2", status, page=page)


@router.post("/recipes/{id}/{what}")
async def change(
    request: Request, number: Number, what: str, kitchen: TheKitchen, caller: Caller
) -> Response:
    """Whatever a form of the review page asks for, then the page again."""
    fields = await fields_of(request)
    return await run_in_threadpool(_changed, kitchen, number, what, fields, caller)


def _changed(
    kitchen: Kitchen, number: int, what: str, fields: dict[str, str], who: str
) -> Response:
    typed = (fields.get("text") or fields.get("answer") or fields.get("amount") or "")[:_LONGEST]
    try:
        done(kitchen, number, seen(fields), _doing(what, fields, who))
    except Refused as problem:
        told = Trouble(str(problem.detail), typed, tuple(problem.more.get("changes", ())))  # type: ignore[arg-type]
        return _shown(kitchen, number, trouble=told, status=problem.status_code)
    except HTTPException as problem:
        told = Trouble(str(problem.detail), typed)
        return _shown(kitchen, number, trouble=told, status=problem.status_code)
    except (CannotCorrect, StaleRecipe, ValueError) as problem:
        return _shown(kitchen, number, trouble=Trouble(str(problem), typed), status=422)
    return RedirectResponse(f"/recipes/{number}#{_place(what, fields)}", 303)


def _place(what: str, fields: dict[str, str]) -> str:
    """Where the page should be read on."""
    return quote(fields.get("place", "talk" if what in ("say", "answer") else "board"), safe="-_")


def _doing(what: str, fields: dict[str, str], who: str) -> Doing:
    if what == "say":
        text = _said(fields.get("text", ""))
        return lambda talk: talk.say(text, who)
    if what == "answer":
        question, place = fields.get("question", ""), fields.get("option", "")
        if place.isascii() and place.isdigit() and len(place) < 3:
            return lambda talk: answering(talk, question, int(place), who)
        text = "skip" if "skip" in fields else _said(fields.get("answer", ""))
        return lambda talk: answering(talk, question, text, who)
    if what == "correct":
        correction = Correction(fix=fix_of(fields))
        return lambda talk: correcting(talk, correction, who)
    if what == "undo":
        return lambda talk: talk.undo(1, who)
    if what == "redo":
        return lambda talk: talk.redo(1, who)
    raise HTTPException(404, "there is no such thing to do.")


def _said(text: str) -> str:
    if not text.strip():
        raise ValueError("nothing was typed.")
    if len(text) > _LONGEST:
        raise ValueError(f"this message is too long; give at most {_LONGEST:,} characters.")
    return text


# -- signing in, where a token is asked for ---------------------------------------------


@router.get("/sign-in")
def sign_in() -> Response:
    """The page that asks for a token."""
    return html("sign_in.html.j2", trouble=None)


@router.post("/sign-in")
async def signed_in(request: Request, kitchen: TheKitchen) -> Response:
    """Keeps a good token in a cookie that no script and no other site gets."""
    fields = await fields_of(request)
    secret = fields.get("token", "").strip()
    token = await run_in_threadpool(Tokens(kitchen.store.engine).find, secret)
    if token is None:
        return html("sign_in.html.j2", 403, trouble="That token is not known here.")
    answer = RedirectResponse("/", 303)
    answer.set_cookie(
        COOKIE,
        secret,
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
        max_age=30 * 24 * 3600,
    )
    return answer
