"""A cookbook: recipes in chapters with a foreword, tables and an index, as HTML, PDF and EPUB 3.

book_in(PATH)                    the plan of a book: a TOML file
built(plan, recipes, builds)     the book with its version and what changed since the last
to_html, to_epub                 the book; ``hobnote.publishing.pdf.printed`` prints the HTML
"""

from __future__ import annotations

from hobnote.publishing.book.build import Book, built
from hobnote.publishing.book.epub import to_epub
from hobnote.publishing.book.page import to_html
from hobnote.publishing.book.plan import BookPlan, book_in
from hobnote.publishing.book.versions import Build, Builds

__all__ = ["Book", "BookPlan", "Build", "Builds", "book_in", "built", "to_epub", "to_html"]
