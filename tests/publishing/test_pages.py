"""The page, print, Markdown and the text under a video: what a reader gets to see."""

from __future__ import annotations

import io
import re

import pytest

from hobnote.publishing.errors import OpenQuestions, PublishingError
from hobnote.publishing.html import style_hash, to_html
from hobnote.publishing.markdown import to_markdown
from hobnote.publishing.options import Options
from hobnote.publishing.plaintext import clock, to_text
from hobnote.publishing.record_json import to_json
from hobnote.publishing.sheet import slug
from hobnote.publishing.spreadsheet import to_csv
from hobnote.record import Heard

WRITERS = [to_html, to_markdown, to_text, to_csv, to_json]


@pytest.mark.parametrize("write", WRITERS)
def test_open_questions_show_or_are_refused(record, write):
    assert "How much butter is the knob?" in write(record)
    with pytest.raises(OpenQuestions, match="only settled recipes"):
        write(record, Options(settled_only=True))
    record.flags.clear()
    assert "oats" in write(record, Options(settled_only=True))


@pytest.mark.parametrize("write", [to_html, to_markdown, to_text])
def test_a_page_says_what_is_rounded_and_what_is_missing(record, write):
    shown = write(record)
    assert "rounded to what a kitchen scale shows" in shown
    assert "spirulina" in shown
    assert "300–390" in shown
    assert "Draft: 2 open questions" in shown
    assert "US customary" in shown
    assert "US customary" not in write(record, Options(units="g"))


@pytest.mark.parametrize("write", [to_html, to_markdown, to_text])
def test_asides_and_claims_stay_at_home(record, write):
    record.asides.append(Heard(start=0, end=6, text="SECRET"))
    record.components[0].ingredients[0].heard[0].text = "SECRET"
    assert "SECRET" not in write(record)


def test_the_page_is_self_contained_and_escaped(record):
    record.title = "<script>alert(1)</script>"
    record.steps[0].text = "Toast </style><img src=x onerror=alert(1)>"
    page = to_html(record)
    assert "<img" not in page
    assert len(re.findall(r"<script", page)) == 1  # the linked data
    assert 'type="application/ld+json"' in page
    assert not re.search(
        r"\ssrc=|\shref=|\sstyle=|\son\w+=",
        re.sub(r"<script.*?</script>", "", page, flags=re.S)
        .replace("onerror=alert(1)&gt;", "")
        .replace("src=x", ""),
    )
    style = re.search(r"<style>(.*?)</style>", page, re.S)[1]
    assert style_hash(style) in page
    assert "url(" not in style
    assert "@import" not in style


def test_units_are_the_readers_choice(record):
    grams, cups = to_text(record, Options(units="g")), to_text(record, Options(units="cups"))
    assert "600 g rolled oats" in grams
    assert "lb" not in grams
    assert "1¼ lb rolled oats" in cups
    assert "600 g" not in cups


def test_marks_rise_and_begin_at_nought(record):
    record.steps[0].heard = [Heard(start=0, end=1, at=12.9, text="x")]
    record.steps[1].heard = [Heard(start=2, end=3, at=3725.0, text="y")]
    shown = to_text(record)
    assert "\n0:00 1. Toast" in shown
    assert "\n1:02:05 2. Bake" in shown
    record.steps[1].heard[0].at = 3.0  # spoken of earlier than the step before
    assert "\n2. Bake" in to_text(record)


@pytest.mark.parametrize(("seconds", "mark"), [(0, "0:00"), (59.9, "0:59"), (3600, "1:00:00")])
def test_a_mark_never_comes_late(seconds, mark):
    assert clock(seconds) == mark


@pytest.mark.parametrize(
    ("title", "stem"),
    [("Oat & Egg!", "oat-egg"), ("../..", "recipe"), ("Crème brûlée", "crème-brûlée")],
)
def test_file_names_come_from_titles(title, stem):
    assert slug(title) == stem


def test_csv_has_a_row_for_every_ingredient_and_bare_numbers(record):
    lines = to_csv(record).split("\r\n")
    assert len(lines) == 1 + 4 + 1
    assert ",600.0,600.0,600.0," in lines[1]
    assert ",no,honey,if there is no honey," in lines[2]


def _pdf(record):
    from hobnote.publishing.pdf import to_pdf

    try:
        return to_pdf(record)
    except PublishingError as problem:
        pytest.skip(str(problem))


def test_print_holds_the_recipe(record):
    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    pages = pypdf.PdfReader(io.BytesIO(_pdf(record))).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    for words in (
        "Regatta porridge",
        "600 g",
        "rolled oats",
        "180 °C",
        "Contains: milk",
        "12 portions",
        "How much butter is the knob?",
        "instead of honey",
        f"1 / {len(pages)}",
    ):
        assert words in text
    width, height = pages[0].mediabox.width, pages[0].mediabox.height
    assert (round(width), round(height)) == (595, 842)  # A4 in points
    assert 1 <= len(pages) <= 3


def test_print_is_large_enough_to_read_at_arms_length(record):
    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    sizes = []

    def visit(text, _cm, matrix, _font, size):
        if "rolled oats" in text or "Toast" in text:
            sizes.append(abs(size * (matrix[3] or 1)))

    pypdf.PdfReader(io.BytesIO(_pdf(record))).pages[0].extract_text(visitor_text=visit)
    assert sizes
    assert min(sizes) * 0.75 >= 9 or min(sizes) >= 12


def test_missing_print_libraries_are_one_sentence(record, monkeypatch):
    import sys

    from hobnote.publishing.pdf import to_pdf

    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(PublishingError, match="libpango"):
        to_pdf(record)
