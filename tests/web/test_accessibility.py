"""axe finds nothing serious or critical on any page, light or dark, wide or narrow.

``HOBNOTE_AXE`` is the file ``axe.min.js`` of the npm package axe-core; ``.ci/run`` fetches it.
"""

from __future__ import annotations

import os
import threading
from itertools import pairwise
from pathlib import Path

import pytest

WORST = {"serious", "critical"}


@pytest.fixture(scope="session")
def axe() -> str:
    named = os.environ.get("HOBNOTE_AXE")
    if not named or not Path(named).is_file():
        if os.environ.get("CI"):
            pytest.fail("HOBNOTE_AXE names no file; .ci/run should have fetched axe-core")
        pytest.skip("HOBNOTE_AXE does not name axe.min.js (npm pack axe-core)")
    return Path(named).read_text(encoding="utf-8")


def _findings(page, axe: str) -> list[str]:
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert len(found["passes"]) > 10  # it did look
    return [
        f"{one['impact']} {one['id']}: {one['nodes'][0]['html'][:200]}"
        for one in found["violations"]
        if one["impact"] in WORST
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1440])
def test_no_page_has_a_serious_finding(open_page, axe, app, recipe, scheme, width):
    with app.state.kitchen.recipe(recipe) as talk:
        talk.say("the mince was 700 g")
        talk.undo()
    page = open_page("/", width=width, color_scheme=scheme, reduced_motion="reduce")
    findings = {"/": _findings(page, axe)}
    page.goto("/sign-in")
    findings["/sign-in"] = _findings(page, axe)
    page.goto(f"/recipes/{recipe}?since=1")
    for summary in page.locator("summary").all():
        summary.click()
    page.hover(".goes-in .row >> nth=1")
    findings["review"] = _findings(page, axe)
    assert findings == {name: [] for name in findings}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_of_a_long_note(open_page, axe, app, scheme):
    go_on = threading.Event()

    def work(operation):
        operation.change(stage="reading", done=4_000)
        go_on.wait(30)

    found = app.state.operations.begin("note", work, total=120_000)
    page = open_page(f"/reading/{found.status.id}", color_scheme=scheme, width=360)
    page.locator("#so-far", has_text="4,000 of 120,000").wait_for()
    assert _findings(page, axe) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    go_on.set()
    page.wait_for_selector("[role=alert]")  # it has made no recipe: back to the note


def test_the_page_of_a_conflict_and_of_nothing(open_page, axe, recipe):
    page = open_page(f"/recipes/{recipe}", allowed=("422", "404"))
    row = page.locator(".goes-in .row").first
    row.locator("summary").click()
    row.locator("input[name=amount]").fill("rather nice")
    row.locator("text=Put right").click()
    page.wait_for_selector("#trouble")
    assert _findings(page, axe) == []
    page.goto("/recipes/99999")
    assert _findings(page, axe) == []


def test_an_answer_is_announced(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    region = page.locator("#told")
    assert region.get_attribute("aria-live") == "polite"
    page.fill("#say", "what's the protein?")
    page.click("text=Say it")
    told = page.locator("#told", has_text="protein")
    told.wait_for(state="attached")


def test_headings_go_down_one_at_a_time(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    levels = page.eval_on_selector_all(
        "#board h1, #board h2, #board h3", "all => all.map(one => Number(one.tagName[1]))"
    )
    assert levels[0] == 1
    assert all(b <= a + 1 for a, b in pairwise(levels))
