"""The whole way through the page, in a real browser."""

from __future__ import annotations

import json
import re

import pytest

from hobnote.asking.conversation import Conversation

NOTE = "#text"


def _begin(page, note: str) -> int:
    page.fill(NOTE, note)
    page.click("text=Read the note")
    page.wait_for_url(re.compile(r"/recipes/\d+$"))
    return int(page.url.rsplit("/", 1)[1])


def _settled(page, version: int) -> None:
    """Wait until the page shows this version."""
    page.wait_for_selector(f"#review[data-version='{version}']:not([aria-busy])")


def _row(page, name: str):
    return page.locator(".goes-in .row", has=page.locator(f".back:text-is('{name}')"))


def test_from_a_messy_note_to_an_export(open_page, app, messy):
    page = open_page("/")
    number = _begin(page, messy)
    assert _row(page, "beef mince").locator(".grams").inner_text() == "600 g"

    asked = page.locator("#talk > .asked > .ask")
    open_before = asked.count()
    assert open_before >= 4
    # By a choice, in words, and not at all.
    oil = page.locator(".ask", has_text="How much oil")
    oil.locator(".options button").first.click()
    _settled(page, 2)
    onion = page.locator(".ask", has_text="How much onion")
    onion.locator("input[name=answer]").fill("about 120 grams")
    onion.locator("text=Answer").click()
    _settled(page, 3)
    salt = page.locator(".ask", has_text="How much salt")
    salt.locator("text=Skip").click()
    _settled(page, 4)
    assert asked.count() == open_before - 3
    assert not page.locator(".ask", has_text="How much salt").count()

    mince = _row(page, "beef mince")
    mince.locator("summary").click()
    mince.locator("input[name=amount]").fill("650 g")
    mince.locator("text=Put right").click()
    _settled(page, 5)
    assert _row(page, "beef mince").locator(".grams").inner_text() == "650 g"
    assert "650 g" in page.locator("#told").text_content()

    page.click("#undo")
    _settled(page, 6)
    assert _row(page, "beef mince").locator(".grams").inner_text() == "600 g"
    page.click("#redo")
    _settled(page, 7)
    assert _row(page, "beef mince").locator(".grams").inner_text() == "650 g"

    with page.expect_download() as waited:
        page.click("text=The whole record")
    record = json.loads(waited.value.path().read_text(encoding="utf-8"))
    rows = {row["name"]: row for part in record["components"] for row in part["ingredients"]}
    assert rows["beef mince"]["grams"]["best"] == 650
    kept = Conversation.resume(app.state.kitchen.store, number)
    assert kept.version == 7 and kept.record.model_dump(mode="json", by_alias=True) == record


def test_by_keyboard_alone(open_page, messy):
    page = open_page("/")
    keys = page.keyboard

    def tab_to(matching: str, most: int = 250) -> None:
        """Tab until the focus is on something that matches; it must be seen there."""
        for _ in range(most):
            keys.press("Tab")
            if page.evaluate("s => document.activeElement.matches(s)", matching):
                outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
                assert outline != "none"
                return
        raise AssertionError(f"the keyboard does not get to {matching}")

    tab_to(NOTE)
    keys.insert_text(messy)
    tab_to("#begin button[type=submit]")
    keys.press("Enter")
    page.wait_for_url(re.compile(r"/recipes/\d+$"))

    # A word of the note leads to its row, and lights it up.
    tab_to("#said a.w")
    row = page.evaluate("document.activeElement.dataset.for.split(' ')[0]")
    assert "lit" in page.locator(f"#{row}").get_attribute("class")
    keys.press("Enter")
    assert page.evaluate("document.activeElement.closest('.row').id") == row
    assert page.locator(f"#said a.w[data-for~='{row}'].lit").count() >= 1

    tab_to(f"#{row} summary")
    keys.press("Enter")
    tab_to(f"#{row} input[name=amount]")
    keys.press("Control+a")
    keys.insert_text("three tins")
    keys.press("Enter")
    _settled(page, 2)
    # The focus stays at the row that was changed.
    assert page.evaluate("document.activeElement.matches('.row summary')")
    assert page.evaluate("document.activeElement.closest('.row').id") == row

    # Three questions: by a choice, in words, and not at all; the focus goes from one to the next.
    tab_to(".ask .options button")
    keys.press("Enter")
    _settled(page, 3)
    assert page.evaluate("document.activeElement.closest('.ask') !== null")
    tab_to(".ask input[name=answer]")
    keys.insert_text("80 g")
    keys.press("Enter")
    _settled(page, 4)
    tab_to(".ask button[name=skip]")
    keys.press("Enter")
    _settled(page, 5)
    page.evaluate("document.querySelector('#talk-title').scrollIntoView()")
    tab_to("#say")
    keys.insert_text("drop the rice")
    keys.press("Enter")
    _settled(page, 6)
    assert page.evaluate("document.activeElement.id") == "say"
    assert not _row(page, "rice").count()
    for _ in range(200):
        keys.press("Shift+Tab")
        if page.evaluate("document.activeElement.id") == "undo":
            break
    keys.press("Enter")
    _settled(page, 7)
    assert _row(page, "rice").count() == 1
    tab_to(".exports a[href$='/json']")
    with page.expect_download() as waited:
        keys.press("Enter")
    assert json.loads(waited.value.path().read_text(encoding="utf-8"))["components"]


def test_a_form_filled_in_too_late_is_told_and_keeps_what_was_typed(open_page, recipe):
    allowed = ("412",)
    first = open_page(f"/recipes/{recipe}", allowed=allowed)
    second = open_page(f"/recipes/{recipe}", allowed=allowed)
    plain = open_page(f"/recipes/{recipe}", allowed=allowed, java_script_enabled=False)
    first.fill("#say", "the mince was 700 g")
    first.click("text=Say it")
    _settled(first, 2)
    for page in (second, plain):
        row = _row(page, "cumin")
        row.locator("summary").click()
        row.locator("input[name=amount]").fill("one teaspoon")
        row.locator("text=Put right").click()
        page.wait_for_selector("#trouble")
        told = page.inner_text("#trouble")
        assert "700 g" in told and "one teaspoon" in told
    row = _row(second, "cumin")
    assert row.locator("input[name=amount]").input_value() == "one teaspoon"
    row.locator("text=Put right").click()
    _settled(second, 3)
    assert "one teaspoon" in _row(second, "cumin").inner_text()
    assert _row(second, "beef mince").locator(".grams").inner_text() == "700 g"


def test_words_and_rows_light_each_other_up(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    word = page.locator("#said a.w", has_text="600").first
    word.hover()
    assert _row(page, "beef mince").get_attribute("class").split()[-1] == "lit"
    _row(page, "oil").hover()
    lit = page.locator("#said .w.lit").all_inner_texts()
    assert any("oil" in text for text in lit) and not any("600" in text for text in lit)
    page.locator(".step", has_text="40 minutes").hover()
    assert "bubble on low for 40 minutes" in " ".join(
        page.locator("#said .lit").all_inner_texts()
    )


def test_a_step_is_corrected_in_place(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    step = page.locator(".step", has_text="Brown the mince")
    step.locator("summary").click()
    step.locator("select[name=heat]").select_option("high")
    step.locator("input[name=minutes_low]").fill("9")
    step.locator("input[name=minutes_high]").fill("11")
    step.locator("textarea[name=text]").fill("Brown the mince well")
    step.locator("text=Put right").click()
    _settled(page, 2)
    step = page.locator(".step", has_text="Brown the mince well")
    assert step.locator(".fact").all_inner_texts()[:2] == ["high heat", "9–11 min"]
    page.locator(".mend.dish summary").click()
    page.fill("#dish-title", "Regatta chilli")
    page.fill("#dish-portions", "8")
    page.locator(".mend.dish >> text=Put right").click()
    _settled(page, 3)
    assert page.title() == "Regatta chilli – Hobnote"
    assert page.inner_text(".serves") == "8 portions"


def test_what_was_said_of_a_step_or_a_row_is_emptied(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    step = page.locator(".step", has_text="Brown the mince")
    step.locator("summary").click()
    step.locator("select[name=heat]").select_option("")
    step.locator("input[name=minutes_low]").fill("")
    step.locator("input[name=minutes_high]").fill("")
    step.locator("text=Put right").click()
    _settled(page, 2)
    step = page.locator(".step", has_text="Brown the mince")
    assert not {"medium heat", "8 min"} & set(step.locator(".fact").all_inner_texts())
    row = _row(page, "beef mince")
    row.locator("summary").click()
    row.locator("input[name=amount]").fill("")
    row.locator("text=Put right").click()
    _settled(page, 3)
    assert page.locator(".ask", has_text="How much beef mince").count() == 1
    page.click("#undo")
    _settled(page, 4)
    page.click("#undo")
    _settled(page, 5)
    assert "medium heat" in page.locator(".step", has_text="Brown the mince").inner_text()


def _names(page) -> list[str]:
    return page.locator(".goes-in .rows:not(.extras) .row .back").all_inner_texts()


def test_rows_and_steps_change_places_by_keyboard(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    names = _names(page)
    row = _row(page, names[2])
    row.locator("summary").press("Enter")
    earlier = row.locator("button[data-way=earlier]")
    earlier.press("Enter")
    _settled(page, 2)
    assert _names(page) == [names[0], names[2], names[1], *names[3:]]
    # The focus stays on the button, so that it can be pressed again.
    assert page.evaluate("document.activeElement.dataset.way") == "earlier"
    page.keyboard.press("Enter")
    _settled(page, 3)
    assert _names(page)[0] == names[2]
    assert page.evaluate("document.activeElement.dataset.way") == "later"  # it is the first
    assert f"{names[2]}: now before {names[0]}" in page.locator("#told").text_content()
    step = page.locator(".step").last
    text = step.locator("textarea").input_value()
    step.locator("summary").press("Enter")
    step.locator("button[data-way=earlier]").press("Enter")
    _settled(page, 4)
    assert page.locator(".step textarea").all()[-2].input_value() == text
    page.click("#undo")
    _settled(page, 5)
    assert page.locator(".step textarea").last.input_value() == text


def test_a_row_is_dragged_to_its_place(open_page, recipe):
    page = open_page(f"/recipes/{recipe}", reduced_motion="reduce")
    names = _names(page)
    row = _row(page, names[3])
    row.hover()
    first = _row(page, names[0])
    row.locator(".grip").drag_to(first, target_position={"x": 40, "y": 3})
    _settled(page, 2)
    assert _names(page) == [names[3], *names[:3], *names[4:]]
    _row(page, names[3]).hover()
    last = _row(page, names[-1])
    height = last.bounding_box()["height"]
    _row(page, names[3]).locator(".grip").drag_to(
        last, target_position={"x": 40, "y": height - 3}
    )
    _settled(page, 3)
    assert _names(page) == [*names[:3], *names[4:], names[3]]


def test_what_is_half_typed_elsewhere_stays(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    row = _row(page, "beef mince")
    row.locator("summary").click()
    row.locator("input[name=amount]").fill("640 g")
    page.locator(".ask", has_text="How much salt").locator("text=Skip").click()
    _settled(page, 2)
    row = _row(page, "beef mince")
    assert row.locator("input[name=amount]").is_visible()
    assert row.locator("input[name=amount]").input_value() == "640 g"


def test_both_sides_of_the_conversation_are_there_after_a_reload(open_page, app, recipe):
    page = open_page(f"/recipes/{recipe}")
    page.fill("#say", "what's the protein?")
    page.click("text=Say it")
    _settled(page, 2)
    shown = page.locator(".log").inner_text()
    assert "Protein" in page.locator(".log .theirs").inner_text()
    app.state.kitchen._places.clear()  # as in a new process
    page.reload()
    assert page.locator(".log").inner_text() == shown


def test_two_tabs_on_one_recipe_lose_nothing(open_page, recipe):
    allowed = ("412",)  # the browser logs the answer that is expected here
    first = open_page(f"/recipes/{recipe}", allowed=allowed)
    second = open_page(f"/recipes/{recipe}", allowed=allowed)
    first.fill("#say", "the mince was 700 g")
    first.click("text=Say it")
    _settled(first, 2)
    second.fill("#say", "the cumin was one teaspoon")
    second.click("text=Say it")
    second.wait_for_selector("#trouble")
    told = second.inner_text("#trouble")
    assert "700 g" in told and "the cumin was one teaspoon" in told
    assert second.evaluate("document.activeElement.id") == "trouble"
    # What was typed is still there to be said again, now on the newest version.
    assert second.input_value("#say") == "the cumin was one teaspoon"
    second.click("text=Say it")
    _settled(second, 3)
    assert _row(second, "beef mince").locator(".grams").inner_text() == "700 g"
    assert "one teaspoon" in _row(second, "cumin").inner_text()


def test_what_changed_since_a_version(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    page.fill("#say", "the mince was 700 g")
    page.click("text=Say it")
    _settled(page, 2)
    page.select_option("#since-version", "1")
    page.click(".versions >> text=Show")
    assert "beef mince: 700 g" in page.inner_text("#since")


def test_a_swap_is_compared_and_made(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    swap = page.locator(".swaps li", has_text="lentil instead of")
    assert "kcal" in swap.inner_text()
    swap.locator("text=Make this swap").click()
    _settled(page, 2)
    assert _row(page, "lentil").count() == 1
    assert not page.locator(".swaps li", has_text="lentil instead of").count()


def test_an_extra_is_put_in_and_a_question_is_found_from_its_row(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    extra = page.locator(".swaps li", has_text="with sour cream")
    extra.locator("text=Put it in").click()
    _settled(page, 2)
    names = page.locator(".goes-in .rows:not(.extras) .row .back").all_inner_texts()
    assert "sour cream" in names
    assert page.locator(".headline li").count() == 5
    row = _row(page, "onion")
    row.locator("a.asks").click()
    assert "onion" in page.evaluate("document.activeElement.closest('.ask').innerText")
    assert "lit" in row.get_attribute("class")


def test_everything_works_without_a_script(open_page, messy):
    page = open_page("/", java_script_enabled=False, allowed=("422",))
    _begin(page, messy)
    page.locator(".ask", has_text="How much oil").locator(".options button").first.click()
    page.wait_for_selector("#review[data-version='2']")
    assert "8 g" in page.locator(".log").inner_text()
    page.locator(".mend.dish summary").click()
    page.fill("#dish-portions", "8")
    page.locator(".mend.dish >> text=Put right").click()
    page.wait_for_selector("#review[data-version='3']")
    page.locator(".goes-in .row").first.locator("summary").click()
    amount = page.locator(".goes-in .row").first.locator("input[name=amount]")
    amount.fill("rather nice")
    amount.press("Enter")
    assert "rather nice" in page.inner_text("#trouble")
    page.click("#undo")
    page.wait_for_selector("#review[data-version='4']")
    names = _names(page)
    first = page.locator(".goes-in .row").first
    first.locator("summary").click()
    first.locator("button[data-way=later]").click()
    page.wait_for_selector("#review[data-version='5']")
    assert _names(page) == [names[1], names[0], *names[2:]]


def test_a_caption_file_is_dropped(open_page):
    page = open_page("/")
    vtt = "WEBVTT\n\n00:12.000 --> 00:15.000\nstir 20 g of butter into 80 g of oats\n"
    page.set_input_files("#file", {"name": "a.vtt", "mimeType": "text/vtt", "buffer": vtt.encode()})
    page.locator("#told", has_text="a.vtt is in the note").wait_for(state="attached")
    page.click("text=Read the note")
    page.wait_for_url(re.compile(r"/recipes/\d+$"))
    assert "-->" not in page.inner_text(".words")
    assert _row(page, "butter").locator("a.moment").inner_text() == "0:12"


def test_a_file_is_sent_without_a_script(open_page):
    page = open_page("/", java_script_enabled=False, allowed=("422",))
    page.click("text=Read the note")
    assert "choose a file" in page.inner_text("[role=alert]")
    srt = "1\n00:00:12,000 --> 00:00:15,000\nstir 20 g of butter into 80 g of oats\n"
    page.set_input_files("#file", {"name": "b.srt", "mimeType": "", "buffer": srt.encode("utf-16")})
    page.click("text=Read the note")
    page.wait_for_url(re.compile(r"/recipes/\d+$"))
    assert _row(page, "butter").locator("a.moment").inner_text() == "0:12"
    page.goto("/")
    broken = {"name": "c.srt", "mimeType": "", "buffer": b"1\n00:00:12,000 --> 00:0x\nstir\n"}
    page.set_input_files("#file", broken)
    page.click("text=Read the note")
    assert "c.srt" in page.inner_text("[role=alert]")


@pytest.mark.parametrize("script", [True, False])
def test_a_long_note_shows_how_far_it_is_read(open_page, app, messy, script):
    page = open_page("/", java_script_enabled=script)
    page.fill(NOTE, messy * 40)
    page.click("text=Read the note")
    page.wait_for_url(re.compile(r"/reading/[0-9a-f]{32}$"))
    assert int(page.locator("#progress").get_attribute("max")) > 10_000
    page.wait_for_url(re.compile(r"/recipes/\d+$"), timeout=120_000)
    assert page.locator(".goes-in .row").count() > 5
    assert app.state.operations.following == 0


def test_a_long_note_is_stopped(open_page, app, messy):
    page = open_page("/")
    before = len(app.state.kitchen.store.list())
    page.fill(NOTE, messy * 60)
    page.click("text=Read the note")
    page.click("text=Stop")
    page.wait_for_selector("[role=alert]")
    assert "stopped" in page.inner_text("[role=alert]")
    assert page.input_value(NOTE).startswith(messy[:60])
    assert len(app.state.kitchen.store.list()) == before


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1000, 1900])
def test_nothing_sticks_out_at_any_width(open_page, recipe, width, scheme):
    page = open_page(f"/recipes/{recipe}", width=width, color_scheme=scheme)
    for summary in page.locator(".goes-in .mend summary, .to-do .mend summary").all()[:4]:
        summary.click()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    for path in ("/", "/sign-in"):
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_at_360_px_the_whole_way(open_page, messy):
    page = open_page("/", width=360, height=740, has_touch=True)
    _begin(page, messy)
    page.click(".jump >> text=Still open")
    for version in (2, 3, 4):
        page.locator(".ask button[name=skip]").first.tap()
        _settled(page, version)
    page.click(".jump >> text=The recipe")
    row = _row(page, "beef mince")
    row.locator("summary").tap()
    row.locator("input[name=amount]").fill("650 g")
    row.locator("text=Put right").tap()
    _settled(page, 5)
    assert _row(page, "beef mince").locator(".grams").inner_text() == "650 g"
    page.locator("#undo").tap()
    _settled(page, 6)
    assert _row(page, "beef mince").locator(".grams").inner_text() == "600 g"
    with page.expect_download() as waited:
        page.locator(".exports >> text=Spreadsheet").tap()
    assert "beef mince" in waited.value.path().read_text(encoding="utf-8-sig")


def test_what_was_said_is_only_ever_text(open_page):
    page = open_page("/")
    evil = (
        "<script>document.title='owned'</script> 80 g <img src=x onerror=alert(1)> oats, "
        "20 g \u202ebutter, =HYPERLINK(1) {{ 7*7 }} stir for 3 minutes"
    )
    _begin(page, evil)
    assert page.locator("#review script, #review img").count() == 0
    assert "<script>document.title='owned'</script>" in page.inner_text(".words")
    assert "{{ 7*7 }}" in page.inner_text(".words")
    assert "owned" not in page.title()
    page.fill("#say", "call it <b>bold</b> & \"quoted\"")
    page.click("text=Say it")
    _settled(page, 2)
    assert page.locator("#review b").count() == 0


def test_print_shows_the_recipe_alone(open_page, recipe):
    page = open_page(f"/recipes/{recipe}")
    page.emulate_media(media="print")
    assert page.locator(".goes-in").is_visible() and page.locator(".to-do").is_visible()
    for gone in ("#said", "#talk", ".top", ".out"):
        assert not page.locator(gone).is_visible()
    assert not any(one.is_visible() for one in page.locator(".mend").all())


def test_a_locked_kitchen_opens_with_a_token(browser, tmp_path):
    import socket
    import threading

    import uvicorn

    from hobnote.keeping.store import Store
    from hobnote.keeping.tokens import Tokens
    from hobnote_api.app import create_app
    from hobnote_api.settings import Settings

    store = Store.open(str(tmp_path / "locked.sqlite3"))
    secret = Tokens(store.engine).create("galley", "write")
    door = socket.socket()
    door.bind(("127.0.0.1", 0))
    door.listen(16)
    config = uvicorn.Config(
        create_app(store, Settings(locked=True)), log_level="error", lifespan="off"
    )
    server = uvicorn.Server(config)
    threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True).start()
    context = browser.new_context(base_url=f"http://127.0.0.1:{door.getsockname()[1]}")
    page = context.new_page()
    page.goto("/")
    assert page.url.endswith("/sign-in")
    page.fill("#token", "hob_wrong")
    page.click("text=Come in")
    assert "not known" in page.inner_text("[role=alert]")
    page.fill("#token", secret)
    page.click("text=Come in")
    page.wait_for_selector("#begin-title")
    [cookie] = context.cookies()
    assert cookie["httpOnly"] and cookie["sameSite"] == "Strict"
    _begin(page, "90 g oats, stirred")
    context.close()
    server.should_exit = True
