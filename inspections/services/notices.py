"""Do-not-use notices: out in the transaction that records a danger, lifted in the one that ends it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from inspections.errors import InspectionsError
from inspections.evidence_rows import NOTICE
from inspections.models import Defect, DoNotUseNotice, Severity
from inspections.queries.defect_words import closed_words
from inspections.queries.notice_paper import defect_number, notice_context
from inspections.services.notice_letters import lifted_letter, notice_letter, office_letter
from jobs.errors import JobsError
from jobs.models import Customer, DocumentKind, OutgoingMail, Shop, User
from jobs.queries.office import office_addresses
from jobs.services.documents import document_request, document_withdraw
from jobs.services.evidence import evidence_later, evidence_lock, evidence_row
from jobs.services.letters import Letter
from jobs.services.mail import mail_queue
from jobs.services.mail_message import address_check, ascii_address


def notices_settle(*, raised: Iterable[Defect], closed: Iterable[Defect], by: User) -> None:
    """Put the notice out for each danger just recorded, and lift it for each defect just closed."""
    for defect in raised:
        # Nobody has graded anew what was only just recorded.
        if defect.is_open and defect.severity == Severity.DANGER and not _is_covered(defect):
            notice_issue(defect=defect, by=by, now=defect.opened_at)
    ended = {one.pk: one for one in closed if one.closed_at is not None}
    if not ended:
        return
    for notice in DoNotUseNotice.objects.filter(defect__in=ended, lifted_at=None).order_by("pk"):
        defect = _whole(ended[notice.defect_id].pk)
        _lift(notice, defect, f"It was {closed_words(defect)}.", by, defect.closed_at or notice.issued_at)


@transaction.atomic
def notice_issue(*, defect: Defect, by: User, now: datetime) -> DoNotUseNotice:
    """Put the notice of a danger out: its paper, a mail to the customer and one to the office.

    While one is out it is that one; two who record at once wait for each other at the record's lock, and the
    database keeps a second one out.
    """
    standing = DoNotUseNotice.objects.filter(defect=defect, lifted_at=None).first()
    if standing is not None:
        return standing
    defect = _whole(defect.pk)
    job = defect.stage.record.job
    context = notice_context(defect=defect, by=by, now=now)
    document = document_request(
        job=job,
        kind=DocumentKind.NOTICE,
        title=f"Do-not-use notice {defect_number(defect)}",
        context=context,
        for_customer=True,
        now=now,
    )
    customer = job.installation.site.customer
    mail = _mail(customer.email, notice_letter(defect=defect, context=context), customer, now)
    letter = office_letter(defect=defect, context=context, told_by_mail=mail is not None)
    office = [_mail(address, letter, customer, now) for address in office_addresses()]
    notice = DoNotUseNotice.objects.create(
        defect=defect,
        document=document,
        mail=mail,
        office_mail=next((one for one in office if one is not None), None),
        issued_by=by,
        issued_at=now,
    )
    evidence_row(job=job, kind=NOTICE, row=notice)
    return notice


@transaction.atomic
def notice_lift(*, defect: Defect, what: str, by: User, now: datetime) -> None:
    """Lift the notice of a defect, if one is out, and write to the customer by what."""
    for notice in DoNotUseNotice.objects.filter(defect=defect, lifted_at=None):
        _lift(notice, _whole(defect.pk), what, by, now)


@transaction.atomic
def notice_told(*, notice: DoNotUseNotice, by: User, now: datetime) -> None:
    """Note that somebody gave the notice by hand or told it by telephone."""
    # Whoever lifts a notice takes the chain's lock before the row's, too.
    evidence_lock(job=notice.defect.stage.record.job)
    told = DoNotUseNotice.objects.filter(pk=notice.pk, told_at=None, lifted_at=None)
    if told.update(told_at=now, told_by=by) != 1:
        raise InspectionsError("already_told", "The notice was handed over or lifted already.")
    _log(notice, "notice told", by)


def _is_covered(defect: Defect) -> bool:
    """Whether it is the copy of one that is open elsewhere and has its notice there."""
    origin = defect.carried_from
    return origin is not None and origin.is_open


def _lift(notice: DoNotUseNotice, defect: Defect, what: str, by: User, now: datetime) -> None:
    lifted = DoNotUseNotice.objects.filter(pk=notice.pk, lifted_at=None)
    if lifted.update(lifted_at=now, lifted_by_what=what) != 1:
        return
    document_withdraw(document=notice.document, now=now)
    others = _others_out(notice, defect)
    letter = lifted_letter(defect=defect, what=what, still_out=others)
    customer = defect.stage.record.job.installation.site.customer
    mail = _mail(customer.email, letter, customer, now)
    if mail is not None:
        DoNotUseNotice.objects.filter(pk=notice.pk).update(lifted_mail=mail)
    _log(notice, "notice lifted", by)


def _log(notice: DoNotUseNotice, later: str, by: User) -> None:
    notice.refresh_from_db()
    evidence_later(job=notice.defect.stage.record.job, kind=NOTICE, later=later, row=notice, by=by)


def _others_out(notice: DoNotUseNotice, defect: Defect) -> int:
    installation = defect.stage.record.job.installation_id
    out = DoNotUseNotice.objects.filter(lifted_at=None, defect__stage__record__job__installation=installation)
    return out.exclude(pk=notice.pk).count()


def _mail(address: str, letter: Letter, customer: Customer, now: datetime) -> OutgoingMail | None:
    """Queue a mail; None where there is no address to send it to."""
    try:
        to = address_check(address)
    except JobsError:
        return None
    shop_email = ascii_address(Shop.current().email)
    headers = {"Importance": "high", **({"Reply-To": shop_email} if shop_email else {})}
    return mail_queue(
        to=to,
        subject=letter.subject,
        text=letter.text,
        html=letter.html,
        headers=headers,
        customer=customer,
        now=now,
    )


def _whole(pk: int) -> Defect:
    whole = Defect.objects.select_related(
        "stage__record__job__installation__site__customer",
        "stage__record__job__installation__appliance",
        "stage__record__job__installation__chimney",
        "opened_by",
        "closed_by_answer__by",
        "closed_by_answer__stage__record__job",
    )
    return whole.get(pk=pk)
