"""What a paper may be made of: bundled fonts, the pictures it names, and nothing else."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from django.conf import settings
from django.utils.module_loading import import_string
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from jobs.errors import JobsError
from jobs.paper_fonts import FONTS, font_path


def picture_read(sha256: str) -> tuple[bytes, str]:
    """Return the printable copy of a picture and its media type, from the app that keeps pictures."""
    read = import_string(settings.PAPER_PICTURES)
    content: tuple[bytes, str] = read(sha256=sha256)
    return content


class PaperFetcher(URLFetcher):  # type: ignore[misc]
    """Opens `static:` for bundled fonts, `picture:` for the pictures one paper names, and `data:`.

    Anything else, and anything missing, stops the rendering: a paper is whole or is not made.
    """

    def __init__(self, pictures: Collection[str]) -> None:
        super().__init__(allowed_protocols=("data",), allow_redirects=False, fail_on_errors=True)
        self.pictures = frozenset(pictures)

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
        """Return what stands behind an address, or stop the rendering."""
        scheme, _, name = url.partition(":")
        try:
            if scheme == "data":
                return super().fetch(url, headers)
            if scheme == "static":
                return _answer(url, _font_read(name), "font/woff2")
            if scheme == "picture" and name in self.pictures:
                return _answer(url, *picture_read(name))
        except (JobsError, OSError) as error:
            raise FatalURLFetchingError(str(error)) from error
        raise FatalURLFetchingError(f"A paper may not open {url[:120]!r}.")


def _font_read(name: str) -> bytes:
    path = font_path(name) if name in FONTS else None
    if path is None:
        raise JobsError("font_missing", f"The font {name} is not bundled. Run bin/setup.")
    return Path(path).read_bytes()


def _answer(url: str, body: bytes, media_type: str) -> URLFetcherResponse:
    return URLFetcherResponse(url, body, {"Content-Type": media_type})
