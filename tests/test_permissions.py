"""Every address against every role and nobody. An address without a row here fails the suite."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from inspections.models import Signature, SignOff, TabletEntry
from inspections.queries.records import record_view
from inspections.services.certificates import certificate_issue
from inspections.services.defects import defect_report
from jobs.models import BookingRequest, Credential, Customer, CustomerExport, Permit, User, Visit
from jobs.services.mail import mail_queue
from jobs.services.schedule import services_schedule
from jobs.services.work_pack import work_pack_request
from tests.factories import NOW
from tests.inspections.closing import SCRAWL, job_ready_to_begin, photo_make, record_begin

#: Address, method -> what owner, office, installer of the crew, installer of another crew and inspector get:
#: + opens, - not for this role (403), 0 does not exist for this person (404).
TABLE = {
    ("today", "get"): "+++++",
    ("job_list", "get"): "+++++",
    ("job_add", "get"): "++---",
    ("job_detail", "get"): "+++0+",
    ("job_move", "post"): "++---",
    ("job_plan", "post"): "++---",
    ("permit_add", "get"): "++---",
    ("permit_edit", "get"): "++---",
    ("week", "get"): "++---",
    ("visit_add", "get"): "++---",
    ("visit_edit", "get"): "++---",
    ("visit_cancel", "post"): "++---",
    ("customer_list", "get"): "+++++",
    ("customer_add", "get"): "++---",
    ("customer_detail", "get"): "+++0+",
    ("customer_edit", "get"): "++---",
    ("customer_link_new", "post"): "++---",
    ("customer_accesses", "get"): "++---",
    ("customer_data", "get"): "++---",
    ("customer_export_add", "post"): "++---",
    ("export_file", "get"): "++---",
    ("customer_erase", "get"): "+----",
    ("customer_erase", "post"): "+----",
    ("keeping_list", "get"): "++---",
    ("site_add", "get"): "++---",
    ("site_edit", "get"): "++---",
    ("installation_add", "get"): "++---",
    ("installation_detail", "get"): "+++0+",
    ("installation_edit", "get"): "++---",
    ("appliance_list", "get"): "+++++",
    ("appliance_add", "get"): "++---",
    ("appliance_edit", "get"): "++---",
    ("chimney_list", "get"): "+++++",
    ("chimney_add", "get"): "++---",
    ("chimney_edit", "get"): "++---",
    ("survey_edit", "get"): "++---",
    ("survey_preview", "post"): "++---",
    ("survey_detail", "get"): "+++0+",
    ("survey_replan", "post"): "++---",
    ("plan_detail", "get"): "+++0+",
    ("plan_margins", "get"): "+++0+",
    ("plan_attach", "post"): "++---",
    ("service_list", "get"): "++---",
    ("service_job", "post"): "++---",
    ("booking_job", "post"): "++---",
    ("booking_aside", "post"): "++---",
    ("shop_settings", "get"): "+----",
    ("staff_list", "get"): "+----",
    ("staff_add", "get"): "+----",
    ("staff_edit", "get"): "+----",
    ("staff_password", "get"): "+----",
    ("staff_invite", "post"): "+----",
    ("staff_second_factor", "post"): "+----",
    ("credential_add", "get"): "+----",
    ("credential_edit", "get"): "+----",
    ("credential_remove", "post"): "+----",
    ("crew_add", "get"): "+----",
    ("crew_edit", "get"): "+----",
    ("document_file", "get"): "+++0+",
    ("document_retry", "post"): "++--+",
    ("document_accesses", "get"): "++---",
    ("document_list", "get"): "+++0+",
    ("work_pack_request", "post"): "+++0-",
    ("care_sheet_request", "post"): "+++0-",
    ("notice_plate_request", "post"): "+++0-",
    ("flue_label_request", "post"): "+++0-",
    ("hand_over_request", "post"): "+++0-",
    ("rule_books", "get"): "+++++",
    ("rule_book", "get"): "+++++",
    ("mail_list", "get"): "++---",
    ("mail_detail", "get"): "++---",
    ("mail_resend", "post"): "++---",
    ("mail_mark_sent", "post"): "++---",
    ("work", "get"): "+++0+",
    ("record_begin", "post"): "+-+0-",
    ("stage", "get"): "+++0+",
    ("stage_sign", "post"): "+-+0-",
    ("defect_add", "post"): "+-+0+",
    ("answer_add", "post"): "+-+0-",
    ("photo_add", "post"): "+-+0-",
    ("photo_state", "get"): "+++0+",
    ("photo_file", "get"): "+++0+",
    ("record_review", "get"): "+++0+",
    ("record_evidence", "get"): "+++0+",
    ("record_evidence_file", "get"): "+++0+",
    ("record_compared", "get"): "+++0+",
    ("record_return", "post"): "+-+0+",
    ("record_sign_off", "post"): "+-+0+",
    ("record_reopen", "get"): "+-+0+",
    ("waiver_add", "post"): "+-+0+",
    ("defect_grade", "post"): "+-+0+",
    ("follow_up_add", "post"): "++---",
    ("notice_told", "post"): "+++0+",
    ("late_entry_look", "get"): "+-+0+",
    ("late_entry_look", "post"): "+-+0+",
    ("bring_in", "get"): "++---",
    ("bring_in", "post"): "++---",
    ("certificate_detail", "get"): "+++0+",
    ("certificate_reissue", "get"): "+---+",
    ("certificate_withdraw", "get"): "+---+",
    ("certificate_recompute", "get"): "+++0+",
}
#: Opened by the customer's private link alone; tests/jobs/test_customer_page.py holds their cases.
BY_LINK = {"customer_page", "customer_book", "customer_stop", "customer_start", "customer_document"}
#: The tablet's API, which answers a program: 401 in JSON for nobody, never the way to the sign-in page.
API = {
    ("tablet_me", "get"): "+-+++",
    ("tablet_jobs", "get"): "+-+++",
    ("tablet_bundle", "get"): "+-+0+",
    ("tablet_entries", "post"): "+-+0+",
    ("tablet_photo", "get"): "+-+0+",
    ("tablet_photo", "patch"): "+-+0+",
    ("tablet_openapi", "get"): "+-+++",
}
#: Answers 404 in JSON to whatever the API has no address for.
NOWHERE = {"tablet_nowhere"}
#: Open to everybody, as they hold nothing of anybody; tests/inspections/test_tablet_shell.py has their cases.
#: The last two are for anybody who holds a certificate; tests/inspections/test_verify.py has theirs.
OPEN = {"tablet", "tablet_manifest", "tablet_service_worker", "verify", "verify_certificate"}
PEOPLE = ("owner", "office", "installer", "stranger", "inspector")


def _addresses(resolver: URLResolver, prefix: str = "") -> Iterator[tuple[str, str]]:
    for one in resolver.url_patterns:
        if isinstance(one, URLResolver):
            yield from _addresses(one, prefix + str(one.pattern))
        elif isinstance(one, URLPattern):
            yield prefix + str(one.pattern), one.name or ""


@pytest.fixture
def world(owner, office, installer, stranger, inspector) -> dict[str, dict[str, object]]:
    """Return the arguments of every address, all in one shop with one job on site."""
    job = job_ready_to_begin(office=office, crew=installer.technician.crew)
    record = record_begin(job=job, by=installer, now=NOW)
    stage = record.stages.order_by("position").first()
    photo = photo_make(job=job, by=installer, number=1)
    defect = defect_report(stage=stage, description="Loose ladder hook", by=installer, now=NOW)
    danger = defect_report(
        stage=stage, description="Flue open in the attic", severity="danger", by=installer, now=NOW
    )
    document = work_pack_request(job=job, by=office, now=NOW)
    visit = Visit.objects.get(job=job)
    service = services_schedule(job=job, done_on=NOW.date(), now=NOW)[0]
    booking = BookingRequest.objects.create(
        installation=job.installation, service="sweep", asked_at=NOW + timedelta(days=1)
    )
    mail = mail_queue(to="a@house.example", subject="Hello", text="Hello", now=NOW)
    permit = Permit.objects.create(job=job, authority="Town of Millbrook Falls")
    late = TabletEntry.objects.create(
        entry=uuid.uuid4(), job=job, kind="answer", by=installer, received_at=NOW, outcome="late",
        code="stage_signed", sentence="It was signed before this arrived.",
    )  # fmt: skip
    credential = Credential.objects.create(technician=installer.technician, name="Chimney licence")
    sign_off = SignOff.objects.create(
        record=record, by=inspector, at=NOW,
        signature=Signature.objects.create(name="P", strokes=SCRAWL, width=400, height=120, signed_at=NOW),
    )  # fmt: skip
    certificate = certificate_issue(sign_off=sign_off, by=inspector, now=NOW)
    export = CustomerExport.objects.create(
        customer=job.installation.site.customer, asked_by=office, requested_at=NOW, due_at=NOW, done_at=NOW,
        sha256="0" * 64, file=default_storage.save("exports/1-1.zip", ContentFile(b"PK")),
    )  # fmt: skip
    pictured = next(
        one for one in record_view(record).stages for item in one.items if item.item.kind == "photo"
    )
    picture = next(item for item in pictured.items if item.item.kind == "photo")
    customer: Customer = job.installation.site.customer
    return {
        "job": {"pk": job.pk}, "installation": {"pk": job.installation.pk}, "customer": {"pk": customer.pk},
        "site": {"pk": job.installation.site.pk}, "appliance": {"pk": job.installation.appliance.pk},
        "chimney": {"pk": job.installation.chimney.pk}, "plan": {"pk": job.plan.pk},
        "survey": {"pk": job.plan.survey.pk}, "permit": {"pk": permit.pk}, "visit": {"pk": visit.pk},
        "service": {"pk": service.pk}, "booking": {"pk": booking.pk}, "mail": {"pk": mail.pk},
        "staff": {"pk": installer.pk}, "credential": {"pk": credential.pk},
        "crew": {"pk": installer.technician.crew.pk}, "document": {"pk": document.pk},
        "photo": {"pk": photo.pk}, "photo_size": {"pk": photo.pk, "size": "original"},
        "stage": {"pk": job.pk, "key": stage.key},
        "item": {"pk": job.pk, "key": stage.key, "item": "instructions_on_site"},
        "picture": {"pk": job.pk, "key": pictured.key, "item": picture.key},
        "certificate": {"pk": certificate.document.pk},
        "notice": {"pk": job.installation.pk, "notice": danger.notices.get().pk},
        "export": {"pk": export.pk},
        "defect": {"pk": job.pk, "defect": defect.pk}, "late": {"pk": job.pk, "entry": late.pk},
        "rule": {"code": "us"}, "nothing": {},
    }  # fmt: skip


#: What stands in an address where its name does not begin with the noun.
NOUN = {
    "today": "nothing", "job_list": "nothing", "job_add": "installation", "permit_add": "job",
    "week": "nothing", "visit_add": "job", "site_add": "customer", "installation_add": "site",
    "survey_edit": "installation", "survey_preview": "installation", "shop_settings": "nothing",
    "document_list": "job", "work_pack_request": "job", "care_sheet_request": "job",
    "notice_plate_request": "job", "flue_label_request": "job", "hand_over_request": "job",
    "work": "job", "record_begin": "job", "record_review": "job", "record_evidence": "job",
    "record_evidence_file": "job", "record_compared": "job", "record_return": "job",
    "record_sign_off": "job", "record_reopen": "job", "waiver_add": "defect",
    "follow_up_add": "installation", "late_entry_look": "late",
    "bring_in": "nothing", "keeping_list": "nothing",
    "stage_sign": "stage", "defect_add": "stage", "answer_add": "item", "photo_add": "picture",
    "photo_file": "photo_size", "credential_add": "staff", "rule_books": "nothing",
}  # fmt: skip


def _path(name: str, world: dict[str, dict[str, object]]) -> str:
    noun = NOUN.get(name) or name.split("_", maxsplit=1)[0]
    ends = name.removeprefix(noun)
    if name not in NOUN and ends in {"_list", "_add"}:
        noun = "staff" if name == "credential_add" else "nothing"
    return reverse(name, kwargs=world[noun])


def test_every_address_has_a_row():
    named = {name for path, name in _addresses(get_resolver()) if not path.startswith("account/")}
    assert named == {name for name, _ in (*TABLE, *API)} | BY_LINK | OPEN | NOWHERE


@pytest.mark.parametrize(("name", "method"), TABLE)
def test_each_role_gets_what_the_table_says(name, method, world, as_user, request):
    path = _path(name, world)
    said = ""
    for person in PEOPLE:
        user: User = request.getfixturevalue(person)
        # A plan is attached to a job named in the form; every other form may be empty.
        sent = {"job": world["job"]["pk"]} if method == "post" else {}
        response = getattr(as_user(user), method)(path, sent)
        response.close()
        assert response.status_code < 500, (person, path)
        assert response.status_code != 405, (person, path)
        said += {403: "-", 404: "0"}.get(response.status_code, "+")
    assert said == TABLE[name, method]


@pytest.mark.parametrize(("name", "method"), TABLE)
def test_nobody_is_sent_to_sign_in(name, method, world):
    response = getattr(Client(), method)(_path(name, world))
    assert response.status_code == 302
    assert response.url.startswith(reverse("account_login"))


def _api_path(name: str, world: dict[str, dict[str, object]]) -> str:
    job = world["job"]["pk"]
    told = {"tablet_photo": [job, uuid.UUID(int=1)], "tablet_bundle": [job], "tablet_entries": [job]}
    return reverse(name, args=told.get(name, []))


@pytest.mark.parametrize(("name", "method"), API)
def test_each_role_gets_of_the_api_what_the_table_says(name, method, world, as_user, request):
    path = _api_path(name, world)
    said = ""
    for person in PEOPLE:
        user: User = request.getfixturevalue(person)
        body = {"data": {"entries": [7]}, "content_type": "application/json"} if method == "post" else {}
        headers = {"Fluewright-Person": str(user.pk)}
        response = getattr(as_user(user), method)(path, headers=headers, **body)
        told = response.json()
        assert response["Content-Type"].startswith("application/json")
        assert response.status_code < 500, (person, path)
        if response.status_code in {403, 404}:
            assert told["code"] == {403: "not_for_office", 404: "no_such_job"}[response.status_code]
        said += {403: "-", 404: "0"}.get(response.status_code, "+")
    assert said == API[name, method]


@pytest.mark.parametrize(("name", "method"), API)
def test_nobody_is_told_by_the_api_to_sign_in(name, method, world):
    response = getattr(Client(), method)(_api_path(name, world), headers={"Fluewright-Person": "1"})
    assert response.status_code == 401
    assert response.json()["code"] == "signed_out"
