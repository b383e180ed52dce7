"""Formats against what others make of them: durations by ``isodate``, the record's schema by
``jsonschema``, Markdown by ``markdown-it-py`` (CommonMark), print by ``pypdf``, and CSV by
LibreOffice, which must find no formula in it."""

from __future__ import annotations

import json
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.publishing.durations import from_iso, iso
from hobnote.publishing.errors import PublishingError
from hobnote.publishing.markdown import plain, to_markdown
from hobnote.publishing.record_json import from_json, schema, schema_text, to_json
from hobnote.publishing.spreadsheet import safe, to_csv, written
from hobnote.record import Amount, Component, Ingredient, Record

ROOT = Path(__file__).parents[2]
isodate = pytest.importorskip("isodate", reason="isodate is not installed")


@given(st.floats(0, 20_000))
def test_durations_read_as_isodate_reads_them(minutes):
    seconds = isodate.parse_duration(iso(minutes)).total_seconds()
    assert seconds == round(minutes * 60)
    assert from_iso(iso(minutes)) == pytest.approx(seconds / 60)


@pytest.mark.parametrize("text", ["PT90M", "PT1H30M", "P1DT2H", "P2W", "PT0S", "PT0.5H", "PT1,5M"])
def test_durations_of_others_read_as_isodate_reads_them(text):
    assert from_iso(text) == pytest.approx(isodate.parse_duration(text).total_seconds() / 60)


@pytest.mark.parametrize("text", ["P", "PT", "90", "PT1H30", "P1M", "-PT5M", ""])
def test_what_is_no_duration_is_refused(text):
    with pytest.raises(PublishingError, match="ISO 8601"):
        from_iso(text)


def test_the_published_schema_is_the_one_of_the_code():
    published = (ROOT / "docs" / "record.schema.json").read_text(encoding="utf-8")
    assert published == schema_text(), "python -m hobnote.publishing.record_json renews it"


def test_a_record_fits_its_schema_and_a_damaged_one_does_not():
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    checker = jsonschema.Draft202012Validator(schema())
    jsonschema.Draft202012Validator.check_schema(schema())
    data = json.loads(to_json(Record(components=[Component(ingredients=[Ingredient(name="oat")])])))
    assert list(checker.iter_errors(data)) == []
    assert from_json(json.dumps(data)).components[0].ingredients[0].name == "oat"
    data["steps"] = [{"number": "one"}]
    assert list(checker.iter_errors(data))
    with pytest.raises(PublishingError, match=r"steps\.0"):
        from_json(json.dumps(data))
    with pytest.raises(PublishingError, match="hobnote/record@2"):
        from_json(json.dumps({"schema": "hobnote/record@2"}))


class _Words(HTMLParser):
    def __init__(self):
        super().__init__()
        self.tags, self.text = [], ""

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)

    def handle_data(self, data):
        self.text += data


@given(
    st.text(st.characters(blacklist_categories=("Cs", "Cc", "Zl", "Zp", "Zs")), min_size=1)
    | st.sampled_from(
        [
            "<b>x</b>",
            "# x",
            "1. x",
            "- x",
            "[a](b)",
            "`x`",
            "&lt;",
            "a|b",
            "+ x",
            "***",
            "x  y",
            "\\*",
            "![i](j)",
            "~~x~~",
            "1) x",
            "---",
            "    x",
            "===",
        ]
    )
)
def test_words_stay_words_in_commonmark(words):
    markdown = pytest.importorskip("markdown_it", reason="markdown-it-py is not installed")
    shown = _Words()
    shown.feed(markdown.MarkdownIt("commonmark").render(plain(words)))
    assert shown.tags == (["p"] if words.split() else [])
    assert shown.text.strip() == " ".join(words.split())


NASTY = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1+1", " =1+1", '=HYPERLINK("x","y")', "|cmd", "\r=1"]


@given(st.text() | st.sampled_from(NASTY))
def test_no_text_cell_starts_like_a_formula(text):
    cell = safe(text)
    assert not str(cell).lstrip().startswith(("=", "+", "-", "@", "|", "%"))
    assert not str(cell).startswith(("\t", "\r"))


def test_libreoffice_finds_no_formula(tmp_path):
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice is not installed (Debian: libreoffice-calc-nogui)")
    row = Ingredient(
        name="=1+1",
        preparation=["@SUM(1;2)"],
        swap_for="+1",
        amount=Amount(noun="-2*3", basis="vague"),
        condition="=2*2",
    )
    recipe = Record(components=[Component(name="=3", ingredients=[row])])
    text = to_csv(recipe) + written([[word] for word in NASTY])
    (tmp_path / "a.csv").write_text(text, encoding="utf-8", newline="")
    (tmp_path / "raw.csv").write_text("=1+1\r\n", encoding="utf-8")
    # "true" at the end: cells that look like formulas are evaluated if there are any.
    how = "--infilter=CSV:44,34,76,1,,0,false,true,false,false,false,-1,true"
    subprocess.run(
        [
            office,
            f"-env:UserInstallation=file://{tmp_path}/profile",
            "--headless",
            how,
            "--convert-to",
            "fods",
            "--outdir",
            str(tmp_path),
            *(str(p) for p in tmp_path.glob("*.csv")),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    assert "table:formula" not in (tmp_path / "a.fods").read_text(encoding="utf-8")
    assert "=1+1" in (tmp_path / "a.fods").read_text(encoding="utf-8")
    assert "table:formula" in (tmp_path / "raw.fods").read_text(encoding="utf-8")


def test_markdown_of_a_recipe_has_its_headings():
    markdown = pytest.importorskip("markdown_it", reason="markdown-it-py is not installed")
    recipe = Record(
        title="Oat <i>bars</i>", components=[Component(ingredients=[Ingredient(name="oat")])]
    )
    shown = _Words()
    shown.feed(markdown.MarkdownIt("commonmark").render(to_markdown(recipe)))
    assert "i" not in shown.tags
    assert shown.tags[0] == "h1"
    assert "Oat <i>bars</i>" in shown.text
