"""Our record as JSON, read back, and its JSON Schema (``docs/record.schema.json``)."""

from __future__ import annotations

import json
from typing import Any

from pydantic import ValidationError

from hobnote.publishing.errors import PublishingError
from hobnote.publishing.options import DEFAULT, Options
from hobnote.record import Record

SCHEMA = "hobnote/record@1"


def to_json(record: Record, options: Options = DEFAULT) -> str:
    """The whole record, keys in their order. Units stay as they were said, whatever was chosen."""
    return options.admit(record).model_dump_json(by_alias=True, indent=2) + "\n"


def from_json(text: str | bytes) -> Record:
    """A record from its JSON. Raises PublishingError, one sentence that says where."""
    try:
        record = Record.model_validate_json(text, strict=True)  # "7" and true are no figures
    except ValidationError as problem:
        first = problem.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the document"
        raise PublishingError(f"this is not a record: {where}: {first['msg']}") from None
    if record.schema_ != SCHEMA:
        raise PublishingError(
            f"this record is {record.schema_!r}; this Hobnote reads {SCHEMA!r} only"
        )
    return record


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``to_json`` writes."""
    found = Record.model_json_schema(by_alias=True, mode="serialization")
    found["properties"]["schema"]["const"] = SCHEMA
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:{SCHEMA.replace('/', ':').replace('@', ':')}",
        **found,
    }


def schema_text() -> str:
    """The schema as the file holds it: ``python -m hobnote.publishing.record_json``."""
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")
