"""What a form of the page sends: plain fields, read without trusting any of them."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl

from fastapi import HTTPException, Request
from pydantic import ValidationError
from starlette.datastructures import UploadFile

from hobnote.asking.corrections import DishFix, Fix, MoveFix, RowFix, StepFix
from hobnote_api.problems import Refused

_MOST = 60
_PART = 2_000_000
_EMPTIED = (
    ("heat", ("heat",)),
    ("temperature_c", ("temperature_c",)),
    ("minutes", ("minutes_low", "minutes_high")),
    ("until", ("until",)),
)


async def fields_of(request: Request) -> dict[str, str]:
    """The fields of a form, line ends as they are kept everywhere else."""
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if kind != "application/x-www-form-urlencoded":
        raise HTTPException(415, "this address takes the page's own forms only.")
    data = await request.body()
    try:
        pairs = parse_qsl(
            data.decode("utf-8"), keep_blank_values=True, errors="strict", max_num_fields=_MOST
        )
    except ValueError:
        raise HTTPException(400, "these are not the fields of a form.") from None
    return {name: value.replace("\r\n", "\n") for name, value in pairs}


async def note_form(request: Request) -> tuple[dict[str, str], tuple[str, bytes] | None]:
    """The fields of the form that begins a recipe, and the name and bytes of its file, if any."""
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if kind != "multipart/form-data":
        return await fields_of(request), None
    fields, file = {}, None
    try:
        async with request.form(max_files=1, max_fields=_MOST, max_part_size=_PART) as form:
            for name, value in form.multi_items():
                if not isinstance(value, UploadFile):
                    fields[name] = value.replace("\r\n", "\n")
                elif value.filename:
                    file = (value.filename, await value.read())
    except Refused:
        raise
    except HTTPException:
        raise HTTPException(400, "these are not the fields of a form.") from None
    return fields, file


def seen(fields: dict[str, str]) -> int | None:
    """The version that the form was filled in against."""
    text = fields.get("version", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None


def fix_of(fields: dict[str, str]) -> Fix:
    """The correction in a form. Raises ValueError, one sentence, for what cannot be meant."""
    try:
        return _fix(fields)
    except ValidationError as problem:
        first = problem.errors()[0]
        where = str(first["loc"][0]) if first["loc"] else "the form"
        raise ValueError(f"{where}: {first['msg']}.") from None


def _fix(fields: dict[str, str]) -> Fix:
    kind, key = fields.get("kind"), fields.get("key", "")
    gone = "gone" in fields
    if kind == "move":
        return MoveFix.model_validate(
            {"what": fields.get("what"), "key": key, "before": _text(fields, "before")}
        )
    if kind == "ingredient":
        optional = "optional" in fields if "optional_shown" in fields else None
        return RowFix(
            key=key,
            amount=_text(fields, "amount"),
            name=_text(fields, "name"),
            component=_text(fields, "component"),
            optional=optional,
            cleared=("amount",) if _emptied(fields, "amount") else (),
            gone=gone,
        )
    if kind == "step":
        return StepFix.model_validate(
            {
                "key": key,
                "text": _text(fields, "text"),
                "component": _text(fields, "component"),
                "heat": _text(fields, "heat"),
                "temperature_c": _text(fields, "temperature_c"),
                "minutes": _minutes(fields),
                "until": _text(fields, "until"),
                "cleared": [name for name, shown in _EMPTIED if _emptied(fields, *shown)],
                "gone": gone,
            }
        )
    return DishFix.model_validate(
        {"title": _text(fields, "title"), "portions": _text(fields, "portions")}
    )


def _emptied(fields: dict[str, str], *names: str) -> bool:
    """Whether fields of the form were sent back with nothing in them."""
    return all(name in fields and not fields[name].strip() for name in names)


def _text(fields: dict[str, str], name: str) -> str | None:
    return fields.get(name, "").strip() or None


def _minutes(fields: dict[str, str]) -> dict[str, Any] | None:
    low, high = _text(fields, "minutes_low"), _text(fields, "minutes_high")
    if low is None and high is None:
        return None
    return {"low": low or high, "high": high or low}
