"""Nobody sees or touches what is not theirs, by whatever way they come."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Answer, Defect, Photo
from inspections.services.defects import defect_report
from inspections.services.records import record_begin
from jobs.models import BookingRequest, Chimney, ChimneySection, Document, Job, Permit, Role, User, Visit
from jobs.services.visits import visit_cancel
from jobs.services.work_pack import work_pack_request
from tests.factories import (
    NOW,
    ChimneyFactory,
    CrewFactory,
    InstallationFactory,
    JobFactory,
    SiteFactory,
    TechnicianFactory,
    VisitFactory,
)
from tests.inspections.closing import job_ready_to_begin, photo_make
from tests.security.crawl import pages_found
from tests.security.forms import forms_of

pytestmark = pytest.mark.django_db
SECRET = "Foxglove"


@pytest.fixture
def own(office, technician) -> Job:
    """A job of the installer's crew."""
    return job_ready_to_begin(office=office, crew=technician.crew)


@pytest.fixture
def foreign(office, own) -> Job:
    """A job of another crew, every word of it secret: half of it in the house of the own crew's customer."""
    crew = CrewFactory(name=f"{SECRET} crew")
    other = TechnicianFactory(crew=crew, user__name=f"{SECRET} person").user
    next_door = SiteFactory(customer=own.installation.site.customer, street=f"{SECRET} Road", label=SECRET)
    JobFactory(installation=InstallationFactory(site=next_door, room=SECRET), note=SECRET, status="planned")
    job = job_ready_to_begin(office=office, crew=crew, room=SECRET)
    site = job.installation.site
    site.street, site.city, site.hazard_notes, site.access_notes = [SECRET] * 4
    site.customer.name = site.customer.notes = SECRET
    site.save()
    site.customer.save()
    Job.objects.filter(pk=job.pk).update(note=SECRET)
    record = record_begin(job=job, by=other, now=timezone.now())
    defect_report(stage=record.stages.first(), description=SECRET, by=other, now=NOW)
    photo_make(job=job, by=other, number=1)
    Permit.objects.create(job=job, authority=SECRET)
    BookingRequest.objects.create(installation=job.installation, service="sweep", wish=SECRET, asked_at=NOW)
    work_pack_request(job=job, by=office, now=NOW)
    VisitFactory(job=job, crew=crew, starts_at=timezone.now(), ends_at=timezone.now() + timedelta(hours=3))
    return job


def test_no_page_an_installer_can_reach_tells_of_another_crews_work(own, foreign, installer, as_user):
    searches = [
        f"{reverse('job_list')}?status=all&q={SECRET}", f"{reverse('job_list')}?status=all",
        f"{reverse('job_list')}?status=all&q={foreign.number}", f"{reverse('customer_list')}?q={SECRET}",
    ]  # fmt: skip
    opened = dict(pages_found(as_user(installer), "/", *searches))
    for path, text in opened.items():
        told = text.replace(f'value="{SECRET}"', "").replace(f"“{SECRET}”", "")
        assert SECRET not in told, path
    assert reverse("job_detail", args=[own.pk]) in opened
    assert reverse("customer_detail", args=[own.installation.site.customer_id]) in opened
    assert len(opened) > 8


def test_what_is_sent_back_and_what_waits_is_told_to_the_own_crew_alone(foreign, as_user, stranger):
    page = as_user(stranger).get("/").content.decode()
    assert SECRET not in page


def test_a_cancelled_visit_closes_every_door_of_its_job(own, installer, office, as_user):
    record = record_begin(job=own, by=installer, now=NOW)
    photo = photo_make(job=own, by=installer, number=1)
    document = work_pack_request(job=own, by=office, now=NOW)
    stage = record.stages.first()
    client = as_user(installer)
    reading = [
        reverse("job_detail", args=[own.pk]), reverse("work", args=[own.pk]),
        reverse("record_review", args=[own.pk]),
        reverse("stage", args=[own.pk, stage.key]), reverse("photo_file", args=[photo.pk, "original"]),
        reverse("photo_state", args=[photo.pk]), reverse("document_file", args=[document.pk]),
        reverse("document_list", args=[own.pk]), reverse("plan_detail", args=[own.plan_id]),
        reverse("survey_detail", args=[own.plan.survey_id]),
        reverse("installation_detail", args=[own.installation_id]),
        reverse("customer_detail", args=[own.installation.site.customer_id]),
    ]  # fmt: skip
    writing = [
        reverse("answer_add", args=[own.pk, stage.key, "instructions_on_site"]),
        reverse("photo_add", args=[own.pk, stage.key, "label_photo"]),
        reverse("stage_sign", args=[own.pk, stage.key]), reverse("defect_add", args=[own.pk, stage.key]),
        reverse("work_pack_request", args=[own.pk]), reverse("record_begin", args=[own.pk]),
        reverse("record_sign_off", args=[own.pk]), reverse("record_return", args=[own.pk]),
    ]  # fmt: skip
    assert client.get(reading[0]).status_code == 200
    visit_cancel(visit=Visit.objects.get(job=own), by=office, now=NOW)
    assert [client.get(path).status_code for path in reading] == [404] * len(reading)
    assert [client.post(path, {}).status_code for path in writing] == [404] * len(writing)


def test_somebody_moved_to_another_crew_no_longer_sees_the_old_ones_jobs(own, technician, as_user):
    client = as_user(technician.user)
    path = reverse("job_detail", args=[own.pk])
    assert client.get(path).status_code == 200
    technician.crew = CrewFactory()
    technician.save()
    assert client.get(path).status_code == 404


def test_a_role_taken_away_counts_from_the_next_page_on(own, owner, as_user):
    second = as_user(User.objects.create_user("second@shop.example", "x", name="Sue", role=Role.OWNER))
    assert second.get(reverse("staff_list")).status_code == 200
    User.objects.filter(email="second@shop.example").update(role=Role.INSPECTOR)
    assert second.get(reverse("staff_list")).status_code == 403
    User.objects.filter(email="second@shop.example").update(is_active=False)
    assert second.get("/").status_code == 302


def test_an_item_of_another_stage_is_not_answered_here(own, installer, as_user):
    record = record_begin(job=own, by=installer, now=NOW)
    first, second = record.stages.all()[:2]
    path = reverse("answer_add", args=[own.pk, second.key, "instructions_on_site"])
    told = {"entry": "6d1f2b2e-6d3a-4c0b-9c62-0d3b7a1f0a11", "answer": "yes"}
    assert as_user(installer).post(path, told).status_code == 404
    assert not Answer.objects.exists()
    assert first.key != second.key


def test_an_entry_of_another_job_is_not_taken_for_ones_own(own, foreign, installer, office, as_user):
    theirs = Photo.objects.get(job=foreign)
    record = record_begin(job=own, by=installer, now=NOW)
    path = reverse("photo_add", args=[own.pk, record.stages.first().key, "label_photo"])
    with theirs.original.open("rb") as file:
        page = as_user(installer).post(path, {"entry": str(theirs.entry), "photo": file}, follow=True)
    assert "used for something else" in page.content.decode()
    assert not Photo.objects.filter(job=own).exists()


def test_a_defect_of_another_record_is_not_waived_here(own, foreign, installer, inspector, as_user):
    record_begin(job=own, by=installer, now=NOW)
    theirs = Defect.objects.get(stage__record__job=foreign)
    path = reverse("waiver_add", args=[own.pk, theirs.pk])
    assert as_user(inspector).post(path, {"authority": "a", "reason": "b"}).status_code == 404
    assert Defect.objects.get(pk=theirs.pk).is_open


def test_a_job_is_opened_with_no_plan_of_another_house(own, foreign, office, as_user):
    path = reverse("job_add", args=[own.installation_id])
    page = as_user(office).post(path, {"kind": "new installation", "plan": foreign.plan_id})
    assert page.status_code == 200
    assert not Job.objects.filter(installation=own.installation, plan=foreign.plan).exists()


def test_only_a_waiting_job_is_placed_into_the_week(own, foreign, office, technician, as_user):
    told = {
        "job": foreign.pk, "crew": technician.crew.pk, "starts": "09:00", "length": "60",
        "day": (timezone.localdate() + timedelta(days=2)).isoformat(),
    }  # fmt: skip
    before = Visit.objects.count()
    assert as_user(office).post(reverse("week"), told).status_code == 200
    assert Visit.objects.count() == before


def test_nobody_is_sent_out_in_a_crew_that_no_longer_goes(own, office, as_user):
    crew = CrewFactory(active=False)
    day = (timezone.localdate() + timedelta(days=2)).isoformat()
    told = {"crew": crew.pk, "day": day, "starts": "09:00", "ends": "10:00"}
    assert as_user(office).post(reverse("visit_add", args=[own.pk]), told).status_code == 200
    assert not Visit.objects.filter(crew=crew).exists()


def test_a_section_of_another_chimney_is_neither_changed_nor_taken(office, as_user):
    mine, theirs = ChimneyFactory(lengths=(12,)), ChimneyFactory(lengths=(36,))
    stolen = theirs.sections.get()
    client, path = as_user(office), reverse("chimney_edit", args=[mine.pk])
    form = next(one for one in forms_of(client.get(path).content.decode(), path) if "maker" in one.fields)
    told = {**form.fields, "sections-0-id": stolen.pk, "sections-0-name": "Mine now"}
    client.post(path, told)
    stolen.refresh_from_db()
    assert (stolen.chimney, stolen.name) == (theirs, "36 in")
    assert mine.sections.count() == 1


def test_sections_change_names_with_each_other_and_never_twice_the_same(office, as_user):
    chimney: Chimney = ChimneyFactory(lengths=(12, 36))
    client, path = as_user(office), reverse("chimney_edit", args=[chimney.pk])
    form = next(one for one in forms_of(client.get(path).content.decode(), path) if "maker" in one.fields)
    # A row the page did not show when it was opened has the name meanwhile.
    ChimneySection.objects.create(chimney=chimney, name="New", length=1.0, effective_length=0.9)
    names = {key: "New" for key in form.fields if key == "sections-0-name"}
    page = client.post(path, {**form.fields, **names})
    assert page.status_code == 200
    assert sorted(chimney.sections.values_list("name", flat=True)) == ["12 in", "36 in", "New"]


@pytest.mark.parametrize("way", ["answer_add", "photo_add", "stage_sign"])
def test_who_inspects_alters_nothing_the_crew_recorded(way, own, installer, inspector, as_user):
    record = record_begin(job=own, by=installer, now=NOW)
    stage = record.stages.first()
    more = {"answer_add": ["instructions_on_site"], "photo_add": ["label_photo"]}.get(way, [])
    path = reverse(way, args=[own.pk, stage.key, *more])
    told = {"entry": "6d1f2b2e-6d3a-4c0b-9c62-0d3b7a1f0a11", "answer": "yes", "name": inspector.name}
    assert as_user(inspector).post(path, told).status_code == 403
    assert not Answer.objects.exists()


def test_a_paper_that_failed_in_another_crews_job_is_not_tried_by_a_stranger(foreign, stranger, as_user):
    paper = Document.objects.get(job=foreign)
    Document.objects.filter(pk=paper.pk).update(last_error="No font", gave_up_at=NOW)
    assert as_user(stranger).post(reverse("document_retry", args=[paper.pk])).status_code == 403
    assert Document.objects.get(pk=paper.pk).gave_up_at
