"""Take the screenshots of docs/screenshots anew: python scripts/screenshots.py [FOLDER].

Needs Debian's package chromium. Look at them afterwards.
"""

from __future__ import annotations

import socket
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path

import uvicorn
from playwright.sync_api import Page, sync_playwright

from hobnote.keeping.store import Store
from hobnote.reading import read_text
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

HOUSE = Path(__file__).parent.parent
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-sync"]


def _lit(page: Page) -> None:
    page.locator(".step", has_text="Simmer").first.hover()


def _mended(page: Page) -> None:
    page.locator(".goes-in .row summary").nth(1).click()
    page.locator(".goes-in").scroll_into_view_if_needed()
    page.evaluate("document.querySelector('.goes-in').scrollIntoView()")


def main(folder: Path) -> None:
    with tempfile.TemporaryDirectory() as data:
        app = create_app(Store.open(str(Path(data) / "recipes.sqlite3")), Settings(rate=0))
        kitchen = app.state.kitchen
        numbers = []
        for name in ("chickpea-lunch-boxes.txt", "beef-barley-stew.srt"):
            text = (HOUSE / "corpus" / "demo" / name).read_text(encoding="utf-8")
            numbers.append(kitchen.begin(read_text(text), "cook")[0])
        with kitchen.recipe(numbers[0]) as talk:
            for message in ("it makes five", "the tahini was 80 g", "what's the protein?"):
                talk.say(message)
        door = socket.socket()
        door.bind(("127.0.0.1", 0))
        door.listen(16)
        server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off"))
        threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True).start()
        base = f"http://127.0.0.1:{door.getsockname()[1]}"
        boxes, stew = (f"/recipes/{number}" for number in numbers)
        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)

            def shot(
                name: str,
                path: str,
                size: tuple[int, int],
                scheme: str = "light",
                act: Callable[[Page], None] | None = None,
            ) -> None:
                page = browser.new_page(
                    viewport={"width": size[0], "height": size[1]},
                    color_scheme=scheme,  # type: ignore[arg-type]
                    reduced_motion="reduce",
                )
                page.goto(base + path)
                if act is not None:
                    act(page)
                page.screenshot(path=str(folder / f"{name}.png"))
                page.close()

            shot("begin", "/", (1200, 800))
            shot("review", boxes, (1500, 950))
            shot("review-dark", stew, (1500, 950), "dark", _lit)
            shot("correct", boxes, (1100, 800), act=_mended)
            shot("narrow", boxes + "#board", (360, 760))
            browser.close()
        server.should_exit = True


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HOUSE / "docs" / "screenshots")
