"""The ``hobnote`` command: parses options, calls the library, prints. No rules of its own.

Nothing heavy is imported before it is needed: ``--help`` and ``--version``
load neither the language pipeline nor Rich, and JSON output loads no Rich.
"""

from __future__ import annotations

import gc
import importlib
import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hobnote._version import __version__

if TYPE_CHECKING:
    from hobnote.reading import Dictation
    from hobnote.record import Record

# Name of a format and the function (Record -> str) that writes it. "table" is
# the terminal's own and is handed the width and colour as well.
FORMATS: dict[str, str] = {
    "table": "hobnote.publishing.terminal:render",
    "json": "hobnote.cli:as_json",
    "json-ld": "hobnote.publishing.jsonld:to_json_ld",
    "markdown": "hobnote.publishing.markdown:to_markdown",
    "html": "hobnote.publishing.html:to_html",
    "csv": "hobnote.publishing.spreadsheet:to_csv",
    "text": "hobnote.publishing.plaintext:to_text",
}
MEASURES = ("us", "uk", "au", "metric")

# Further commands: loaded when called, listed when their module is there.
COMMANDS: dict[str, tuple[str, str]] = {
    "food": ("hobnote.pantry.commands:app", "Look into the food table."),
    "score": ("hobnote.scoring.command:score", "Score readings against gold records."),
    "chat": ("hobnote.asking.commands:chat", "Settle a recipe by talking."),
    "list": ("hobnote.asking.commands:list_", "List the kept recipes."),
    "show": ("hobnote.asking.commands:show", "Print a kept recipe as it stands."),
    "export": ("hobnote.publishing.commands:export", "Write a recipe for a site, print, a sheet."),
    "import": ("hobnote.publishing.commands:import_", "Keep a recipe that was exported."),
    "cookbook": ("hobnote.publishing.commands:cookbook", "Put recipes together as a book."),
    "batch": ("hobnote.batch.command:batch", "Read many notes at once, on every core."),
    "plan": ("hobnote.planning.commands:plan", "Choose recipes for some days; what to buy."),
    "serve": ("hobnote.serving.commands:serve", "Serve the review page and the HTTP interface."),
    "token": ("hobnote.serving.commands:token", "Make, list and revoke the service's tokens."),
    "history": ("hobnote.asking.commands:history", "Print who said what when."),
    "backup": ("hobnote.keeping.commands:backup", "Copy all that is kept into one file."),
    "restore": ("hobnote.keeping.commands:restore", "Put a backup back; the old stays beside."),
}

app = typer.Typer(
    name="hobnote",
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help=(
        "Dictated cooking notes in, a weighed and scored recipe out.\n\n"
        "Everything runs on this machine; nothing is sent anywhere.\n\n"
        "\b\nFor example:\n"
        "  hobnote read porridge.txt\n"
        "  hobnote read porridge.vtt --portions 12 --format json > porridge.json\n"
        "  hobnote read - < porridge.srt"
    ),
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"hobnote {__version__}")
        raise typer.Exit


@app.callback()
def hobnote(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    """Hold the options that stand before any command."""


def _one_of(choices: tuple[str, ...]) -> Callable[[str | None], str | None]:
    def check(value: str | None) -> str | None:
        if value is not None and value not in choices:
            raise typer.BadParameter(f"choose one of {', '.join(choices)}.")
        return value

    return check


def _some_people(value: float | None) -> float | None:
    if value is not None and not 0 < value <= 100_000:
        raise typer.BadParameter("give a number of portions above 0.")
    return value


@app.command()
def read(
    note: Annotated[
        str,
        typer.Argument(
            metavar="FILE",
            help="Text, chat lines, timed text, WebVTT or SubRip; - reads standard input.",
        ),
    ],
    format_: Annotated[
        str,
        typer.Option(
            "--format",
            metavar="|".join(FORMATS),
            callback=_one_of(tuple(FORMATS)),
            help="How to print the recipe.",
        ),
    ] = "table",
    portions: Annotated[
        float | None,
        typer.Option(
            "--portions",
            metavar="N",
            callback=_some_people,
            help="How many the dish serves, whatever the note says.",
        ),
    ] = None,
    measures: Annotated[
        str | None,
        typer.Option(
            "--measures",
            metavar="|".join(MEASURES),
            callback=_one_of(MEASURES),
            help="Whose cups and spoons; judged from the words if left out.",
        ),
    ] = None,
) -> None:
    """Read a dictated note and print the recipe, its nutrition and what to ask.

    \b
    For example:
      hobnote read porridge.txt --portions 12
    """
    from hobnote.publishing.waiting import Waiting

    where = "standard input" if note == "-" else note
    with Waiting(f"Reading {where}"):
        dictation = _take(note)
        from hobnote.job import read_dictation
        from hobnote.keeping.own_pantry import pantry_with_own

        record = read_dictation(
            dictation, portions=portions, measures=measures, pantries=pantry_with_own
        )
    if format_ != "table":
        for warning in dictation.warnings:
            print(f"hobnote: {warning}", file=sys.stderr)
    _print(_shown(record, format_))


def _take(note: str) -> Dictation:
    from hobnote.reading import read_bytes, read_file

    return read_bytes(sys.stdin.buffer.read()) if note == "-" else read_file(note)


def as_json(record: Record) -> str:
    """The record as the public contract has it, keys in their order."""
    return record.model_dump_json(by_alias=True, indent=2) + "\n"


def _shown(record: Record, format_: str) -> str:
    write = _load(FORMATS[format_])
    if format_ != "table":
        return str(write(record))
    terminal = sys.stdout.isatty()
    colour = terminal and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    width = shutil.get_terminal_size((80, 24)).columns if terminal else 80
    return str(write(record, width=min(width, 100), colour=colour))


def _print(text: str) -> None:
    """UTF-8 on standard output, whatever the locale says."""
    sys.stdout.flush()
    if hasattr(sys.stdout, "buffer"):
        sys.stdout.buffer.write(text.encode("utf-8", "replace"))
        sys.stdout.buffer.flush()
    else:
        sys.stdout.write(text)


def _load(target: str) -> Callable[..., object]:
    module, name = target.split(":")
    found: Callable[..., object] = getattr(importlib.import_module(module), name)
    return found


def _there(target: str) -> bool:
    """Whether the module of a command exists; looked up as a file, so nothing is imported."""
    parts = target.split(":")[0].split(".")[1:]
    return Path(__file__).parent.joinpath(*parts).with_suffix(".py").is_file()


def _mount(arguments: list[str]) -> None:
    """Add the command that is called, and a line in the help for the others."""
    called = next((word for word in arguments if not word.startswith("-")), None)
    for name, (target, summary) in COMMANDS.items():
        if not _there(target):
            continue
        if called != name:
            app.command(name, help=summary)(_listed_only)
            continue
        command = _load(target)
        if isinstance(command, typer.Typer):
            app.add_typer(command, name=name)
        else:
            app.command(name)(command)


def _listed_only() -> None:
    """Stand in the help for a command that was not called."""


def main() -> None:
    """Run the command; every problem is one sentence, never a traceback."""
    # Loading makes a million objects that all stay: looking for garbage among them
    # every few hundred, and once more on the way out, costs a third of a second.
    gc.set_threshold(50_000)
    # The products in a note are too small for threads, which would only wait busily.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _mount(sys.argv[1:])
    try:
        app()
    except BrokenPipeError:
        # The reader of our output left early (head, a closed pager): nothing to say.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(0) from None
    except KeyboardInterrupt:
        _fail("stopped.", 130)
    except Exception as problem:
        from hobnote.keeping.errors import KeepingError  # pydantic comes along: only on demand
        from hobnote.reading.errors import ReadingError

        if isinstance(problem, ReadingError | KeepingError):
            _fail(str(problem), 2)
        if os.environ.get("HOBNOTE_TRACEBACK"):
            raise
        _fail(
            f"something went wrong inside ({type(problem).__name__}: {problem}); "
            "HOBNOTE_TRACEBACK=1 shows where.",
            1,
        )
    finally:
        gc.freeze()


def _fail(sentence: str, code: int) -> None:
    print(f"hobnote: {' '.join(sentence.split())}", file=sys.stderr)
    raise SystemExit(code)


if __name__ == "__main__":
    main()
