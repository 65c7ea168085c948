"""The fonts papers are set in, from their npm packages, found where static files are found."""

from __future__ import annotations

from django.contrib.staticfiles import finders

_TEXT = "fonts/text/atkinson-hyperlegible"
_DISPLAY = "fonts/display/barlow-condensed"
#: Static names of every font. Names beyond Latin-1 need the extended cuts.
FONTS = (
    *(f"{_TEXT}-{cut}-normal.woff2" for cut in ("latin-400", "latin-700", "latin-ext-400", "latin-ext-700")),
    *(f"{_DISPLAY}-{cut}-normal.woff2" for cut in ("latin-600", "latin-ext-600")),
)


def font_path(name: str) -> str | None:
    """Return where a bundled font lies; None when it is not there."""
    found: str | None = finders.find(name)
    return found


def fonts_missing() -> list[str]:
    """Return the static names of bundled fonts that are not there."""
    return [name for name in FONTS if font_path(name) is None]
