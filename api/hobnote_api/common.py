"""What the routes share: the kitchen, the caller, tags."""

from __future__ import annotations

import hashlib
import re
from typing import Annotated

from fastapi import Depends, Header, HTTPException, Path, Request

from hobnote import __version__
from hobnote_api.kitchen import Kitchen
from hobnote_api.settings import Settings
from hobnote_api.work import Operations

_TAG = re.compile(r'(?:W/)?"(\d{1,9})(?:-[^"]*)?"')


def kitchen_of(request: Request) -> Kitchen:
    """The kitchen of the application."""
    found: Kitchen = request.app.state.kitchen
    return found


def settings_of(request: Request) -> Settings:
    """The settings of the application."""
    found: Settings = request.app.state.settings
    return found


def operations_of(request: Request) -> Operations:
    """The long work of the application."""
    found: Operations = request.app.state.operations
    return found


def caller_of(request: Request) -> str:
    """The name of the caller's token; "cook" without one."""
    token = getattr(request.state, "token", None)
    return token.name if token is not None else "cook"


def tag(version: int, foods: str = "") -> str:
    """The entity tag of a recipe's version.

    Another program may read the same words otherwise, and other own foods
    (``foods`` is the pantry's edition) weigh otherwise.
    """
    return f'"{version}-{__version__}{"-" if foods else ""}{foods}"'


def tag_of(body: bytes) -> str:
    """The entity tag of an answer that has no version."""
    return f'"{hashlib.sha256(body).hexdigest()[:32]}"'


def fresh(header: str | None, current: str) -> bool:
    """Whether ``If-None-Match`` names the current tag."""
    if header is None:
        return False
    return header.strip() == "*" or current in [
        part.strip().removeprefix("W/") for part in header.split(",")
    ]


def seen_version(
    if_match: Annotated[
        str | None,
        Header(
            description="The tag of the version that you saw; 412 when the recipe has changed "
            "since. Without it the recipe is taken as it stands.",
            max_length=200,
        ),
    ] = None,
) -> int | None:
    """The version that a writer has seen; None where it does not say."""
    if if_match is None or if_match.strip() == "*":
        return None
    found = _TAG.fullmatch(if_match.strip())
    if found is None:
        raise HTTPException(400, "If-Match holds the ETag of the recipe as you saw it.")
    return int(found[1])


TheKitchen = Annotated[Kitchen, Depends(kitchen_of)]
TheOperations = Annotated[Operations, Depends(operations_of)]
TheSettings = Annotated[Settings, Depends(settings_of)]
Caller = Annotated[str, Depends(caller_of)]
Seen = Annotated[int | None, Depends(seen_version)]
Number = Annotated[
    int, Path(alias="id", ge=1, le=2_147_483_647, description="The recipe's number.")
]
VersionNumber = Annotated[int, Path(ge=1, le=1_000_000)]
IfNoneMatch = Annotated[str | None, Header(max_length=2_000)]
