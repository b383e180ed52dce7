"""Cookbooks: order, index, tables, versions and what changed between them."""

from __future__ import annotations

import io
import re
import zipfile
from xml.etree import ElementTree

import pytest

from hobnote.publishing.book import BookPlan, Builds, book_in, built, to_epub, to_html
from hobnote.publishing.book.tables import allergen_index, protein_rows, vegetable_rows
from hobnote.publishing.errors import OpenQuestions, PublishingError
from hobnote.record import Allergen, Bounds, Component, FoodRef, Ingredient, Nutrition, Record, Step


def row(name, grams, food=None):
    ref = food and FoodRef(id=food, description=name, match=1)
    return Ingredient(name=name, grams=Bounds(low=grams, best=grams, high=grams), food=ref)


def salad(grams=200):
    return Record(
        title="lentil & beetroot salad",
        portions=Bounds(low=4, best=4, high=4),
        components=[Component(ingredients=[row("red lentil", grams), row("carrot", 100)])],
        steps=[
            Step(number=1, text="Boil the lentils", verb="boil"),
            Step(number=2, text="Toss", verb="toss"),
        ],
        nutrition=Nutrition(per_portion={"energy_kcal": Bounds(low=300, best=310, high=340)}),
        allergens=[Allergen(name="celery", regimes=["EU"], certainty="may contain")],
    )


@pytest.fixture
def recipes(record):
    return {"1": (record, 3), "salad.json": (salad(), 1)}


PLAN = BookPlan.model_validate(
    {
        "title": "The Boathouse Galley",
        "foreword": "For crews & <coaches>.\n\nEat well.",
        "chapter": [
            {"title": "Before racing", "recipes": [1]},
            {"title": "After", "recipes": ["salad.json"]},
        ],
    }
)


def first(recipes, plan=PLAN):
    return built(plan, recipes, Builds(), "2026-03-01")


def test_the_page_has_everything_in_order(recipes):
    page = to_html(first(recipes)[0])
    wanted = [
        "The Boathouse Galley</h1>",
        "Version 1, 2026-03-01",
        ">Contents<",
        ">Foreword</h1>",
        "For crews &amp; &lt;coaches&gt;.",
        "Eat well.",
        ">Before racing</h1>",
        "Regatta porridge</h2>",
        ">After</h1>",
        "Lentil &amp; beetroot salad</h2>",
        ">Tables</h1>",
        ">Index</h1>",
        ">What changed</h1>",
        "This is the first version",
    ]
    places = [page.index(words) for words in wanted]
    assert places == sorted(places)
    anchors = set(re.findall(r'id="([^"]+)"', page))
    assert set(re.findall(r'href="#([^"]+)"', page)) <= anchors
    assert "<script" not in page
    assert not re.search(r'href="(?!#)', page)


def test_drafts_show_and_can_be_refused(recipes):
    book, _ = first(recipes)
    assert book.drafts == ["Regatta porridge"]
    assert "1 recipe has open questions" in to_html(book)
    with pytest.raises(OpenQuestions):
        built(PLAN, recipes, Builds(), "2026-03-01", settled_only=True)


def test_a_book_that_prints_the_same_keeps_its_version(recipes):
    book, builds = first(recipes)
    recipes["1"] = (recipes["1"][0], 9)  # a turn that changed nothing that is printed
    again, kept = built(PLAN, recipes, Builds.read(builds.text()), "2026-04-01")
    assert (again.version, again.made, again.changes) == (1, "2026-03-01", ())
    assert kept == builds
    assert to_epub(again) == to_epub(book)


def test_a_new_version_says_what_changed(recipes):
    _, builds = first(recipes)
    changed = salad(250)
    changed.components[0].ingredients[1] = row("celeriac", 80)
    changed.steps[1].text = "Toss gently"
    changed.portions = Bounds(low=6, best=6, high=6)
    recipes["salad.json"] = (changed, 2)
    recipes["1"][0].flags.clear()
    for part in recipes["1"][0].components:
        for ingredient in part.ingredients:
            ingredient.flags.clear()
    book, builds = built(PLAN, recipes, builds, "2026-04-01")
    assert (book.version, book.before, len(builds.builds)) == (2, 1, 2)
    told = "\n".join(book.changes)
    for words in (
        "every question is answered",
        "6 portions, was 4 portions",
        "red lentil is 250 g (8¾ oz), was 200 g (7 oz)",
        "celeriac is new",
        "carrot is left out",
        "step 2 changed",
    ):
        assert words in told
    assert "Since version 1:" in to_html(book)
    # Printed again without a change, the second version still says what it changed.
    assert built(PLAN, recipes, builds, "2026-05-01")[0].changes == book.changes


def test_recipes_that_come_go_and_move(recipes):
    _, builds = first(recipes)
    other = BookPlan.model_validate(
        {
            "title": "The Shed",
            "chapter": [{"title": "After", "recipes": ["salad.json", "new.json"]}],
        }
    )
    book, _ = built(
        other,
        {**recipes, "new.json": (salad().model_copy(update={"title": None}), 1)},
        builds,
        "2026-04-01",
    )
    told = "\n".join(book.changes)
    for words in (
        "now called The Shed",
        "foreword was rewritten",
        "New: New.",
        "Taken out: Regatta porridge",
    ):
        assert words in told
    swapped = BookPlan.model_validate(
        {
            **PLAN.model_dump(by_alias=True),
            "chapter": PLAN.model_dump(by_alias=True)["chapter"][::-1],
        }
    )
    assert built(swapped, recipes, builds, "2026-04-01")[0].changes == (
        "Recipes were put in another order.",
    )


def test_tables_rank_foods_of_the_book(recipes):
    from hobnote.pantry import open_pantry

    def food(name):
        return open_pantry("us").match(name).food.id

    parts = [
        row(name, 100, food(name))
        for name in (
            "chicken breast",
            "red lentil",
            "carrot",
            "spinach",
            "olive oil",
            "dried thyme",
        )
    ]
    recipes["salad.json"] = (Record(title="x", components=[Component(ingredients=parts)]), 1)
    book, _ = first(recipes)
    proteins = [one.name for one in protein_rows(book)]
    assert proteins == ["chicken breast", "red lentil"]
    vegetables = [one.name for one in vegetable_rows(book)]
    assert vegetables == ["spinach", "carrot"]


def test_the_index_keeps_may_contain_apart(recipes):
    book, _ = first(recipes)
    found = dict(allergen_index(book, lambda dish: f"#{dish.id}"))
    assert [(ref.title, ref.maybe) for ref in found["celery"]] == [
        ("Lentil & beetroot salad", True)
    ]
    assert not found["milk"][0].maybe


def test_an_epub_is_a_zip_with_its_type_first_and_well_formed_pages(recipes):
    recipes["1"][0].title = "Oats \x07 & <b>milk</b>"
    with zipfile.ZipFile(io.BytesIO(to_epub(first(recipes)[0]))) as held:
        info = held.infolist()[0]
        assert (info.filename, info.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        assert held.read("mimetype") == b"application/epub+zip"
        for name in held.namelist():
            if name.endswith(("xhtml", "opf", "xml")):
                ElementTree.fromstring(held.read(name))
        assert "&lt;b&gt;" in held.read("book/chapter1.xhtml").decode()


def test_the_printed_book_has_page_numbers_in_contents_and_index(recipes):
    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    from hobnote.publishing.pdf import printed

    try:
        data = printed(to_html(first(recipes)[0]))
    except PublishingError as problem:
        pytest.skip(str(problem))
    pages = [
        " ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(data)).pages
    ]
    start = next(
        n for n, text in enumerate(pages, 1) if "Lentil & beetroot salad 4 portions" in text
    )
    contents = next(text for text in pages if text.startswith("Contents"))
    assert re.search(rf"Lentil & beetroot salad[ .]*{start}\b", contents)
    index = next(text for text in pages if text.startswith("Index"))
    assert re.search(rf"carrot: Lentil & beetroot salad {start}\b", index)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("title = ", "not TOML"),
        ('title = "x"', "chapter"),
        ('title = "x"\n[[chapter]]\ntitle = "y"\nrecipes = []', "recipes"),
        ('title = "x"\ncolour = "red"\n[[chapter]]\ntitle = "y"\nrecipes = [1]', "colour"),
    ],
)
def test_a_plan_that_is_none_is_one_sentence(tmp_path, text, why):
    path = tmp_path / "book.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(PublishingError, match=why):
        book_in(path)


def test_a_recipe_named_twice_and_a_damaged_list_are_told():
    plan = BookPlan.model_validate(
        {
            "title": "x",
            "chapter": [{"title": "y", "recipes": [1, 2]}, {"title": "z", "recipes": [1]}],
        }
    )
    with pytest.raises(PublishingError, match="recipe 1 twice"):
        plan.wanted()
    with pytest.raises(PublishingError, match="damaged"):
        Builds.read('{"builds": 3}')
    with pytest.raises(PublishingError, match="book@9"):
        Builds.read('{"schema": "hobnote/book@9"}')
