"""Closing certificates and inspection reports: numbered without gaps, issued once, never edited."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.db.models import Max

from inspections.errors import InspectionsError
from inspections.evidence_rows import CERTIFICATE, WITHDRAWAL
from inspections.models import Certificate, CertificateWithdrawal, SignOff, SignOffReopening
from inspections.queries.certificates import certificate_context
from inspections.queries.report import report_context
from inspections.queries.report_words import title_of
from inspections.services.hand_over import hand_over_renew, hand_over_withdraw
from inspections.verify_codes import verify_key_new
from jobs.models import REPORTED, DocumentKind, Shop, User
from jobs.services.customers import customer_check_kept
from jobs.services.documents import document_request, document_withdraw
from jobs.services.evidence import evidence_head, evidence_lock, evidence_row

#: What stands before the reason where a certificate lost its job's sign-off.
REOPENED = "The job was reopened:"


@transaction.atomic
def certificate_issue(
    *,
    sign_off: SignOff,
    by: User,
    now: datetime,
    supersedes: Certificate | None = None,
    reason: str = "",
) -> Certificate:
    """Issue a certificate, or a new one in place of an earlier one, and ask for its paper.

    The first certificate of a sign-off after a reopening takes the place of the last one before it. The last
    link of the job's evidence chain is printed and embedded: all that was logged until then stands under the
    paper's seal.

    The number is taken in this transaction under a lock, so that one rolled back leaves no gap and two at
    once never share a number.
    """
    reason = reason.strip()
    job = sign_off.record.job
    customer_check_kept(pk=job.installation.site.customer_id)
    # Before the counter, as whoever moves a job and then certifies it.
    evidence_lock(job=job)
    chain_head = evidence_head(job=job)
    # The shop's row is the counter's lock; SQLite takes its one write lock when the transaction begins.
    Shop.objects.select_for_update().get(pk=Shop.current().pk)
    _check(sign_off, by, supersedes, reason)
    number = (Certificate.objects.aggregate(last=Max("number"))["last"] or 0) + 1
    serial, verify_key = Certificate(number=number).serial, verify_key_new()
    # What was looked at ends in a report, what was built in a certificate; both are numbered in one row.
    reports = job.kind in REPORTED
    context_of = report_context if reports else certificate_context
    document = document_request(
        job=job,
        kind=DocumentKind.REPORT if reports else DocumentKind.CERTIFICATE,
        title=f"{title_of(job.kind) if reports else 'Closing certificate'} {serial}",
        context=context_of(
            sign_off=sign_off,
            serial=serial,
            verify_key=verify_key,
            supersedes=supersedes,
            reason=reason,
            now=now,
            chain_head=chain_head,
        ),
        for_customer=True,
        now=now,
    )
    certificate = Certificate.objects.create(
        number=number,
        sign_off=sign_off,
        document=document,
        issued_by=by,
        issued_at=now,
        supersedes=supersedes,
        reason=reason,
        verify_key=verify_key,
    )
    evidence_row(job=job, kind=CERTIFICATE, row=certificate, chain_head=chain_head)
    if supersedes is not None:
        hand_over_renew(certificate=certificate, now=now)
    return certificate


@transaction.atomic
def certificate_withdraw(
    *, certificate: Certificate, by: User, reason: str, now: datetime
) -> CertificateWithdrawal:
    """Say that a certificate no longer counts, and why; it stays on file as what it is."""
    evidence_lock(job=certificate.document.job)
    if not by.may_sign_off:
        raise InspectionsError(
            "may_not_withdraw", "Only an inspector or the owner may withdraw a certificate."
        )
    return _withdraw(certificate, by, reason, now)


@transaction.atomic
def certificate_reopen(
    *, sign_off: SignOff, by: User, reason: str, now: datetime
) -> CertificateWithdrawal | None:
    """Withdraw what a sign-off certified because its job is reopened; none where none counts.

    Whoever may reopen the job may do this: the caller has asked.
    """
    # The counter's lock: nobody issues another one meanwhile.
    Shop.objects.select_for_update().get(pk=Shop.current().pk)
    certificate = sign_off.certificates.filter(superseded_by=None, withdrawal=None).first()
    if certificate is None:
        return None
    return _withdraw(certificate, by, f"{REOPENED} {reason.strip()}", now)


def certificate_before(sign_off: SignOff) -> Certificate | None:
    """Return the last certificate of the record before this sign-off, whose place its own takes."""
    return (
        Certificate.objects.filter(sign_off__record=sign_off.record_id)
        .exclude(sign_off=sign_off)
        .order_by("number")
        .last()
    )


def _withdraw(certificate: Certificate, by: User, reason: str, now: datetime) -> CertificateWithdrawal:
    reason = reason.strip()
    certificate = Certificate.objects.select_for_update(of=("self",)).get(pk=certificate.pk)
    if not reason:
        raise InspectionsError(
            "reason_missing", "Write why the certificate is withdrawn: the reason is kept."
        )
    if CertificateWithdrawal.objects.filter(certificate=certificate).exists():
        raise InspectionsError("already_withdrawn", f"{certificate.serial} has been withdrawn already.")
    if newer := Certificate.objects.filter(supersedes=certificate).first():
        raise InspectionsError(
            "already_superseded",
            f"{certificate.serial} no longer counts: {newer.serial} took its place. Withdraw that one.",
        )
    document_withdraw(document=certificate.document, now=now)
    hand_over_withdraw(job=certificate.sign_off.record.job, now=now)
    withdrawal = CertificateWithdrawal.objects.create(certificate=certificate, by=by, reason=reason, at=now)
    evidence_row(job=certificate.document.job, kind=WITHDRAWAL, row=withdrawal)
    return withdrawal


def _check(sign_off: SignOff, by: User, supersedes: Certificate | None, reason: str) -> None:
    if SignOffReopening.objects.filter(sign_off=sign_off).exists():
        raise InspectionsError(
            "job_reopened",
            "The job was reopened after this sign-off. Its new sign-off issues the new certificate.",
        )
    if supersedes is None:
        if Certificate.objects.filter(sign_off__record=sign_off.record_id).exists():
            raise InspectionsError(
                "already_issued",
                "This job has its certificate. To correct it, issue a new one in its place and say why.",
            )
        return
    if supersedes.sign_off_id == sign_off.pk and not by.may_sign_off:
        raise InspectionsError(
            "may_not_reissue", "Only an inspector or the owner may issue a certificate again."
        )
    if not reason:
        raise InspectionsError(
            "reason_missing", "Write why a new certificate is issued: the reason is printed on it."
        )
    if supersedes.sign_off.record_id != sign_off.record_id:
        raise InspectionsError(
            "certificate_of_another", "That certificate belongs to another job. Choose this job's own."
        )
    if Certificate.objects.filter(supersedes=supersedes).exists():
        raise InspectionsError(
            "already_superseded",
            f"{supersedes.serial} has been superseded already. Supersede the one that counts instead.",
        )
