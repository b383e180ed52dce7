"""The book as one HTML page, from which WeasyPrint prints it with page numbers."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from hobnote.publishing.book import tables
from hobnote.publishing.book.build import Book, BookDish
from hobnote.publishing.html import body, render, style_hash
from hobnote.publishing.tables import template


def to_html(book: Book) -> str:
    """The whole book, self-contained."""
    style = "".join(
        template(name) for name in ("recipe.css", "book.css", "print.css", "book_print.css")
    )
    return str(
        render(
            "book.html.j2",
            book=book,
            style=Markup(style),  # our own files
            style_hash=style_hash(style),
            chapters=[
                {
                    "id": chapter.id,
                    "title": chapter.title,
                    "dishes": [
                        {"id": dish.id, "title": dish.title, "body": body(dish.page, level=2)}
                        for dish in chapter.dishes
                    ],
                }
                for chapter in book.chapters
            ],
            **parts(book, lambda dish: f"#{dish.id}"),
        )
    )


def parts(book: Book, where: tables.Where) -> dict[str, Markup]:
    """Cover, foreword, tables, notes, index and changes; ``where`` is the address of a recipe."""

    def part(name: str, **values: Any) -> Markup:
        return render("book_parts.html.j2", part=name, book=book, **values)

    return {
        "cover": part("cover"),
        "foreword": part("foreword") if book.foreword else Markup(""),
        "tables": part(
            "tables",
            recipes=tables.recipe_rows(book, where),
            proteins=tables.protein_rows(book),
            vegetables=tables.vegetable_rows(book),
        ),
        "notes": part("notes", notes=_notes(book)),
        "index": part(
            "index",
            ingredients=tables.ingredient_index(book, where),
            allergens=tables.allergen_index(book, where),
        ),
        "changes": part("changes"),
    }


def _notes(book: Book) -> list[str]:
    """What the recipes' pages say about rounding, once."""
    notes: dict[str, None] = {}
    for dish in book.dishes:
        notes |= dict.fromkeys(dish.page.notes[: _common(dish)])
    return list(notes)


def _common(dish: BookDish) -> int:
    """How many of a page's notes are no matter of the recipe itself."""
    return len(dish.page.notes) - bool(dish.page.missing)
