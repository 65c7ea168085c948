"""Documents: asked for in the caller's transaction, rendered once by a worker, whole or not at all."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Mapping
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Any

from django.db import transaction

from jobs.errors import JobsError
from jobs.evidence_rows import DOCUMENT
from jobs.models import Document, DocumentKind, Job
from jobs.services.bell import bell_ring
from jobs.services.evidence import evidence_later, evidence_lock, evidence_row
from jobs.services.kept_files import file_drop_others, file_keep, file_read

log = logging.getLogger(__name__)

TEMPLATES: Mapping[str, str] = MappingProxyType(
    {
        DocumentKind.WORK_PACK: "documents/work_pack.html",
        DocumentKind.CERTIFICATE: "documents/certificate.html",
        DocumentKind.REPORT: "documents/report.html",
        DocumentKind.NOTICE: "documents/notice.html",
        DocumentKind.NOTICE_PLATE: "documents/notice_plate.html",
        DocumentKind.FLUE_LABEL: "documents/flue_label.html",
        DocumentKind.CARE_SHEET: "documents/care_sheet.html",
        DocumentKind.HAND_OVER: "documents/hand_over.html",
    }
)
#: Papers somebody may have to prove years later.
SEALED = frozenset({DocumentKind.CERTIFICATE, DocumentKind.REPORT, DocumentKind.NOTICE})
#: How long a failed document rests before the next try; after the last try a person decides.
RESTS = (timedelta(minutes=1), timedelta(minutes=5), timedelta(minutes=30), timedelta(hours=2))
TRIES = len(RESTS) + 1
#: Left documents one pick-up takes, so that a heap of them does not hold a worker for long.
PICKED_UP_AT_ONCE = 20


@transaction.atomic
def document_request(
    *, job: Job, kind: str, title: str, context: dict[str, Any], for_customer: bool, now: datetime
) -> Document:
    """Ask for a document. Its context is frozen here; the worker reads nothing else."""
    document = Document.objects.create(
        job=job,
        kind=DocumentKind(kind),
        title=title,
        context=context,
        for_customer=for_customer,
        requested_at=now,
        due_at=now,
    )
    evidence_row(job=job, kind=DOCUMENT, row=document)
    _ring(document.pk)
    return document


def documents_left(*, now: datetime) -> list[int]:
    """Return the keys of documents that wait for a worker, oldest first."""
    waiting = Document.objects.filter(Document.waiting(now)).order_by("due_at", "pk")
    return list(waiting.values_list("pk", flat=True)[:PICKED_UP_AT_ONCE])


def document_render(*, pk: int, now: datetime) -> bool:
    """Render a document if nobody else does; True when this call finished it.

    The file is on the disk, whole, before the row says so. A worker killed in between leaves a row that
    falls due again when its claim has grown old, and at worst a file that no row names.
    """
    if not Document.claim(pk, now):
        return False
    document = Document.objects.select_related("job").get(pk=pk)
    if document.attempts > TRIES:
        sentence = "The worker stopped in the middle of this document again and again."
        _record_failure(document, sentence, now)
        return False
    try:
        # Only a worker renders, and WeasyPrint takes long to load.
        from jobs.services import papers  # noqa: PLC0415

        content = papers.paper_render(template=TEMPLATES[document.kind], context=document.context)
        seal: dict[str, Any] = {}
        if document.kind in SEALED:
            content, seal = _sealed(content, now)
        name = file_keep(name=_name(document, content), content=content)
    except JobsError as error:
        _record_failure(document, error.sentence, now)
        return False
    except Exception as error:
        log.exception("Document %s could not be made", pk)
        _record_failure(document, f"The document could not be made: {type(error).__name__}: {error}", now)
        return False
    return _record_file(document, name, content, now, **seal)


@transaction.atomic
def document_retry(*, document: Document, now: datetime) -> None:
    """Put a document that failed back in the queue, with all its tries."""
    again = (
        Document.objects.filter(pk=document.pk, done_at=None, claimed_at=None)
        .exclude(last_error="")
        .update(attempts=0, gave_up_at=None, due_at=now)
    )
    if again != 1:
        raise JobsError(
            "nothing_to_retry", f"“{document}” has not failed: it is ready, or a worker has it in hand."
        )
    _ring(document.pk)


@transaction.atomic
def document_withdraw(*, document: Document, now: datetime) -> None:
    """Mark a paper as one that no longer counts. It stays on file and can be read as what it is."""
    evidence_lock(job=document.job)
    if Document.objects.filter(pk=document.pk, withdrawn_at=None).update(withdrawn_at=now) != 1:
        raise JobsError("already_withdrawn", f"“{document}” has been withdrawn already.")
    document.withdrawn_at = now
    evidence_later(job=document.job, kind=DOCUMENT, later="document withdrawn", row=document)


def document_content(*, document: Document) -> bytes:
    """Return a finished document's bytes; refuse bytes that are not those that were rendered."""
    if document.done_at is None:
        raise JobsError("document_not_ready", f"“{document}” is not ready yet. Try again in a minute.")
    if document.is_erased:
        raise JobsError(
            "document_erased",
            f"The file of “{document}” was erased with everything personal of the customer. Its number and"
            " hash are kept, so a copy somebody else holds can still be checked.",
        )
    try:
        content = file_read(name=document.file.name or "")
    except FileNotFoundError as error:
        raise JobsError(
            "document_missing",
            f"The file of “{document}” is missing from storage. Restore it from a backup.",
        ) from error
    if hashlib.sha256(content).hexdigest() != document.sha256:
        raise JobsError(
            "document_altered",
            f"The file of “{document}” is not the one that was made: its hash differs."
            " Restore it from a backup.",
        )
    return content


def _ring(pk: int) -> None:
    from jobs.tasks.documents import render_document  # noqa: PLC0415 - the task calls this module

    bell_ring(task=render_document, pk=pk)


def _name(document: Document, content: bytes) -> str:
    # The hash in the name keeps two workers, one of them slow, from writing over each other.
    return f"{_stem(document)}{hashlib.sha256(content).hexdigest()[:16]}.pdf"


def _stem(document: Document) -> str:
    return f"documents/{document.job_id}/{document.pk}-"


def _sealed(content: bytes, now: datetime) -> tuple[bytes, dict[str, Any]]:
    """The seal is the last that is done to a paper: what is stored is what was sealed, to the byte."""
    from jobs.services import seals  # noqa: PLC0415

    sealed = seals.paper_seal(content=content, now=now)
    told = {"sealed_with": sealed.certificate, "stamped_at": sealed.stamped_at, "seal_note": sealed.note}
    return sealed.content, told


def _record_file(document: Document, name: str, content: bytes, now: datetime, **seal: Any) -> bool:
    told = {"sha256": hashlib.sha256(content).hexdigest(), "done_at": now, **seal}
    recorded = _record_made(document, file=name, claimed_at=None, last_error="", **told)
    if recorded:
        file_drop_others(stem=_stem(document), keep=name)
    return recorded


@transaction.atomic
def _record_made(document: Document, **told: Any) -> bool:
    # Whoever withdraws a paper takes the same locks in the same order.
    evidence_lock(job=document.job)
    mine = Document.objects.filter(pk=document.pk, claimed_at=document.claimed_at, done_at=None)
    if mine.update(**told) != 1:
        return False
    for name, value in told.items():
        setattr(document, name, value)
    evidence_later(job=document.job, kind=DOCUMENT, later="document made", row=document)
    return True


def _record_failure(document: Document, sentence: str, now: datetime) -> None:
    tried_out = document.attempts >= TRIES
    rest = RESTS[min(document.attempts, len(RESTS)) - 1]
    mine = Document.objects.filter(pk=document.pk, claimed_at=document.claimed_at, done_at=None)
    mine.update(
        claimed_at=None,
        last_error=sentence,
        due_at=now + rest,
        gave_up_at=now if tried_out else None,
    )
