"""A recipe as one HTML file that needs nothing from elsewhere: no script, no picture, no font.

The styles are inline and named by their hash in a content security policy of
the page itself, so the file may stand on a site that forbids inline styles.
"""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from typing import Any

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from hobnote.publishing.jsonld import as_thing, in_page
from hobnote.publishing.measures import Density, table_density
from hobnote.publishing.options import DEFAULT, Options
from hobnote.publishing.sheet import Doing, Sheet, sheet
from hobnote.publishing.tables import template
from hobnote.record import Record

_TEMPLATES = (
    "recipe.html.j2",
    "recipe_body.html.j2",
    "book.html.j2",
    "book_parts.html.j2",
    "epub_page.xhtml.j2",
    "epub_package.opf.j2",
    "epub_nav.xhtml.j2",
)


@cache
def environment() -> Environment:
    """The templates, with everything escaped that is not marked as safe."""
    return Environment(
        loader=DictLoader({name: template(name) for name in _TEMPLATES}),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render(name: str, **values: Any) -> Markup:
    """A template filled in; safe to be put into another one."""
    return Markup(environment().get_template(name).render(**values))


def style_hash(style: str) -> str:
    """The source expression by which a content security policy admits ``style``."""
    digest = hashlib.sha256(style.encode("utf-8")).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


@dataclass(frozen=True, slots=True)
class _Page:
    """A sheet with its steps in runs of one part each, as the template walks them."""

    sheet: Sheet

    def __getattr__(self, name: str) -> Any:
        return getattr(self.sheet, name)

    @property
    def runs(self) -> list[tuple[str, list[Doing]]]:
        """Parts of the dish and their steps, in the order of the method."""
        grouped = groupby(self.sheet.steps, key=lambda step: step.component)
        return [(name, list(steps)) for name, steps in grouped]


def body(page: Sheet, level: int = 1) -> Markup:
    """The inside of a page, well-formed as XML too; the title is a heading of ``level``."""
    return render("recipe_body.html.j2", page=_Page(page), level=level)


def to_html(record: Record, options: Options = DEFAULT, density: Density = table_density) -> str:
    """The page. Raises OpenQuestions where only settled recipes are wanted."""
    page = sheet(record, options, density)
    style = template("recipe.css") + template("print.css")
    return str(
        render(
            "recipe.html.j2",
            page=page,
            style=Markup(style),  # our own file
            style_hash=style_hash(style),
            linked=Markup(in_page(as_thing(record, options, density))),  # escaped by in_page
            body=body(page),
        )
    )
