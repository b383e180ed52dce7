"""The book as EPUB 3.3 (W3C): a zip of XHTML pages, one a chapter, with navigation."""

from __future__ import annotations

import io
import uuid
import zipfile
from dataclasses import dataclass

from markupsafe import Markup

from hobnote.publishing.book.build import Book, BookDish
from hobnote.publishing.book.page import parts
from hobnote.publishing.html import body, render
from hobnote.publishing.tables import template

_NAMESPACE = uuid.UUID("3c8a5b5e-6a34-4a8e-9a52-7c1b4f0d2e90")
_CONTAINER = """<?xml version="1.0" encoding="utf-8"?>
<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">
<rootfiles>
<rootfile full-path="book/package.opf" media-type="application/oebps-package+xml"/>
</rootfiles>
</container>
"""


@dataclass(frozen=True, slots=True)
class _Page:
    id: str
    file: str
    title: str
    body: Markup
    dishes: tuple[BookDish, ...] = ()


def to_epub(book: Book) -> bytes:
    """The book. The same book gives the same bytes; its identifier is that of its title."""
    pages = _pages(book)
    modified = f"{book.made or '2000-01-01'}T00:00:00Z"
    texts = {
        "META-INF/container.xml": _CONTAINER,
        "book/package.opf": str(
            render(
                "epub_package.opf.j2",
                book=book,
                pages=pages,
                modified=modified,
                identifier=f"urn:uuid:{uuid.uuid5(_NAMESPACE, book.title)}",
            )
        ),
        "book/nav.xhtml": str(render("epub_nav.xhtml.j2", pages=pages)),
        "book/style.css": template("recipe.css") + template("book.css"),
    }
    for page in pages:
        texts[f"book/{page.file}"] = str(
            render("epub_page.xhtml.j2", title=page.title, body=page.body)
        )
    return _zipped(texts)


def _zipped(texts: dict[str, str]) -> bytes:
    """The container: ``mimetype`` first and not compressed, as the standard asks."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as held:
        held.writestr(_entry("mimetype", zipfile.ZIP_STORED), "application/epub+zip")
        for name, text in texts.items():
            held.writestr(_entry(name, zipfile.ZIP_DEFLATED), _clean(text))
    return out.getvalue()


def _entry(name: str, how: int) -> zipfile.ZipInfo:
    found = zipfile.ZipInfo(name, date_time=(2000, 1, 1, 0, 0, 0))
    found.compress_type = how
    return found


def _clean(text: str) -> str:
    """Without the characters that XML 1.0 cannot hold."""
    return "".join(
        c
        for c in text
        if c in "\t\n\r" or " " <= c <= "\ud7ff" or "\ue000" <= c <= "\ufffd" or c > "\uffff"
    )


def _pages(book: Book) -> list[_Page]:
    made = parts(book, lambda dish: f"{dish.file}#{dish.id}")
    found = [_Page("cover", "cover.xhtml", book.title, made["cover"])]
    if book.foreword:
        found.append(_Page("foreword", "foreword.xhtml", "Foreword", made["foreword"]))
    for chapter in book.chapters:
        inside = Markup("<section><h1 class='heading'>{}</h1>").format(chapter.title)
        for dish in chapter.dishes:
            article = Markup("<article class='recipe' id='{}'>{}</article>")
            inside += article.format(dish.id, body(dish.page, level=2))
        inside += Markup("</section>")
        found.append(_Page(chapter.id, chapter.file, chapter.title, inside, chapter.dishes))
    titles = {
        "tables": "Tables",
        "notes": "About the figures",
        "index": "Index",
        "changes": "What changed",
    }
    found += [_Page(name, f"{name}.xhtml", title, made[name]) for name, title in titles.items()]
    return found
