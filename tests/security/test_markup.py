"""Whatever people write stays text: on pages, in mails, on papers and in drawings."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.apps import apps
from django.db import models
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from inspections.models import Certificate
from inspections.services.defects import defect_report
from inspections.services.photo_copies import photo_prepare
from inspections.services.records import record_begin
from inspections.services.signoff import record_sign_off
from jobs.models import BookingRequest, Customer, Document, OutgoingMail, Shop
from jobs.queries.plans import plan_read
from jobs.services.documents import TEMPLATES
from jobs.services.papers import SPELLED_OUT, paper_render
from jobs.services.reminders import reminders_queue
from jobs.services.surveys import survey_plan
from jobs.services.wishes import booking_ask
from jobs.services.work_pack import work_pack_request
from tests.factories import NOW, SurveyFactory
from tests.inspections.closing import INK, job_ready_to_begin, photo_make, work_through
from tests.inspections.proved import guards_off
from tests.security.crawl import pages_found

#: It ends an attribute in either quote, ends a script or a style, and opens an element; ″ is turned into a
#: straight quote on papers.
MARK = "\"'″></script></style><b onx=1>"
#: What programs read and people never write.
KEPT = {
    "Customer.link_token", "OutgoingMail.message_id", "OutgoingMail.html", "Document.sha256", "Document.file",
    "Photo.sha256", "Photo.extension", "Photo.original", "Photo.thumbnail", "Photo.print_copy",
    "SiteRecord.checklist", "SiteRecord.checklist_digest", "StageRecord.key", "Answer.item", "Answer.unit",
    "Defect.item", "Plan.rule_book", "Survey.framing_stock", "Site.time_zone", "Shop.time_zone",
    "User.password", "Heartbeat.name", "User.email", "Customer.email", "OutgoingMail.to", "Shop.email",
}  # fmt: skip


def texts() -> Iterator[tuple[type[models.Model], models.Field[Any, Any]]]:
    """Return every column that people write in."""
    for model in [
        *apps.get_app_config("jobs").get_models(),
        *apps.get_app_config("inspections").get_models(),
    ]:
        for column in model._meta.concrete_fields:
            written = isinstance(column, models.CharField | models.TextField) and not column.choices
            if written and f"{model.__name__}.{column.name}" not in KEPT:
                yield model, column


#: Columns of text that hold JSON; people's words stand inside.
JSON_AS_TEXT = {"EvidenceEvent.facts", "EvidencePrivate.content"}


def write_marks() -> None:
    # What is recorded for good could have been written so at first.
    guards_off()
    for model, column in texts():
        for row in model._default_manager.all():
            # The number keeps names that must differ apart.
            text = f"{row.pk}{MARK}"[: column.max_length or 200]
            if f"{model.__name__}.{column.name}" in JSON_AS_TEXT:
                text = json.dumps({"said": text})
            if getattr(row, column.name) != "" or column.name in {"notes", "wish", "remarks"}:
                model._default_manager.filter(pk=row.pk).update(**{column.name: text})


@pytest.fixture
def marked(office, owner, installer, inspector, technician):
    """A shop in which everything anybody wrote is markup."""
    Shop.current()
    done = job_ready_to_begin(office=office, crew=technician.crew)
    record = work_through(job=done, by=installer, inspector=inspector, fails="ceiling_clearance")
    begun = job_ready_to_begin(office=office, crew=technician.crew)
    open_record = record_begin(job=begun, by=installer, now=NOW)
    defect_report(stage=open_record.stages.first(), description="x", by=installer, now=NOW)
    photo_prepare(pk=photo_make(job=begun, by=installer, number=9).pk, now=NOW)
    booking = BookingRequest.objects.create(installation=begun.installation, service="sweep", asked_at=NOW)
    write_marks()
    BookingRequest.objects.filter(pk=booking.pk).update(wish=MARK)
    survey = SurveyFactory(installation=begun.installation, revision=50)
    values = {column.name: getattr(survey, column.name) for column in survey.quantity_fields()}
    obstacles = [{"name": MARK, "distance": 1.5, "height": 0.5}]
    values |= {"roof_rise": 6.0, "obstacles": obstacles, "notes": MARK}
    plan = survey_plan(
        installation=begun.installation, values=values,
        as_typed={"rear_wall": MARK, "obstacles": [{"distance": MARK, "height": MARK}]}, by=office, now=NOW,
    )  # fmt: skip
    record.refresh_from_db()
    sign_off = record_sign_off(
        record=record, by=inspector, name=inspector.name, remarks=MARK, now=timezone.now(), **INK
    )
    work_pack_request(job=begun, by=office, now=NOW)
    return {"plan": plan, "sign_off": sign_off, "begun": begun, "done": done}


def test_every_column_people_write_in_is_tried(marked):
    tried = {f"{model.__name__}.{column.name}" for model, column in texts()}
    assert {"Customer.name", "Answer.raw_text", "Waiver.reason", "Signature.name", "Visit.note"} <= tried
    assert Customer.objects.filter(name__contains=MARK[:20]).exists()


@pytest.mark.parametrize("person", ["owner", "office", "installer", "inspector"])
def test_no_page_takes_what_was_written_for_markup(person, marked, as_user, request):
    client = as_user(request.getfixturevalue(person))
    opened = {}
    for path, text in pages_found(client, "/", "/jobs/?status=all"):
        opened[path] = text
        assert "<b onx" not in text, path
        assert "</style>" not in text, path
    assert len(opened) > 15
    assert sum("&lt;b onx" in text for text in opened.values()) > 8


def test_the_customers_page_takes_nothing_for_markup(marked):
    token = marked["begun"].installation.site.customer.link_token
    path = reverse("customer_page", args=[token])
    opened = dict(pages_found(Client(), path))
    assert "&lt;b onx" in opened[path]
    assert all("<b onx" not in text for text in opened.values())


def test_no_mail_takes_it_for_markup_nor_for_another_line(marked):
    house, now = marked["done"].installation, timezone.now()
    Customer.objects.update(name=f"Ada\r\nBcc: x@evil.example{MARK}")
    house.services.update(last_done_on="2020-01-01", next_due_on="2021-01-01")
    assert reminders_queue(now=now) >= 1
    booking_ask(installation=house, services=["sweep"], wish=MARK, now=now)
    mails = list(OutgoingMail.objects.all())
    assert len(mails) >= 2
    for mail in mails:
        assert "<b onx" not in mail.html
        assert "&lt;b onx" in mail.html
        assert not set(mail.subject) & set("\r\n")


def test_no_drawing_takes_it_for_markup(marked):
    computed = plan_read(marked["plan"])
    for draw in (elevation_svg, ceiling_plan_svg, roof_plan_svg):
        svg = draw(computed, "imperial")
        assert "<b onx" not in svg
        assert "onx=1>" not in svg.replace("onx=1&gt;", "")


def test_no_paper_takes_it_for_markup_nor_lets_a_double_prime_end_an_attribute(marked):
    for document in Document.objects.all():
        html = render_to_string(TEMPLATES[document.kind], document.context).translate(SPELLED_OUT)
        body = html.partition("</style>")[2]
        assert "&lt;b onx" in body
        assert "<b onx" not in html
        assert "</style>" not in body
        assert "″" not in html
        assert '&#x27;"&gt;' not in html
    assert Certificate.objects.count() == 1


def test_a_paper_of_such_words_is_made_all_the_same(marked):
    document = Document.objects.get(kind="closing certificate")
    assert paper_render(template=TEMPLATES[document.kind], context=document.context).startswith(b"%PDF")
