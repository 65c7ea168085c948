"""A frozen context and a template in, the bytes of a PDF/A-3a out. Nothing here reads the database.

Level a of ISO 19005-3: tagged, every letter with its Unicode, language and title named, fonts and colour
profile inside. A paper's record goes in as a file of its own, so that a machine reads what the pages say.
"""

from __future__ import annotations

import gc
import json
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import cache
from typing import Any

from django.template.loader import render_to_string
from weasyprint import HTML, Attachment
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError

from jobs.errors import JobsError
from jobs.paper_fonts import fonts_missing
from jobs.services.paper_sources import PaperFetcher
from jobs.services.paper_tags import paper_finish

VARIANT = "pdf/a-3a"

#: Signs the bundled fonts lack, written with signs they have.
SPELLED_OUT = str.maketrans(
    {
        "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "⅓": " 1/3", "⅔": " 2/3",
        # As HTML has them, because what is written in an attribute must not end it.
        "″": "&quot;", "′": "&#39;",
        "≥": "at least ", "≤": "at most ", "→": "to", "\u202f": "\u00a0", "\u2011": "-",
    }
)  # fmt: skip


def paper_render(*, template: str, context: dict[str, Any]) -> bytes:
    """Return the PDF of a context; refuse when a font or a picture it names cannot be had.

    `context["pictures"]` lists the SHA-256 of every picture the template may open. `context["embedded"]`, if
    there, is put inside as a file: its `name`, what it is (`description`), when it was so (`at`, ISO 8601)
    and its `content` as JSON.
    """
    if missing := fonts_missing():
        raise JobsError(
            "font_missing",
            f"{len(missing)} of the fonts documents are set in are not installed, {missing[0]} among them."
            " Run bin/setup on the server, then try again.",
        )
    html = render_to_string(template, context).translate(SPELLED_OUT)
    fetcher = PaperFetcher(context.get("pictures", ()))
    try:
        with collector_at_rest(), warnings.catch_warnings():
            # WeasyPrint leaves the file of its own colour profile for the collector to close.
            warnings.filterwarnings("ignore", "unclosed file .*sRGB2014", ResourceWarning)
            pdf: bytes = HTML(string=html, url_fetcher=fetcher).write_pdf(
                font_config=_fonts(),
                pdf_variant=VARIANT,
                attachments=_embedded(context.get("embedded")),
                finisher=paper_finish,
            )
    except FatalURLFetchingError as error:
        reason = error.__cause__ or error
        raise JobsError("part_missing", f"A part of the document is missing: {reason}") from error
    return pdf


@contextmanager
def collector_at_rest() -> Iterator[None]:
    """Keep the cyclic collector from going through a paper's boxes again and again while they are made.

    A paper is some hundred thousand objects that all live until it is written: nothing is won by looking
    at them before, and it takes a sixth of the time. Once it is written they go at once: while the collector
    rests, what is made stays in the youngest generation, so it need not look at the rest of the process.
    """
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.collect(0)
        gc.enable()


def _embedded(told: dict[str, Any] | None) -> list[Attachment]:
    """The data behind the pages; the same data is the same bytes."""
    if told is None:
        return []
    content = json.dumps(told["content"], sort_keys=True, ensure_ascii=False, indent=1)
    at = datetime.fromisoformat(told["at"])
    return [
        Attachment(
            string=content,
            name=told["name"],
            description=told["description"],
            created=at,
            modified=at,
            relationship="Data",
        )
    ]


@cache
def _fonts() -> FontConfiguration:
    """Fonts are unpacked once a process; unpacking takes longer than a page."""
    return FontConfiguration()
