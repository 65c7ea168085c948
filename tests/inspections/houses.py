"""Customers of whom something stands in every column with words, for tests of what is kept about them."""

from __future__ import annotations

import hashlib
import uuid
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from typing import Any

from django.core.files.base import ContentFile
from django.db.models import Model

from inspections.models import (
    Answer,
    Certificate,
    Defect,
    DefectGrading,
    LateLook,
    Photo,
    PhotoPart,
    SignOff,
    StageReturn,
    TabletEntry,
    Waiver,
)
from inspections.models.customer_data import HELD
from inspections.services.defect_rules import rule_as_told
from inspections.services.photo_copies import photo_prepare
from jobs.models import (
    AccessWay,
    BookingRequest,
    Customer,
    Document,
    Job,
    JobStatusChange,
    Permit,
    Reminder,
    User,
    Visit,
)
from jobs.services.document_access import paper_access_note
from jobs.services.mail import mail_queue
from jobs.services.schedule import services_schedule
from tests.factories import NOW
from tests.inspections.closing import job_closed


def house_closed(*, mark: str, office: User, installer: User, inspector: User) -> Customer:
    """Return a customer with a closed job. Every text about them that a person wrote holds the mark."""
    sign_off = job_closed(
        office=office,
        installer=installer,
        inspector=inspector,
        kind="annual sweep",
        site__customer__name=f"{mark} Ember",
        site__customer__email=f"{mark.lower()}@house.example",
        site__customer__phone=f"555 {mark}",
        site__customer__notes=f"Notes on {mark}",
        site__label=f"Home of {mark}",
        site__street=f"1 {mark} Lane",
        site__city=f"{mark}ville",
        site__postcode=f"Z{mark}",
        site__access_notes=f"Key under the {mark} pot",
        site__hazard_notes=f"Dog called {mark}",
        room=f"Room of {mark}",
    )
    job = sign_off.record.job
    customer: Customer = job.installation.site.customer
    _say_on_site(job, sign_off, mark, installer, inspector)
    _say_in_the_office(job, mark, office)
    for photo in Photo.objects.filter(job=job):
        photo_prepare(pk=photo.pk, now=NOW)
    return customer


def _say_on_site(job: Job, sign_off: SignOff, mark: str, installer: User, inspector: User) -> None:
    stage = sign_off.record.stages.order_by("position").first()
    assert stage is not None
    told: dict[str, Any] = {"stage": stage, "by": installer, "received_at": NOW}
    Answer.objects.create(
        item="remark", kind="note", raw_text=f"{mark} was at home", outcome="recorded", **told
    )
    defect = Defect.objects.create(
        stage=stage, item="", description=f"{mark} stacked logs", place=f"Shed of {mark}",
        rule=rule_as_told(f"As {mark} was told"),
        opened_by=installer, opened_at=NOW, closed_at=NOW,
    )  # fmt: skip
    DefectGrading.objects.create(
        defect=defect, severity="advice", reason=f"{mark} moves them", by=inspector, at=NOW
    )
    Waiver.objects.create(
        defect=defect, by=inspector, authority=f"Town of {mark}", reason=f"As {mark} asked", at=NOW
    )
    signature = sign_off.signature
    StageReturn.objects.create(
        stage=stage, signature=signature, signed_by=installer, signed_at=NOW, by=inspector,
        reason=f"Ask {mark} again", at=NOW + timedelta(hours=1),
    )  # fmt: skip
    entry = TabletEntry.objects.create(
        entry=uuid.uuid4(), job=job, kind="answer", by=installer, received_at=NOW, outcome="late",
        code="stage_signed", sentence=f"“{mark}” came too late.", said=f"{mark} said so",
        raw={"text": f"{mark} called"}, digest="d" * 64,
    )  # fmt: skip
    LateLook.objects.create(entry=entry, by=inspector, note=f"{mark} was told", at=NOW)
    PhotoPart.objects.create(
        entry=uuid.uuid4(), job=job, by=installer, offset=0, size_of_whole=9, sha256="a" * 64,
        content=f"part of {mark}".encode(), received_at=NOW,
    )  # fmt: skip


def _say_in_the_office(job: Job, mark: str, office: User) -> None:
    customer = job.installation.site.customer
    Job.objects.filter(pk=job.pk).update(note=f"{mark} wants it swept")
    Visit.objects.filter(job=job).update(note=f"Call {mark} before")
    JobStatusChange.objects.create(
        job=job, old="ready for sign-off", new="closed", by=office, reason=f"{mark} agreed", at=NOW
    )
    Permit.objects.create(job=job, authority=f"Town of {mark}", number=f"P-{mark}", outcome="passed")
    service = services_schedule(job=job, done_on=NOW.date(), now=NOW)[0]
    BookingRequest.objects.create(
        installation=job.installation, service="sweep", wish=f"{mark} on Mondays", asked_at=NOW
    )
    mail = mail_queue(
        to=customer.email, subject=f"Dear {mark}", text=f"Your sweep, {mark}", html=f"<p>{mark}</p>",
        customer=customer, now=NOW,
    )  # fmt: skip
    customer.mails.update(handed_over_at=NOW, done_at=NOW)
    Reminder.objects.create(
        installation=job.installation, service=service.kind, due_on=service.next_due_on,
        step="30 days before", outcome="mailed", mail=mail, decided_at=NOW,
    )  # fmt: skip
    paper = Document.objects.get(job=job)
    paper_access_note(document=paper, way=AccessWay.PAGE, by=office, now=NOW)


def paper_write(*, customer: Customer, content: bytes, now: datetime = NOW) -> Document:
    """Finish the customer's certificate as a worker would, with bytes that are quickly made."""
    paper = Certificate.objects.get(sign_off__record__job__installation__site__customer=customer).document
    name = f"documents/{paper.job_id}/{paper.pk}-{hashlib.sha256(content).hexdigest()[:16]}.pdf"
    paper.file.storage.save(name, ContentFile(content))
    Document.objects.filter(pk=paper.pk).update(
        file=name, sha256=hashlib.sha256(content).hexdigest(), done_at=now
    )
    paper.refresh_from_db()
    return paper


def words_of(customer: Customer) -> set[str]:
    """Return every text about a customer that erasing takes away, as it stands in the rows."""
    found: set[str] = set()
    for held in HELD:
        for row in held.rows(customer):
            found.update(_texts(row, held.private))
            if held.goes and hasattr(row, "content"):
                found.add(row.content if isinstance(row.content, str) else bytes(row.content).decode())
    return found


def _texts(row: Model, columns: Iterable[str]) -> Iterator[str]:
    for column in columns:
        value = getattr(row, column)
        if isinstance(value, dict):
            yield from (str(one) for one in value.values() if isinstance(one, str))
        elif isinstance(value, str):
            yield value
