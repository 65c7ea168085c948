"""Certificates a minute through the service, beside WeasyPrint alone on the same HTML."""

from __future__ import annotations

import re
import shutil
import statistics
import subprocess
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings
from django.template.loader import render_to_string
from weasyprint import HTML

from bench.agreement import DisagreementError
from bench.documents.closed import PHOTOS, Closed
from inspections.models.photo import paper_copy_name
from jobs.models import Document
from jobs.paper_fonts import font_path
from jobs.services.documents import TEMPLATES, document_content, document_render
from jobs.services.papers import SPELLED_OUT

#: A certificate with two dozen photos is to take no longer [s of CPU] and weigh no more [bytes].
SECONDS, BYTES = 2.0, 3_000_000


def through_the_service(closed: Closed) -> bytes:
    """Ask for a certificate and make it as a worker does: claimed, rendered, sealed, kept."""
    document = closed.ask()
    if not document_render(pk=document.pk, now=datetime.now(UTC)):
        raise DisagreementError(Document.objects.get(pk=document.pk).last_error)
    document.refresh_from_db()
    return document_content(document=document)


def plain_html(closed: Closed) -> str:
    """Return the certificate's HTML with the paths of its fonts and photos, for anybody to open."""
    template = TEMPLATES["closing certificate"]
    html = render_to_string(template, closed.context).translate(SPELLED_OUT)
    html = re.sub(r"static:([\w./-]+)", lambda found: Path(font_path(found[1]) or "").as_uri(), html)
    return re.sub(
        r"picture:([0-9a-f]{64})",
        lambda found: (Path(settings.MEDIA_ROOT) / paper_copy_name(found[1])).as_uri(),
        html,
    )


def report(closed: Closed, *, repeats: int) -> Iterator[str]:
    """Yield the comparison; raise `DisagreementError` where both ways do not print the same."""
    html = plain_html(closed)
    begun = time.process_time()
    ours = through_the_service(closed)
    first = time.process_time() - begun
    theirs = HTML(string=html).write_pdf()
    pages = agreed(ours, theirs)
    times: dict[str, list[tuple[float, float]]] = {"service": [], "bare": []}
    for _ in range(repeats):
        times["service"].append(_timed(lambda: through_the_service(closed)))
        times["bare"].append(_timed(lambda: HTML(string=html).write_pdf()))
    wall = {name: statistics.median(one[0] for one in told) for name, told in times.items()}
    cpu = {name: statistics.median(one[1] for one in told) for name, told in times.items()}
    yield f"A certificate of {pages} pages with {PHOTOS} photos, median of {repeats}; both print the same:"
    yield f"{'':44}{'a minute':>10}{'seconds':>9}{'CPU':>8}{'bytes':>11}"
    for name, what, content in (
        ("service", "claimed, rendered, tagged, sealed, kept", ours),
        ("bare", "HTML(string=html).write_pdf()", theirs),
    ):
        yield f"{what:44}{60 / wall[name]:10.1f}{wall[name]:9.2f}{cpu[name]:8.2f}{len(content):11,}"
    yield f"The service takes {wall['service'] / wall['bare']:.2f} of the time of WeasyPrint alone."
    yield (
        f"Of {SECONDS:g} s of CPU it takes {cpu['service']:.2f} ({first:.2f} for a process's first,"
        f" with loading), of {BYTES / 1e6:g} MB it weighs {len(ours) / 1e6:.2f}."
    )


def agreed(ours: bytes, theirs: bytes) -> int:
    """Return how many pages both have; raise `DisagreementError` where pages or words differ."""
    left, right = _pages(ours), _pages(theirs)
    if len(left) != len(right):
        raise DisagreementError(f"pages: {len(left)} through the service, {len(right)} by WeasyPrint alone")
    for number, (here, there) in enumerate(zip(left, right, strict=True), start=1):
        if here != there:
            raise DisagreementError(f"page {number} does not say the same in both")
    return len(left)


def _pages(content: bytes) -> list[list[str]]:
    program = shutil.which("pdftotext")
    if program is None:
        raise DisagreementError("pdftotext of poppler is not installed; nothing can compare two PDFs")
    done = subprocess.run([program, "-", "-"], input=content, capture_output=True, check=True)  # noqa: S603
    return [page.split() for page in done.stdout.decode().rstrip("\f").split("\f")]


def _timed(call: Callable[[], object]) -> tuple[float, float]:
    wall, cpu = time.perf_counter(), time.process_time()
    call()
    return time.perf_counter() - wall, time.process_time() - cpu
