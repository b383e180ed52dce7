"""A Parquet file of records, a row a note: the plain figures as columns, the record as JSON.

A Parquet file cannot be written on after a kill, so the rows gather in an
NDJSON file beside it, which is turned into Parquet at the end and removed.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from types import ModuleType
from typing import IO, Any, Final

from hobnote.batch.errors import BatchError
from hobnote.batch.journal import Journal
from hobnote.batch.sinks import LinesSink

GROUP: Final = 1_000
"""Rows of a row group; that many records are in memory at once."""
NUTRIENTS: Final = ("energy_kcal", "protein_g", "fat_g", "carbohydrate_g", "fibre_g", "sodium_mg")
_BOUNDS: Final = ("low", "best", "high")


class ParquetSink(LinesSink):
    """Gathers lines, then writes ``path`` in one go."""

    kind = "parquet"

    def __init__(self, path: Path) -> None:
        super().__init__(path.with_name(path.name + ".part"))
        self.final = path
        needs_arrow()

    def _journal_path(self) -> Path:
        return self.final.with_name(self.final.name + ".batch")

    def journal(self, settings: dict[str, Any], *, afresh: bool) -> Journal:
        """Kept beside the file until it is finished."""
        if afresh:
            self.final.unlink(missing_ok=True)
        elif self.final.exists():
            raise BatchError(f"{self.final} is there already; --afresh writes it anew.")
        return super().journal(settings, afresh=afresh)

    def finish(self, journal: Journal) -> None:
        """Turn the lines into Parquet."""
        self.close()
        aside = self.final.with_name(self.final.name + ".new")
        with aside.open("wb") as file, self.path.open("rb") as lines:
            write_rows(file, lines)
        aside.replace(self.final)
        self.path.unlink()
        if journal.path is not None:
            journal.path.unlink()


def write_rows(file: IO[bytes], lines: Iterable[str | bytes]) -> None:
    """NDJSON lines into one Parquet file, some of them in memory at a time."""
    arrow = needs_arrow()
    from pyarrow import parquet  # type: ignore[import-not-found,import-untyped,unused-ignore]

    shape = schema(arrow)
    rows: Iterator[dict[str, Any]] = (row_of(json.loads(line)) for line in lines)
    with parquet.ParquetWriter(file, shape) as writer:
        while group := list(islice(rows, GROUP)):
            writer.write_table(arrow.Table.from_pylist(group, schema=shape))


def needs_arrow() -> ModuleType:
    """The library, or a sentence that says how to get it."""
    try:
        import pyarrow  # type: ignore[import-not-found,import-untyped,unused-ignore]
    except ModuleNotFoundError:
        raise BatchError(
            "Parquet needs the library pyarrow; install hobnote[batch], or write FILE.ndjson."
        ) from None
    module: ModuleType = pyarrow
    return module


def schema(arrow: Any) -> Any:
    """The columns and their types."""
    text, number = arrow.string(), arrow.float64()
    figures = [f"{key}_{b}" for key in ("portions", *NUTRIENTS) for b in _BOUNDS]
    return arrow.schema(
        [
            ("note", text),
            ("title", text),
            ("measures", text),
            ("ingredients", arrow.list_(text)),
            ("steps", arrow.int32()),
            ("questions", arrow.int32()),
            *((name, number) for name in figures),
            ("record", text),
        ]
    )


def row_of(line: dict[str, Any]) -> dict[str, Any]:
    """One row from one NDJSON line; what was not said is null. Nutrients are the whole dish's."""
    record = line["record"]
    found: dict[str, Any] = {
        "note": line["note"],
        "title": record["title"],
        "measures": record["measures"],
        "ingredients": [r["name"] for part in record["components"] for r in part["ingredients"]],
        "steps": len(record["steps"]),
        "questions": len(record["flags"]),
        "record": json.dumps(record, ensure_ascii=False),
    }
    figures = {"portions": record["portions"], **record["nutrition"]["total"]}
    for key in ("portions", *NUTRIENTS):
        bounds = figures.get(key) or {}
        found.update({f"{key}_{b}": bounds.get(b) for b in _BOUNDS})
    return found
