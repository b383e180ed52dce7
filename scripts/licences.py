"""Write docs/licences.md: every package of requirements.lock with its licence.

    python scripts/licences.py            # also run by "make lock"

Licences come from the installed packages' own metadata, notes from docs/licences.toml.
What cannot be told is printed and makes the script fail: nothing is left unsaid.
"""

from __future__ import annotations

import re
import sys
import tomllib
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "licences.md"
COPYLEFT = re.compile(r"GPL|General Public|MPL|Mozilla|CC-BY-SA|EUPL|CDDL|EPL", re.IGNORECASE)
HEAD = """# Licences of what Hobnote stands on

Hobnote itself is under Apache-2.0. It installs other people's packages and contains none of
them. These are all of `requirements.lock`, with the licence that each says it is under.
Made by `python scripts/licences.py`; data files name their sources in their own heads.
"""
# As extras are named in pyproject.toml; "test" and "docs" never reach a user.
ORDER = ("", "print", "plan", "postgres", "batch", "score", "docs", "test")
WORDS = {"": "always", "docs": "documentation alone", "test": "tests alone"}


def locked(lock: str) -> list[str]:
    """The names of the packages in a lock file, as it has them."""
    lines = (line.strip() for line in lock.splitlines())
    return [re.split(r"[=@ ;\[]", line)[0] for line in lines if line and line[0] not in "#-"]


def plain(name: str) -> str:
    """A package's name as the registry compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def licence(name: str, known: dict[str, str]) -> str | None:
    """What the package says, in the shortest form that it has; None where it says nothing."""
    if name in known:
        return known[name]
    about = metadata.metadata(name)
    expression = about.get("License-Expression")
    if expression:
        return str(expression)
    told = [str(line).split("::")[-1].strip() for line in about.get_all("Classifier") or []
            if str(line).startswith("License ::")]  # fmt: skip
    short = str(about.get("License") or "")
    if 0 < len(short) < 40 and "\n" not in short and not len(told) > 1:
        return short
    return ", ".join(told) or None


def needed_for(extras: tuple[str, ...]) -> dict[str, str]:
    """For each package the first extra of hobnote ("" is none) that brings it."""
    found: dict[str, str] = {}
    for extra in extras:
        waiting: list[tuple[str, frozenset[str]]] = [("hobnote", frozenset({extra}))]
        seen: set[tuple[str, frozenset[str]]] = set()
        while waiting:
            name, wanted = waiting.pop()
            if (name, wanted) in seen:
                continue
            seen.add((name, wanted))
            found.setdefault(plain(name), extra)
            try:
                asks = metadata.requires(name) or []
            except metadata.PackageNotFoundError:
                continue
            for line in asks:
                one = Requirement(line)
                marker = one.marker
                if marker is None or any(marker.evaluate({"extra": e}) for e in wanted | {""}):
                    waiting.append((one.name, frozenset(one.extras) or frozenset({""})))
    return found


def page() -> tuple[str, list[str]]:
    """The page, and what it could not tell."""
    table = tomllib.loads((ROOT / "docs" / "licences.toml").read_text(encoding="utf-8"))
    names = locked((ROOT / "requirements.lock").read_text(encoding="utf-8"))
    extras = {plain(name): extra for name, extra in needed_for(ORDER).items()}
    rows, copyleft, missing = [], [], []
    for name in sorted(names, key=str.lower):
        try:
            found = licence(name, table["licences"])
        except metadata.PackageNotFoundError:
            missing.append(f"{name} is not installed here")
            continue
        if found is None:
            missing.append(f"{name} does not say its licence; add it to docs/licences.toml")
            continue
        extra = extras.get(plain(name), "test")
        use = WORDS.get(extra, f"extra `{extra}`")
        rows.append(f"| {name} | {found} | {use} |")
        if COPYLEFT.search(found):
            note = table["notes"].get(name)
            if note is None:
                missing.append(f"{name} ({found}) needs a note in docs/licences.toml")
            copyleft.append(f"| {name} | {found} | {use} | {note} |")
    parts = [
        HEAD,
        "## Those that ask for something in return\n",
        "| Package | Licence | Needed | What it means here |\n|---|---|---|---|",
        "\n".join(copyleft),
        "\n## All\n",
        "| Package | Licence | Needed |\n|---|---|---|",
        "\n".join(rows),
    ]
    return "\n".join(parts) + "\n", missing


if __name__ == "__main__":
    text, missing = page()
    for line in missing:
        print(f"licences: {line}.", file=sys.stderr)
    if missing:
        raise SystemExit(1)
    PAGE.write_text(text, encoding="utf-8")
    print(PAGE.relative_to(ROOT))
