"""``hobnote serve`` and ``hobnote token``: parse, call, print."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated, Literal, cast

import typer

from hobnote.keeping.entry import Database, opened

if TYPE_CHECKING:
    from hobnote.keeping.tokens import Tokens

PORT = 8462


def serve(
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Where to listen.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", min=0, max=65_535, help="0 takes any free one.")
    ] = PORT,
    database: Database = None,
    rate: Annotated[
        int, typer.Option("--rate", min=0, help="Most requests a minute of one caller; 0: any.")
    ] = 600,
    seconds: Annotated[
        float, typer.Option("--seconds", min=1, max=3_600, help="Longest that one may take.")
    ] = 60.0,
    locked: Annotated[
        bool, typer.Option("--locked", help="Ask for a token on this machine, too.")
    ] = False,
) -> None:
    """Serve the review page and the HTTP interface on this machine.

    \b
    For example:
      hobnote serve
      hobnote token create planner --scope read
      hobnote serve --host 192.168.1.20
    """
    from hobnote.keeping.errors import KeepingError
    from hobnote.serving.server import ServingError, run

    try:
        run(host, port, database, rate=rate, seconds=seconds, locked=locked)
    except (ServingError, KeepingError) as problem:
        print(f"hobnote: {problem}", file=sys.stderr)
        raise typer.Exit(2) from None


token = typer.Typer(
    name="token",
    help="Make, list and revoke the tokens that let others in.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


@contextmanager
def _tokens(database: str | None) -> Iterator[Tokens]:
    from hobnote.keeping.tokens import Tokens

    with opened(Tokens.open, database) as tokens:
        yield tokens


@token.command()
def create(
    name: Annotated[str, typer.Argument(help="Whose it is, to know it by.")],
    scope: Annotated[
        str, typer.Option("--scope", metavar="read|write", help="What it may do.")
    ] = "read",
    database: Database = None,
) -> None:
    """Make a token and print it, this once; only its digest is kept."""
    if scope not in ("read", "write"):
        raise typer.BadParameter("choose one of read, write.", param_hint="--scope")
    with _tokens(database) as tokens:
        print(tokens.create(name, cast(Literal["read", "write"], scope)))


@token.command("list")
def list_(database: Database = None) -> None:
    """List the tokens: name, scope, when made, whether revoked."""
    with _tokens(database) as tokens:
        found = tokens.list()
    if not found:
        print("No tokens yet; 'hobnote token create NAME' makes one.")
    for one in found:
        made = one.created.astimezone().strftime("%Y-%m-%d %H:%M")
        gone = "" if one.revoked is None else "  revoked"
        print(f"{made}  {one.scope:<5}  {one.name}{gone}")


@token.command()
def revoke(
    name: Annotated[str, typer.Argument(help="Its name, as listed.")], database: Database = None
) -> None:
    """Refuse a token from now on."""
    with _tokens(database) as tokens:
        tokens.revoke(name)
    print(f"{name} is revoked.")
