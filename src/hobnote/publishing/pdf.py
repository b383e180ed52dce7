"""A page in print: A4 by WeasyPrint, type that can be read at arm's length.

WeasyPrint is an extra (``pip install hobnote[print]``) and needs the Pango
library of the system. It may fetch nothing: the page holds all it needs.
"""

from __future__ import annotations

from typing import Any

from hobnote.publishing.errors import PublishingError
from hobnote.publishing.html import to_html
from hobnote.publishing.measures import Density, table_density
from hobnote.publishing.options import DEFAULT, Options
from hobnote.record import Record

MISSING = (
    "print needs WeasyPrint and the Pango library: pip install 'hobnote[print]' and, on Debian, "
    "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-crosextra-carlito"
)


def to_pdf(record: Record, options: Options = DEFAULT, density: Density = table_density) -> bytes:
    """The recipe as a PDF. Raises PublishingError where WeasyPrint or Pango is missing."""
    return printed(to_html(record, options, density))


def printed(page: str) -> bytes:
    """A self-contained HTML page as a PDF."""
    try:
        import weasyprint
    except (ImportError, OSError):  # OSError: the package is there, Pango is not
        raise PublishingError(MISSING) from None

    def nothing(url: str, *_: Any, **__: Any) -> dict[str, Any]:
        raise ValueError(f"a page in print may not fetch {url}")

    found = weasyprint.HTML(string=page, url_fetcher=nothing).write_pdf()
    assert isinstance(found, bytes)
    return found
