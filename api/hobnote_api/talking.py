"""What is said about a recipe: messages, answers, corrections by hand, undo and redo."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, HTTPException, Response

from hobnote.asking.conversation import Conversation, Reply
from hobnote.keeping import StaleRecipe
from hobnote_api.common import Caller, Number, Seen, TheKitchen, tag
from hobnote_api.kitchen import Kitchen, check_version, met
from hobnote_api.problems import answers
from hobnote_api.shapes import Answer, Answered, Back, Correction, Message

router = APIRouter(prefix="/v1/recipes/{id}", tags=["conversation"])
_ANSWERS = answers(404, 409, 412)
_TRIES = 5

Doing = Callable[[Conversation], Reply]


def done(kitchen: Kitchen, number: int, seen: int | None, doing: Doing) -> tuple[Answered, str]:
    """Do something to a recipe; 412 tells a writer who saw an older version what changed.

    One that says no version is heard on the recipe as it stands, again where
    another process was quicker. Gives the answer and the recipe's new tag.
    """
    with kitchen.recipe(number) as talk:
        check_version(talk, seen)
        for tried in range(_TRIES):
            try:
                reply = doing(talk)
                break
            except StaleRecipe as problem:
                if seen is not None or tried == _TRIES - 1:
                    raise met(talk, problem) from None
                talk.refresh()
        return Answered.of(reply, talk), tag(talk.version, talk.pantry.edition)


def _sent(done: tuple[Answered, str]) -> Response:
    answered, current = done
    return Response(
        answered.model_dump_json(by_alias=True),
        media_type="application/json",
        headers={"ETag": current, "Cache-Control": "private, no-cache"},
    )


def answering(talk: Conversation, question: str, answer: str | int, who: str) -> Reply:
    """Answer a question; 409 where it is not open, 422 where it has no such option."""
    try:
        return talk.answer(question, answer, who)
    except KeyError:
        raise HTTPException(409, "that question is not open (any more).") from None
    except IndexError:
        raise HTTPException(422, f"the question has no option {answer}.") from None


def correcting(talk: Conversation, correction: Correction, who: str) -> Reply:
    """Put something right; 409 where the row or step is not there."""
    try:
        return talk.correct(correction.fix, who)
    except KeyError:
        raise HTTPException(
            409, f"there is no {correction.fix.kind} with that key (any more)."
        ) from None


@router.post("/messages", response_model=Answered, summary="Say something", responses=_ANSWERS)
def message(
    number: Number, said: Message, kitchen: TheKitchen, caller: Caller, seen: Seen
) -> Response:
    """Say it as in the chat: an answer, a correction, a swap, a question, more of the note."""
    who = said.who or caller
    return _sent(done(kitchen, number, seen, lambda talk: talk.say(said.text, who)))


@router.post("/answers", response_model=Answered, summary="Answer a question", responses=_ANSWERS)
def answer(
    number: Number, given: Answer, kitchen: TheKitchen, caller: Caller, seen: Seen
) -> Response:
    """Answer an open question by its id: in words, or with one of its options."""
    who = given.who or caller
    return _sent(
        done(kitchen, number, seen, lambda t: answering(t, given.question, given.answer, who))
    )


@router.post(
    "/corrections", response_model=Answered, summary="Put something right", responses=_ANSWERS
)
def correct(
    number: Number, correction: Correction, kitchen: TheKitchen, caller: Caller, seen: Seen
) -> Response:
    """Correct a row, a step or the dish by hand; only what differs is changed."""
    who = correction.who or caller
    return _sent(done(kitchen, number, seen, lambda talk: correcting(talk, correction, who)))


@router.post("/undo", response_model=Answered, summary="Take back", responses=_ANSWERS)
def undo(number: Number, back: Back, kitchen: TheKitchen, caller: Caller, seen: Seen) -> Response:
    """Take back the last messages that changed something; the first note stays."""
    who = back.who or caller
    return _sent(done(kitchen, number, seen, lambda talk: talk.undo(back.count, who)))


@router.post("/redo", response_model=Answered, summary="Bring back", responses=_ANSWERS)
def redo(number: Number, back: Back, kitchen: TheKitchen, caller: Caller, seen: Seen) -> Response:
    """Bring back what was taken back last."""
    who = back.who or caller
    return _sent(done(kitchen, number, seen, lambda talk: talk.redo(back.count, who)))
