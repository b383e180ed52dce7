"""The pages show what the program does, word for word (``make readme`` renews them)."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, ROOT / "scripts" / f"{name}.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


make_docs = script("make_docs")


@pytest.mark.parametrize("page", make_docs.pages(), ids=lambda page: page.stem)
def test_every_command_prints_what_the_page_says(page: Path) -> None:
    shown = page.read_text(encoding="utf-8")
    assert "```console\n$ " in shown
    assert make_docs.filled(shown) == shown


def test_the_command_reference_is_the_programs_own() -> None:
    from hobnote.cli import COMMANDS

    shown = make_docs.COMMANDS.read_text(encoding="utf-8")
    assert shown == make_docs.command_reference()
    told = set(re.findall(r"^## `hobnote (\w+)`$", shown, re.M))
    assert told == {"read", *COMMANDS}


def test_a_command_that_fails_is_no_example() -> None:
    with pytest.raises(ValueError, match="no-such-program"):
        make_docs.filled("```console\n$ no-such-program\n```\n")


def test_outputs_are_renewed_and_nothing_else() -> None:
    shown = "```sh\nhobnote serve\n```\n"
    page = f"# A page\n\n{shown}\n```console\n$ echo oats\nbarley\n$ pwd\n```\nEnd.\n"
    assert make_docs.filled(page) == page.replace("barley", "oats").replace(
        "$ pwd\n", "$ pwd\n.\n"
    )
