"""What is made once a job is signed off: the label at the flue, and everything in one for the house."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.models import Certificate
from inspections.queries.flue_label import certificate_in_force, flue_label_context
from inspections.queries.hand_over import hand_over_context
from jobs.models import Document, DocumentKind, Job, Shop
from jobs.services.customers import customer_check_kept
from jobs.services.documents import document_request, document_withdraw
from jobs.services.house_papers import flue_work_closed


@transaction.atomic
def flue_label_request(*, job: Job, now: datetime) -> Document:
    """Ask for the label of a flue that was installed or changed; it leads to the certificate that counts."""
    job = _as_it_stands(job)
    flue_work_closed(job)
    certificate = _certificate(job)
    return document_request(
        job=job,
        kind=DocumentKind.FLUE_LABEL,
        title=f"Flue label {certificate.serial}",
        context=flue_label_context(certificate=certificate, job=job, shop=Shop.current()),
        for_customer=False,
        now=now,
    )


@transaction.atomic
def hand_over_request(*, job: Job, now: datetime) -> Document:
    """Ask for the hand-over pack around the certificate that counts."""
    job = _as_it_stands(job)
    certificate = _certificate(job)
    return document_request(
        job=job,
        kind=DocumentKind.HAND_OVER,
        title=f"Hand-over pack {job.number}",
        context=hand_over_context(certificate=certificate, job=job, shop=Shop.current(), now=now),
        for_customer=True,
        now=now,
    )


@transaction.atomic
def hand_over_renew(*, certificate: Certificate, now: datetime) -> None:
    """Make the pack anew around a certificate that took another's place, where there was a pack.

    A report is no part of a pack: where one took the place of a sweep's earlier certificate, the pack ends.
    """
    job = certificate.sign_off.record.job
    if certificate.document.kind == DocumentKind.REPORT:
        hand_over_withdraw(job=job, now=now)
    elif job.documents.filter(kind=DocumentKind.HAND_OVER).exists():
        hand_over_request(job=job, now=now)


@transaction.atomic
def hand_over_withdraw(*, job: Job, now: datetime) -> None:
    """Mark the packs that hold a certificate that was withdrawn, and the labels that lead to it."""
    kinds = (DocumentKind.HAND_OVER, DocumentKind.FLUE_LABEL)
    for paper in job.documents.filter(kind__in=kinds, withdrawn_at=None):
        document_withdraw(document=paper, now=now)


def _as_it_stands(job: Job) -> Job:
    """Read the job anew: a sign-off writes to rows that its own still holds as they were."""
    customer_check_kept(pk=job.installation.site.customer_id)
    return Job.objects.select_related(
        "plan", "installation__site__customer", "installation__appliance", "installation__chimney"
    ).get(pk=job.pk)


def _certificate(job: Job) -> Certificate:
    certificate = certificate_in_force(job)
    if certificate is not None and certificate.document.kind == DocumentKind.REPORT:
        raise InspectionsError(
            "no_certificate",
            f"{job.number} ended in a report of what was found. Label and pack are made by the job that"
            " installed or changed something.",
        )
    if certificate is None:
        raise InspectionsError(
            "no_certificate",
            f"{job.number} has no certificate that counts. Sign the job off, or issue a new certificate in"
            " place of the one that was withdrawn; then ask again.",
        )
    return certificate
