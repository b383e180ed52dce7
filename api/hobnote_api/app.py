"""The HTTP application: notes in, recipes out. It holds no rules of its own."""

from __future__ import annotations

import json
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import cache
from importlib.resources import files
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.staticfiles import StaticFiles

from hobnote import __version__
from hobnote.keeping.store import Store
from hobnote.keeping.tokens import Tokens
from hobnote_api import exports, lookups, own_foods, recipes, talking
from hobnote_api import operations as operations_routes
from hobnote_api.feed import feed_router
from hobnote_api.guard import Guard
from hobnote_api.kitchen import Kitchen
from hobnote_api.page import pages
from hobnote_api.problems import Problem, add_problems, answers
from hobnote_api.settings import Settings
from hobnote_api.work import Operations


def create_app(store: Store | None = None, settings: Settings | None = None) -> FastAPI:
    """The application over a store (default: the user's). Raises KeepingError."""
    settings = settings or Settings()
    store = store or Store.open()
    kitchen = Kitchen(store)
    operations = Operations(settings.waiting, settings.long_seconds, settings.followed)

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        # The first cook should not wait for the language; until then /readyz says so.
        threading.Thread(target=kitchen.warm, daemon=True).start()
        yield
        operations.close()

    app = FastAPI(
        lifespan=lifespan,
        title="Hobnote",
        version=__version__,
        summary="Dictated cooking notes in, a weighed and scored recipe out.",
        docs_url=None,  # the usual pages load scripts from elsewhere
        redoc_url=None,
    )
    app.state.kitchen = kitchen
    app.state.operations = operations
    app.state.settings = settings
    add_problems(app)
    for router in (
        recipes.router,
        talking.router,
        exports.router,
        lookups.router,
        own_foods.router,
        operations_routes.router,
    ):
        app.include_router(router)
    app.include_router(
        feed_router(lambda: kitchen.shelf), tags=["planning"], responses=answers()
    )
    app.include_router(pages.router)
    app.mount("/static", StaticFiles(packages=[("hobnote_api.page", "static")]), name="static")
    app.add_middleware(Guard, settings=settings, tokens=Tokens(store.engine))
    app.openapi = lambda: _document(app)  # type: ignore[method-assign]
    return app


@cache
def _examples() -> dict[str, Any]:
    """By shape; ``scripts/make_openapi_examples.py`` makes them from the program's answers."""
    text = files("hobnote_api").joinpath("examples.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def _document(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI document, with the shapes and the door that no route names itself."""
    if app.openapi_schema is None:
        found = get_openapi(
            title=app.title, version=app.version, summary=app.summary, routes=app.routes
        )
        parts = found.setdefault("components", {})
        parts.setdefault("schemas", {})["Problem"] = Problem.model_json_schema()
        for name, example in _examples().items():
            parts["schemas"][name].setdefault("examples", [example])
        parts["securitySchemes"] = {"token": {"type": "http", "scheme": "bearer"}}
        # On this machine alone no token is asked for.
        found["security"] = [{}, {"token": []}]
        app.openapi_schema = found
    return app.openapi_schema
