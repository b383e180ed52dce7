"""The terminal's page: everything is on it, it fits, and it holds no codes unless asked."""

from __future__ import annotations

import re

import pytest

from hobnote.publishing.terminal import render
from hobnote.record import Record


@pytest.mark.parametrize("width", [60, 80, 100])
def test_everything_fits_the_width(record, width):
    page = render(record, width=width)
    assert max(map(len, page.splitlines())) <= width
    assert "\x1b" not in page


def test_everything_is_on_the_page(record):
    page = " ".join(render(record).split())
    for words in (
        "Regatta porridge",
        "12 portions",
        "rolled oats, toasted 600 g 600 2,270",
        "butter a knob 15 (10–30) 108 (72–215) ?1",
        "golden syrup [thin] instead of honey: 3 tbsp, 63 g, 190 kcal; if there is no honey",
        "hazelnut, if you like (topping): handful",
        "1. Toast the rolled oats [medium heat; 4–5 min; until they smell of biscuits]",
        "2. Bake [180 °C]",
        "energy, kcal 340 (300–390) 4,080 (3,600–4,700)",
        "Not in these figures: spirulina.",
        "You said 350 kcal a portion; the table gives 340 (300–390) kcal: agrees.",
        "“high fibre” cannot be judged: too wide (EU 1924/2006)",
        "Contains: milk (butter)",
        "Ask about nuts. (common practice)",
        "?1 How much butter is the knob? [72–215 kcal] perhaps: 10 g / 20 g",
        "?2 How hot is the oven?",
        "Note: note.txt is not UTF-8",
    ):
        assert words in page


def test_colour_only_when_asked_changes_no_word(record):
    plain, coloured = render(record), render(record, colour=True)
    assert "\x1b[" in coloured
    stripped = re.sub(r"\x1b\[[0-9;]*m", "", coloured)
    assert [line.rstrip() for line in stripped.splitlines()] == plain.splitlines()


def test_codes_in_the_words_are_not_printed(record):
    record.title = "soup \x1b[31mred\x07"
    record.steps[0].text = "Stir\x9b31m [bold]it[/bold]"
    page = render(record)
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", page)
    assert "[bold]it[/bold]" in page


def test_an_empty_record_still_says_what_is_missing():
    page = render(Record())
    assert "Untitled dish" in page
    assert "portions not said" in page
    assert "No ingredients were heard." in page
