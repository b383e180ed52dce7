"""A real browser at a real server. Whatever a page complains about fails the test.

Debian's Chromium (package ``chromium``) is driven; without it the tests are
skipped, except in CI, where ``.ci/run`` has installed it.
"""

from __future__ import annotations

import os
import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn

from hobnote.keeping.store import Store
from hobnote.reading import read_text
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

CHROMIUM = Path(os.environ.get("HOBNOTE_CHROMIUM", "/usr/bin/chromium"))
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]

# A correction, a story, vague oil and salt, a swap, counted and shared-out amounts.
MESSY = Path(__file__).with_name("messy.txt").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def app(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    app = create_app(Store.open(str(folder / "recipes.sqlite3")), Settings(rate=0))
    app.state.kitchen.warm()
    return app


@pytest.fixture(scope="session")
def site(app) -> Iterator[str]:
    """The address of the running service."""
    door = socket.socket()
    door.bind(("127.0.0.1", 0))
    door.listen(64)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{door.getsockname()[1]}"
    server.should_exit = True
    thread.join(5)


@pytest.fixture(scope="session")
def browser():
    if not CHROMIUM.exists():
        if os.environ.get("CI"):
            pytest.fail(f"{CHROMIUM} is not installed; .ci/run should have done so")
        pytest.skip(f"{CHROMIUM} is not installed (Debian's package chromium)")
    playwright = pytest.importorskip("playwright.sync_api")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(browser, site):
    """Opens pages that may not complain, and may ask nobody else for anything."""
    contexts, complaints = [], []

    def opened(path: str = "/", *, width: int = 1440, height: int = 900, **more):
        allowed = more.pop("allowed", ())
        context = browser.new_context(
            viewport={"width": width, "height": height}, base_url=site, **more
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)

        def console(message):
            if message.type in ("error", "warning") and not any(
                one in message.text for one in allowed
            ):
                complaints.append(message.text)

        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", console)
        page.on(
            "request",
            lambda request: None
            if request.url.startswith((site, "data:", "blob:"))
            else complaints.append(f"asked for {request.url}"),
        )
        page.goto(path)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not complaints


@pytest.fixture
def recipe(app):
    """The number of a new recipe from the messy note."""
    number, _ = app.state.kitchen.begin(read_text(MESSY), "cook", measures="uk")
    return number


@pytest.fixture
def messy() -> str:
    return MESSY
