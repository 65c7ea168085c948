"""Papers for the house itself: the notice plate at its hearth and the sheet on the care of it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from jobs.errors import JobsError
from jobs.models import Country, Document, DocumentKind, Job, JobStatus, Shop
from jobs.queries.care_sheet import care_sheet_context
from jobs.queries.documents import FLUE_WORK
from jobs.queries.notice_plate import notice_plate_context, plate_wanting, wanting_words
from jobs.services.customers import customer_check_kept
from jobs.services.documents import document_request


@transaction.atomic
def notice_plate_request(*, job: Job, now: datetime) -> Document:
    """Ask for the plate a British house needs; refuse while it would leave something out."""
    customer_check_kept(pk=job.installation.site.customer_id)
    if job.installation.site.country != Country.GB:
        raise JobsError(
            "plate_not_here",
            "The notice plate belongs to the rules of the United Kingdom. Make the flue label instead.",
        )
    flue_work_closed(job)
    if wanting := plate_wanting(job):
        raise JobsError("plate_incomplete", f"The notice plate is not made yet. {wanting_words(wanting)}")
    return document_request(
        job=job,
        kind=DocumentKind.NOTICE_PLATE,
        title=f"Notice plate {job.number}",
        context=notice_plate_context(job=job, shop=Shop.current()),
        for_customer=False,
        now=now,
    )


@transaction.atomic
def care_sheet_request(*, job: Job, now: datetime) -> Document:
    """Ask for the sheet that tells the people of a house how to look after what stands in it."""
    customer_check_kept(pk=job.installation.site.customer_id)
    if job.status == JobStatus.CANCELLED:
        raise JobsError("job_cancelled", f"{job.number} is cancelled: there is nothing to look after.")
    return document_request(
        job=job,
        kind=DocumentKind.CARE_SHEET,
        title=f"Care sheet {job.number}",
        context=care_sheet_context(job=job, shop=Shop.current(), now=now),
        for_customer=True,
        now=now,
    )


def flue_work_closed(job: Job) -> None:
    """Refuse a plate or label for work that is not signed off, or that left the flue as it was."""
    if job.kind not in FLUE_WORK:
        raise JobsError(
            "flue_unchanged",
            f"{job.number} is no work on the flue ({job.get_kind_display().lower()}): plate and label are"
            " made by the job that installed or changed it.",
        )
    if job.status != JobStatus.CLOSED:
        raise JobsError(
            "not_signed_off",
            f"{job.number} is {job.get_status_display().lower()}: it says what was installed once somebody"
            " answerable has signed the job off.",
        )
