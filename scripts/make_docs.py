"""Fill the pages of docs/ with what the program prints, and write the command reference.

    python scripts/make_docs.py          # also run by "make readme"

In the pages of ``docs/tutorial.md`` and ``docs/how-to/``:

    ```text title="porridge.txt"         a file of the session
    ```console                           each line that begins with "$ " is run by bash, in
                                         order, and what it prints stands below it
    ```sh                                shown, never run (a service, an installation)

A page is one session: an empty folder, an empty store. Dates, speeds and the folder's
own name are made the same for every run; nothing else is touched. ``tests/docs`` compares.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
COMMANDS = DOCS / "reference" / "command-line.md"
FENCE = re.compile(
    r"^```(?P<kind>console|text title=\"(?P<name>[^\"]+)\")\n(?P<body>.*?)^```$", re.M | re.S
)
ANSI = re.compile(r"\x1b\[[0-9;]*m")
# What differs from run to run is printed as this: the first day of a season, a speed.
SAME = [
    (re.compile(r"\b[\d.,]+ a second\b"), "2.4 a second"),
    (re.compile(r"\b20\d\d-\d\d-\d\d \d\d:\d\d\b"), "2026-05-02 06:10"),
    (re.compile(r"\b20\d{6}-\d{6}\b"), "20260502-061000"),
    (re.compile(r"\b20\d\d-\d\d-\d\d\b"), "2026-05-02"),
]


def pages() -> list[Path]:
    """The pages with sessions in them."""
    return [DOCS / "tutorial.md", *sorted((DOCS / "how-to").glob("*.md"))]


def filled(page: str) -> str:
    """``page`` with every session's output renewed. Raises ValueError where a command fails."""
    with tempfile.TemporaryDirectory() as folder:
        session = Session(Path(folder))
        return FENCE.sub(session.block, page)


class Session:
    """A home folder with an empty store, and bash in it."""

    def __init__(self, folder: Path) -> None:
        self.home = folder / "home"
        self.work = self.home / "galley"
        self.work.mkdir(parents=True)
        programs = folder / "bin"
        programs.mkdir()
        start = 'import sys; sys.argv[0] = "hobnote"; from hobnote.cli import main; main()'
        for name, words in (("hobnote", f"-c '{start}'"), ("python", "")):
            program = programs / name
            program.write_text(f'#!/bin/sh\nexec {sys.executable} -W ignore {words} "$@"\n')
            program.chmod(0o755)
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("HOBNOTE_", "XDG_"))}
        self.env = kept | {
            "HOME": str(self.home), "PATH": f"{programs}:{os.environ['PATH']}", "COLUMNS": "80",
            "TZ": "UTC", "NO_COLOR": "1", "LC_ALL": "C.UTF-8", "PYTHONUTF8": "1",
        }  # fmt: skip

    def block(self, fence: re.Match[str]) -> str:
        """A file is written, a console is run."""
        if fence["name"]:
            (self.work / fence["name"]).write_text(fence["body"], encoding="utf-8")
            return fence[0]
        lines = list(self._lines(fence["body"]))
        return "```console\n" + "\n".join(lines) + "\n```"

    def _lines(self, body: str) -> Iterator[str]:
        for line in body.splitlines():
            if line.startswith("$ "):
                yield line
                yield from self.run(line[2:]).splitlines()

    def run(self, line: str) -> str:
        """What one line prints, standard error after standard output."""
        done = subprocess.run(
            ["bash", "-o", "pipefail", "-c", line], cwd=self.work, env=self.env, check=False,
            capture_output=True, text=True, encoding="utf-8",
        )  # fmt: skip
        # A reader that left early (head) is no failure; nor is a status that the page shows.
        if done.returncode not in (0, 2, 3):
            raise ValueError(f"'{line}' ended with {done.returncode}: {done.stderr}")
        text = (done.stdout + done.stderr).replace(str(self.work), ".")
        text = text.replace(str(self.home), "~")
        for pattern, same in SAME:
            text = pattern.sub(same, text)
        return "\n".join(part.rstrip() for part in text.splitlines())


# -- the command reference -----------------------------------------------------------


def command_reference() -> str:
    """Every command with its arguments and options, from the program itself."""
    from hobnote import cli

    app = typer.Typer(name="hobnote", rich_markup_mode=None, no_args_is_help=True)
    app.command("read")(cli.read)
    for name, (target, _) in cli.COMMANDS.items():
        found = cli._load(target)
        if isinstance(found, typer.Typer):
            app.add_typer(found, name=name)
        else:
            app.command(name)(found)
    root = typer.main.get_command(app)
    parts = [
        "# The command line\n\nMade from the program itself by `python scripts/make_docs.py`; "
        "`hobnote COMMAND --help` prints the same. Bad input ends with one sentence on standard "
        "error and status 2.\n"
    ]
    parts += _told(root, "hobnote", None)
    return "\n".join(parts)


def _told(command: Any, name: str, parent: Any) -> list[str]:
    """A command's help and its subcommands'. Typer brings a Click of its own, so: by shape."""
    context = command.context_class(command, info_name=name, parent=parent)
    told: list[str] = []
    if parent is not None:
        depth = len(context.command_path.split())
        told.append(f"{'#' * depth} `{context.command_path}`\n\n```text\n{_help(context)}\n```\n")
    if hasattr(command, "list_commands"):
        for inner in sorted(command.list_commands(context)):
            told += _told(command.get_command(context, inner), inner, context)
    return told


def _help(context: Any) -> str:
    context.terminal_width = context.max_content_width = 88
    text = ANSI.sub("", context.get_help())
    return "\n".join(line.rstrip() for line in text.splitlines()).strip()


def main() -> None:
    """Renew everything."""
    for page in pages():
        print(page.relative_to(ROOT))
        page.write_text(filled(page.read_text(encoding="utf-8")), encoding="utf-8")
    COMMANDS.parent.mkdir(exist_ok=True)
    COMMANDS.write_text(command_reference(), encoding="utf-8")
    print(COMMANDS.relative_to(ROOT))


if __name__ == "__main__":
    main()
