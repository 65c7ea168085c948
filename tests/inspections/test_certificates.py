"""What a closing certificate prints, and that it never changes."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta

import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.errors import InspectionsError
from inspections.models import Answer, Certificate, Photo
from inspections.queries.certificates import record_mark
from inspections.services.certificates import certificate_issue
from inspections.services.photo_copies import photo_prepare
from inspections.services.pictures import picture_look
from inspections.services.print_copies import print_copy_read
from jobs.models import NUMBERED, Credential, Document, Permit, Role, Shop
from jobs.services.documents import document_content, document_render, document_request
from tests.factories import NOW, TechnicianFactory, UserFactory
from tests.inspections.closing import job_closed, job_ready_to_begin, photo_make
from tests.paper import FONTS, Paper

LATER = NOW + timedelta(days=1)


@pytest.fixture
def shop(db) -> Shop:
    Shop.current()
    Shop.objects.update(
        name="Lantern Hill Stoves",
        address="12 Foundry Street\nMillbrook Falls, VT 05001",
        phone="(802) 555-0142",
        registration="Contractor registration 44-1023",
    )
    return Shop.current()


@pytest.fixture
def close(shop, office, installer, inspector):
    """Return a function that works a job to its sign-off."""

    def close(**told):
        return job_closed(**{"office": office, "installer": installer, "inspector": inspector, **told})

    return close


@pytest.fixture
def certify(close, tmp_path):
    """Return a function that works a job to its certificate and opens the paper."""

    def certify(**told) -> Paper:
        return opened(close(**told).certificates.get(), tmp_path)

    return certify


def opened(certificate: Certificate, folder) -> Paper:
    return Paper(made(certificate.document), folder)


def made(document: Document) -> bytes:
    assert document_render(pk=document.pk, now=LATER), Document.objects.get(pk=document.pk).last_error
    document.refresh_from_db()
    return document_content(document=document)


def without_photos(certificate: Certificate) -> Document:
    """Ask for the same paper with no picture in it."""
    bare = {**certificate.document.context, "photos": [], "pictures": [], "compared": []}
    told = {"kind": certificate.document.kind, "title": "Without photos", "for_customer": False}
    return document_request(job=certificate.document.job, context=bare, now=NOW, **told)


def context() -> dict:
    return Document.objects.get(kind__in=NUMBERED).context


# The first page


def test_the_first_page_names_the_parties_the_work_and_who_answers(certify, installer):
    text = certify(site__customer__name="Maren Holt", site__street="4 Lantern Lane", room="Den").page(1)
    for words in (
        "Closing certificate", "FW-000001", "Issued May 4, 2026", "Lantern Hill Stoves", "12 Foundry Street",
        "Contractor registration 44-1023", "Maren Holt", "4 Lantern Lane", "Den", "Tarn Hollow",
        "Grey Heron", "Ivo Installer", "Signed off", "Petra Inspector", "May 4, 2026, 2:00 PM",
        "measured values, all", "Chimney sweep: May 4, 2027",
    ):  # fmt: skip
        assert words in text


def test_long_names_still_leave_one_first_page(certify, tmp_path):
    long = "Bartholomew Featherstonehaugh-Cholmondeley and Wilhelmina Łukaszewska-O’Shaughnessy"
    Shop.objects.update(name="Lantern Hill Stove and Chimney Company of the Upper Valley and the Lakes")
    paper = certify(
        site__customer__name=long,
        site__street="1 Old Schoolhouse Road behind the Second Covered Bridge, Apartment 14",
        room="Sitting room at the back of the house",
    )
    assert "Next due" in paper.page(1)
    assert "What was installed" in paper.page(2)


@pytest.mark.parametrize(
    ("site", "size", "figure"),
    [
        ({"country": "US", "unit_system": "imperial"}, (612, 792), "at least 14 in"),
        ({"country": "GB", "unit_system": "metric"}, (595, 842), "at least 356 mm"),
    ],
)
def test_paper_and_figures_follow_the_house(site, size, figure, certify):
    paper = certify(**{f"site__{name}": value for name, value in site.items()})
    assert paper.size == size
    assert figure in paper.text


# The record


def test_every_measured_value_stands_as_typed_with_its_limit_source_and_verdict(certify):
    text = certify().text
    printed = {row["ask"]: row for stage in context()["stages"] for row in stage["measures"]}
    measured = Answer.objects.filter(kind="measure", superseded_by=None)
    assert len(printed) == measured.count() > 25
    for row in printed.values():
        assert row["typed"] in text
        assert row["limit"] in text
        assert row["source"]
        assert row["verdict"] == {"outcome": "pass", "word": "Pass"}
    assert set(measured.values_list("raw_text", flat=True)) == {row["typed"] for row in printed.values()}


def test_what_was_confirmed_chosen_and_noted_stands_in_its_stage(certify):
    certify()
    printed = [row for stage in context()["stages"] for row in stage["answers"]]
    others = Answer.objects.exclude(kind__in=["measure", "photo"]).count()
    assert len(printed) == others
    assert all(row["ask"] and row["typed"] for row in printed)


def test_every_photo_is_printed_once_with_stage_item_and_time(certify):
    paper = certify()
    photos = context()["photos"]
    assert len(photos) == Photo.objects.count() == paper.pictures > 10
    assert {photo["sha256"] for photo in photos} == set(Photo.objects.values_list("sha256", flat=True))
    assert "Stage 1, Before work: Photo of the appliance's label" in paper.text
    assert "May 4, 2026, 11:00 AM, Ivo Installer" in paper.text


def test_a_record_without_photos_has_no_page_for_them(close, tmp_path):
    paper = Paper(made(without_photos(close(kind="annual sweep").certificates.get())), tmp_path)
    assert "Photographs" not in paper.text
    assert paper.pictures == 0


def test_stages_and_sign_off_carry_drawn_signatures(certify):
    certify()
    for stage in context()["stages"]:
        assert stage["signed"]["by"] == "Ivo Installer"
        assert stage["signature"]["path"].startswith("M20.0 60.0L60.0 20.0")
    assert context()["sign_off"]["signature"]["path"].count("M") == 2


def test_the_technicians_credentials_stand_as_they_were_on_the_day(certify, technician):
    Credential.objects.create(
        technician=technician, name="Solid-fuel installer", number="SF-118", expires_on=date(2027, 1, 31)
    )
    Credential.objects.create(
        technician=technician, name="Roof work", number="RW-9", expires_on=date(2026, 5, 3)
    )
    text = certify().text
    assert "Solid-fuel installer SF-118, valid to January 31, 2027" in text
    assert "Roof work RW-9, expired May 3, 2026" in text


def test_listings_stand_as_they_were_when_the_plan_was_made(close, tmp_path, monkeypatch):
    from jobs.models import Appliance  # noqa: PLC0415
    from tests.inspections import closing  # noqa: PLC0415

    work = closing.work_through

    def change_the_listing_first(**told):
        Appliance.objects.update(clearance_rear=99.0, listing_reference="Another sheet")
        return work(**told)

    monkeypatch.setattr(closing, "work_through", change_the_listing_first)
    text = opened(close().certificates.get(), tmp_path).text
    assert "Listing: Sheet TH-3, 2nd edition" in text
    assert "Another sheet" not in text
    assert "Not given on the sheet as entered: Clearance corner" in text


def test_a_waiver_is_printed_with_its_authority_and_reason(certify):
    paper = certify(fails="attic_clearance")
    for words in (
        "Waived: Chimney to anything that burns in the attic",
        "Town of Millbrook Falls, building official",
        "Listed spacer fitted; accepted in writing.",
        "Fail, waived",
        "1 waived",
    ):
        assert words in paper.text
    assert "1 waived" in paper.page(1)


def test_permits_are_printed_with_their_outcome(office, shop, installer, inspector, tmp_path):
    from inspections.services.signoff import record_sign_off  # noqa: PLC0415
    from tests.inspections.closing import INK, work_through  # noqa: PLC0415

    job = job_ready_to_begin(office=office, crew=installer.technician.crew, kind="annual sweep")
    Permit.objects.create(
        job=job, authority="Town of Millbrook Falls", number="B-118", issued_on=date(2026, 4, 12),
        final_inspection_on=date(2026, 5, 6), outcome="passed",
    )  # fmt: skip
    record = work_through(job=job, by=installer, inspector=inspector)
    sign_off = record_sign_off(record=record, by=inspector, name=inspector.name, now=NOW, **INK)
    text = opened(sign_off.certificates.get(), tmp_path).text
    assert "Town of Millbrook Falls, number B-118" in text
    assert "Final inspection May 6, 2026: passed" in text


def test_a_one_person_shop_says_that_nobody_else_reviewed_the_record(shop, tmp_path):
    Shop.objects.update(one_person=True)
    alone = TechnicianFactory(user=UserFactory(role=Role.OWNER, name="Olive Owner")).user
    sign_off = job_closed(office=alone, installer=alone, inspector=alone, kind="annual sweep")
    assert "nobody else reviewed the record" in opened(sign_off.certificates.get(), tmp_path).page(1)


def test_a_sweep_is_reported_as_a_sweep(certify):
    text = certify(kind="annual sweep").page(1)
    assert "The chimney named below was swept" in text
    assert "Swept by" in text
    assert "What was inspected" in text


def test_it_says_what_it_does_not_say_and_warns_who_uses_the_stove(certify):
    text = certify(kind="annual sweep").text
    for words in (
        "the authority having jurisdiction come before anything printed here",
        "It does not stand in for a permit",
        "work that only a licensed person may do",
        "Keep carbon monoxide and smoke alarms working",
    ):
        assert words in text


def test_every_page_carries_serial_record_mark_and_page_number(certify):
    paper = certify(kind="annual sweep")
    mark = context()["record_mark"]
    for page in range(1, paper.pages + 1):
        text = paper.page(page)
        assert f"FW-000001 Record mark {mark}" in text
        assert f"Page {page} of {paper.pages}" in text
        assert "give its number and record mark to Lantern Hill Stoves, (802) 555-0142" in text


def test_the_record_mark_changes_with_anything_the_certificate_says(certify):
    certify(kind="annual sweep")
    frozen = context()
    assert record_mark(frozen) == frozen["record_mark"]
    altered = json.loads(json.dumps(frozen))
    altered["stages"][0]["answers"][0]["typed"] += "."
    assert record_mark(altered) != frozen["record_mark"]


def test_only_the_bundled_fonts_are_embedded(certify):
    assert certify().fonts <= FONTS


def test_the_paper_is_made_without_reading_the_records(close):
    document = without_photos(close(kind="annual sweep").certificates.get())
    Shop.current()
    with CaptureQueriesContext(connection) as queries:
        assert document_render(pk=document.pk, now=LATER)
    tables = {name for query in queries for name in re.findall(r'(?:FROM|INTO|UPDATE) "(\w+)"', query["sql"])}
    # The seal asks for the shop's name and keeps its certificate; that it was made is logged.
    assert tables == {
        "jobs_document", "jobs_shop", "jobs_sealcertificate", "jobs_job", "jobs_evidenceevent",
    }  # fmt: skip


# Photos


def test_a_photo_the_worker_has_not_prepared_is_printed_all_the_same(certify):
    paper = certify(kind="annual sweep")
    assert not Photo.objects.exclude(print_copy="").exists()
    # One stands among the parts compared too, and poppler lists it on each page.
    assert paper.pictures >= Photo.objects.count()


def test_a_print_copy_is_made_small_whether_the_worker_prepared_it_or_not(office, installer):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, kind="annual sweep")
    photo = photo_make(job=job, by=installer, number=3)
    unprepared, _ = print_copy_read(sha256=photo.sha256)
    assert photo_prepare(pk=photo.pk, now=NOW)
    prepared, media_type = print_copy_read(sha256=photo.sha256)
    assert media_type == "image/jpeg"
    for content in (unprepared, prepared):
        assert max(picture_look(content).width, picture_look(content).height) <= 640


def test_a_photo_lost_from_storage_stops_the_paper_and_says_so(close):
    document = close(kind="annual sweep").certificates.get().document
    default_storage.delete(Photo.objects.first().original.name)
    assert not document_render(pk=document.pk, now=LATER)
    document.refresh_from_db()
    assert "is missing from storage. Restore it from a backup." in document.last_error
    assert document.file.name == ""


def test_a_photo_altered_in_storage_stops_the_paper(close):
    document = close(kind="annual sweep").certificates.get().document
    with open(Photo.objects.first().original.path, "ab") as file:
        file.write(b"!")
    assert not document_render(pk=document.pk, now=LATER)
    document.refresh_from_db()
    assert "is not the one that was sent" in document.last_error


# Issued once


def test_a_job_gets_one_certificate(close, inspector):
    sign_off = close(kind="annual sweep")
    with pytest.raises(InspectionsError) as refusal:
        certificate_issue(sign_off=sign_off, by=inspector, now=LATER)
    assert refusal.value.code == "already_issued"


def test_a_new_one_supersedes_the_old_and_says_why(close, inspector, tmp_path):
    sign_off = close(kind="annual sweep", site__customer__name="Marren Holt")
    old = sign_off.certificates.get()
    frozen = old.document.context
    customer = sign_off.record.job.installation.site.customer
    customer.name = "Maren Holt"
    customer.save()
    new = certificate_issue(
        sign_off=sign_off, by=inspector, now=LATER, supersedes=old, reason="The name was written wrong."
    )
    text = opened(new, tmp_path).page(1)
    assert "This report takes the place of FW-000001 of May 4, 2026. The name was written wrong." in text
    assert "Maren Holt" in text
    old.document.refresh_from_db()
    assert old.document.context == frozen
    assert (old.serial, new.serial) == ("FW-000001", "FW-000002")


def test_superseding_needs_a_reason(close, inspector):
    sign_off = close(kind="annual sweep")
    with pytest.raises(InspectionsError) as refusal:
        certificate_issue(
            sign_off=sign_off, by=inspector, now=LATER, supersedes=sign_off.certificates.get(), reason="  "
        )
    assert refusal.value.code == "reason_missing"


def test_a_certificate_is_superseded_only_once(close, inspector):
    sign_off = close(kind="annual sweep")
    told = {"sign_off": sign_off, "by": inspector, "now": LATER, "supersedes": sign_off.certificates.get()}
    certificate_issue(reason="A first reason.", **told)
    with pytest.raises(InspectionsError) as refusal:
        certificate_issue(reason="A second reason.", **told)
    assert refusal.value.code == "already_superseded"


def test_another_jobs_certificate_cannot_be_superseded(close, inspector):
    one, other = close(kind="annual sweep"), close(kind="annual sweep")
    with pytest.raises(InspectionsError) as refusal:
        certificate_issue(
            sign_off=one, by=inspector, now=LATER, supersedes=other.certificates.get(), reason="Wrong one."
        )
    assert refusal.value.code == "certificate_of_another"


def test_only_who_signs_off_may_issue_again(close, installer):
    sign_off = close(kind="annual sweep")
    with pytest.raises(InspectionsError) as refusal:
        certificate_issue(
            sign_off=sign_off,
            by=installer,
            now=LATER,
            supersedes=sign_off.certificates.get(),
            reason="Because.",
        )
    assert refusal.value.code == "may_not_reissue"


def test_the_database_itself_keeps_numbers_apart(close):
    with connection.cursor() as cursor:
        table = connection.introspection.get_constraints(cursor, Certificate._meta.db_table)
    assert any(one["unique"] and one["columns"] == ["number"] for one in table.values())
