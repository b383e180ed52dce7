"""Fill the README's example with a demo note and what the program prints for it.

``make readme`` runs this; a test compares, so the README cannot go stale.
"""

from __future__ import annotations

import re
from pathlib import Path

from hobnote.job import read_dictation
from hobnote.publishing.terminal import render
from hobnote.reading import read_file

ROOT = Path(__file__).parent.parent
PLACE = re.compile(r"<!-- (?P<what>note|output): (?P<path>\S+) -->\n.*?<!-- end -->", re.DOTALL)


def filled(readme: str) -> str:
    """``readme`` with every marked place filled anew."""
    return PLACE.sub(lambda place: _block(place["what"], place["path"]), readme)


def _block(what: str, path: str) -> str:
    dictation = read_file(ROOT / path)
    shown = dictation.text if what == "note" else render(read_dictation(dictation), width=80)
    if what == "note":
        body = "\n".join(f"> {line}".rstrip() for line in shown.strip().splitlines())
    else:
        body = f"```text\n{shown.strip()}\n```"
    return f"<!-- {what}: {path} -->\n{body}\n<!-- end -->"


if __name__ == "__main__":
    page = ROOT / "README.md"
    page.write_text(filled(page.read_text(encoding="utf-8")), encoding="utf-8")
