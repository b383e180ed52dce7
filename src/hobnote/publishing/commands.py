"""``hobnote export`` and ``hobnote cookbook``: parse, call the library, write."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from hobnote.publishing.book import BookPlan
    from hobnote.record import Record

Settled = Annotated[
    bool, typer.Option("--settled-only", help="Refuse a recipe with open questions.")
]
Database = Annotated[
    str | None,
    typer.Option("--database", metavar="URL", help="File or address of the recipes."),
]


@contextmanager
def _told() -> Iterator[None]:
    """Every problem is one sentence and exit status 2."""
    from hobnote.keeping.errors import KeepingError
    from hobnote.publishing.errors import PublishingError

    try:
        yield
    except (PublishingError, KeepingError) as problem:
        print(f"hobnote: {problem}", file=sys.stderr)
        raise typer.Exit(2) from None
    except OSError as problem:
        print(f"hobnote: {problem.filename}: {problem.strerror}.", file=sys.stderr)
        raise typer.Exit(2) from None


def export(
    recipe: Annotated[
        str,
        typer.Argument(
            metavar="ID|FILE", help="A kept recipe's number, a record, linked data or a note."
        ),
    ],
    format: Annotated[
        str,
        typer.Option(
            "--as", metavar="FORMAT", help="json, json-ld, markdown, html, pdf, csv or text."
        ),
    ] = "markdown",
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="Where to write; pdf needs it.")
    ] = None,
    units: Annotated[
        str, typer.Option("--units", metavar="g|cups|both", help="Grams, US cups, or both.")
    ] = "both",
    settled_only: Settled = False,
    video: Annotated[
        str | None, typer.Option("--video", metavar="URL", help="The video that was spoken over.")
    ] = None,
    page: Annotated[
        str | None, typer.Option("--page", metavar="URL", help="Where the recipe will stand.")
    ] = None,
    database: Database = None,
) -> None:
    """Write a recipe for a site, for print, for a spreadsheet or under a video.

    \b
    For example:
      hobnote export 3 --as pdf --out porridge.pdf
      hobnote export porridge.json --as html --units cups > porridge.html
    """
    from hobnote.publishing.errors import PublishingError
    from hobnote.publishing.formats import export as exported
    from hobnote.publishing.options import UNITS, Options

    with _told():
        if units not in UNITS:
            raise PublishingError(f"units are one of {', '.join(UNITS)}, not {units!r}")
        if format == "pdf" and out is None:
            raise PublishingError("print goes to a file: add --out FILE.pdf")
        options = Options(
            units=units,  # type: ignore[arg-type]
            settled_only=settled_only,
            video=video,
            page=page,
        )
        _write(exported(_recipe(recipe, Path(), database)[0], format, options), out)


def import_(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Records or linked data (JSON).")
    ],
    who: Annotated[str, typer.Option("--who", metavar="NAME", help="Who brings it.")] = "import",
    database: Database = None,
) -> None:
    """Keep recipes that were exported, here or elsewhere; then chat about them as about any other.

    \b
    For example:
      hobnote import porridge.json
    """
    from hobnote.keeping.store import Store
    from hobnote.keeping.turns import Draft
    from hobnote.publishing.importing import events_of_record
    from hobnote.publishing.sources import structured_in

    with _told():
        records = [structured_in(path) for path in files]
        store = Store.open(database)
        try:
            for path, record in zip(files, records, strict=True):
                first = Draft(
                    "said", f"imported from {path.name}", tuple(events_of_record(record)), who
                )
                number = store.create(first, title=record.title, measures=record.measures)
                print(f"Kept {record.title or path.name} as recipe {number}.")
        finally:
            store.close()


def cookbook(
    plan: Annotated[Path, typer.Argument(metavar="BOOK.toml", help="The plan of the book.")],
    out: Annotated[
        Path, typer.Option("--out", metavar="FILE", help="Where to write: .html, .pdf or .epub.")
    ],
    settled_only: Settled = False,
    database: Database = None,
) -> None:
    """Put recipes together as a book with tables, an index and what changed.

    The versions so far are kept in BOOK.builds.json beside the plan.

    \b
    For example:
      hobnote cookbook regatta.toml --out regatta.pdf
    """
    from hobnote.publishing.book import Builds, book_in, built, to_epub, to_html
    from hobnote.publishing.errors import PublishingError
    from hobnote.publishing.pdf import printed

    with _told():
        if out.suffix not in (".html", ".pdf", ".epub"):
            raise PublishingError(f"{out} must end in .html, .pdf or .epub")
        wanted = book_in(plan)
        kept = plan.with_suffix(".builds.json")
        builds = Builds.read(kept.read_text(encoding="utf-8")) if kept.exists() else Builds()
        recipes = _recipes(wanted, plan.parent, database)
        book, builds = built(
            wanted, recipes, builds, date.today().isoformat(), settled_only=settled_only
        )
        if out.suffix == ".epub":
            data = to_epub(book)
        else:
            page = to_html(book)
            data = printed(page) if out.suffix == ".pdf" else page.encode("utf-8")
        _write(data, out)
        kept.write_text(builds.text(), encoding="utf-8")
    print(f"{book.title}, version {book.version}: {len(book.dishes)} recipes in {out}.")
    for change in book.changes:
        print(f"  {change}")


def _recipes(plan: BookPlan, beside: Path, database: str | None) -> dict[str, tuple[Record, int]]:
    return {str(named): _recipe(named, beside, database) for named in plan.wanted()}


def _recipe(named: int | str, beside: Path, database: str | None) -> tuple[Record, int]:
    """A record and its version: a kept recipe by its number, else a file."""
    if isinstance(named, int) or (named.isdecimal() and not (beside / named).exists()):
        from hobnote.asking.conversation import Conversation
        from hobnote.keeping.store import Store

        store = Store.open(database)
        try:
            talk = Conversation.resume(store, int(named))
            return talk.record, talk.version
        finally:
            store.close()
    from hobnote.publishing.sources import record_in

    return record_in(beside / named), 1


def _write(data: bytes, out: Path | None) -> None:
    if out is not None:
        out.write_bytes(data)
        return
    sys.stdout.flush()
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()
