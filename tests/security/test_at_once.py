"""The same form sent twice at the same moment, through the whole program in processes of their own."""

from __future__ import annotations

import json
import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from inspections.models import Answer, Certificate, Defect, Photo, Signature, SignOff, StageRecord, Waiver
from inspections.services.defects import defect_report
from inspections.services.records import record_begin
from jobs.models import BookingRequest, Crew, Customer, Job, OutgoingMail, ServiceSchedule, User, Visit
from jobs.services.plans import plan_make
from jobs.services.schedule import services_schedule
from tests.factories import CrewFactory, InstallationFactory, JobFactory, SurveyFactory
from tests.inspections.closing import job_ready_to_begin, work_through
from tests.jobs.other_processes import await_ready
from tests.security.forms import forms_of

RACERS = 3
SEND = """
import io, json
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
settings.STORAGES = {{
    **settings.STORAGES, "staticfiles": {{"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
}}
settings.ALLOWED_HOSTS = ["testserver"]
from django.test import Client
client, told = Client(raise_request_exception=False), json.loads({told!r})
if {session!r}:
    client.cookies["sessionid"] = {session!r}
if {picture}:
    from PIL import Image
    out = io.BytesIO()
    Image.linear_gradient("L").resize((320, 240)).convert("RGB").save(out, "JPEG")
    told["photo"] = SimpleUploadedFile("camera.jpg", out.getvalue())
client.get("/account/login/")
print("ready", flush=True)
sys.stdin.readline()
answer = client.post({path!r}, told)
print(answer.status_code, answer.headers.get("Location"))
"""
SIGNED = {"strokes": "[[[10,10],[200,60],[30,90]]]", "width": "400", "height": "120"}


@pytest.fixture
def at_once(other_processes, as_user):
    """Return a function that sends one form from several processes and returns how each was answered.

    Each process sends a showing of the form of its own, unless they press the button of one and the same.
    """

    def send(
        path: str, user: User | None, told: dict[str, Any], *, picture: bool = False, same: bool = False
    ) -> list[str]:
        tokens = ["t" * 64 if same else f"{number}" * 64 for number in range(RACERS)]
        session = as_user(user).session.session_key if user else ""
        other_processes.hand_out()
        racers = [
            other_processes.start(
                SEND.format(
                    path=path, told=json.dumps({**told, "csrfmiddlewaretoken": token}), session=session,
                    picture=picture,
                ),
                SECRET_KEY=settings.SECRET_KEY,
            )
            for token in tokens
        ]  # fmt: skip
        for racer in racers:
            await_ready(racer)
        for racer in racers:
            racer.stdin.write("go\n")
            racer.stdin.flush()
        said = []
        for racer in racers:
            out, err = racer.communicate(timeout=90)
            assert racer.returncode == 0, err
            assert int(out.split()[0]) < 500, err
            said.append(out.strip())
        other_processes.take_back()
        return sorted(said)

    return send


def codes(said: list[str]) -> list[int]:
    return [int(line.split()[0]) for line in said]


@pytest.fixture
def ready(transactional_db, office, technician) -> Job:
    """A job the crew may begin."""
    return job_ready_to_begin(office=office, crew=technician.crew)


@pytest.fixture
def whole(ready, installer, inspector) -> Job:
    """A job that waits for its sign-off."""
    work_through(job=ready, by=installer, inspector=inspector)
    return ready


def test_work_begins_once(at_once, ready, installer):
    at_once(reverse("record_begin", args=[ready.pk]), installer, {})
    ready.refresh_from_db()
    assert ready.status == "on site"
    assert ready.status_changes.filter(new="on site").count() == 1
    assert ready.site_record.stages.count() == len(
        set(ready.site_record.stages.values_list("key", flat=True))
    )


def test_one_entry_is_one_answer(at_once, ready, installer):
    record = record_begin(job=ready, by=installer, now=timezone.now())
    stage = record.stages.first()
    path = reverse("answer_add", args=[ready.pk, stage.key, "instructions_on_site"])
    at_once(path, installer, {"entry": str(uuid.uuid4()), "answer": "yes"})
    assert Answer.objects.count() == 1


def test_one_entry_is_one_photo(at_once, ready, installer):
    record = record_begin(job=ready, by=installer, now=timezone.now())
    path = reverse("photo_add", args=[ready.pk, record.stages.first().key, "label_photo"])
    at_once(path, installer, {"entry": str(uuid.uuid4())}, picture=True)
    assert Photo.objects.count() == Answer.objects.count() == 1


def test_a_stage_is_signed_once(at_once, whole, installer):
    stage = StageRecord.objects.filter(record__job=whole).first()
    StageRecord.objects.filter(pk=stage.pk).update(signed_at=None, signed_by=None, signature=None)
    Job.objects.filter(pk=whole.pk).update(status="on site")
    before = Signature.objects.count()
    path = reverse("stage_sign", args=[whole.pk, stage.key])
    said = at_once(path, installer, {**SIGNED, "name": installer.name})
    assert codes(said) == [302, 422, 422]
    assert Signature.objects.count() == before + 1


def test_a_job_is_signed_off_once_and_gets_one_certificate(at_once, whole, inspector):
    path = reverse("record_sign_off", args=[whole.pk])
    said = at_once(path, inspector, {**SIGNED, "name": inspector.name, "remarks": ""})
    assert codes(said) == [302, 422, 422]
    assert SignOff.objects.count() == Certificate.objects.count() == 1
    assert Certificate.objects.get().number == 1
    assert whole.status_changes.filter(new="closed").count() == 1
    assert ServiceSchedule.objects.filter(installation=whole.installation).count() == 2


def test_a_defect_is_waived_once(at_once, ready, installer, inspector):
    record = record_begin(job=ready, by=installer, now=timezone.now())
    defect = defect_report(
        stage=record.stages.first(), description="Loose ladder hook", by=installer, now=timezone.now()
    )
    path = reverse("waiver_add", args=[ready.pk, defect.pk])
    at_once(path, inspector, {"authority": "Town official", "reason": "Seen and accepted"})
    assert Waiver.objects.count() == 1
    assert Defect.objects.get(pk=defect.pk).closed_at


def test_a_crew_is_sent_once(at_once, office, technician):
    survey = SurveyFactory()
    plan = plan_make(survey=survey, by=office, now=timezone.now())
    job = JobFactory(installation=survey.installation, status="planned", plan=plan)
    day = timezone.localdate() + timedelta(days=3)
    told = {
        "crew": technician.crew.pk,
        "day": day.isoformat(),
        "starts": "09:00",
        "ends": "12:00",
        "note": "",
    }
    said = at_once(reverse("visit_add", args=[job.pk]), office, told)
    assert codes(said) == [200, 200, 302]
    assert Visit.objects.count() == 1
    assert job.status_changes.filter(new="scheduled").count() == 1


def test_a_customers_wish_is_written_and_told_once(at_once, office):
    house = InstallationFactory()
    job = JobFactory(installation=house, status="planned")
    now = timezone.now()
    services_schedule(job=job, done_on=now.date() - timedelta(days=380), now=now)
    Job.objects.filter(pk=job.pk).update(status="cancelled")
    path = reverse("customer_book", args=[house.site.customer.link_token, house.pk])
    at_once(path, None, {"services": ["sweep"], "wish": "Tuesdays"})
    assert BookingRequest.objects.count() == 1
    assert OutgoingMail.objects.count() == 1


def test_a_request_becomes_one_job(at_once, office):
    booking = BookingRequest.objects.create(
        installation=InstallationFactory(), service="sweep", asked_at=timezone.now()
    )
    at_once(reverse("booking_job", args=[booking.pk]), office, {})
    assert Job.objects.count() == 1


def test_two_people_of_one_address_are_one(at_once, owner):
    told = {"name": "Nell", "email": "nell@shop.example", "role": "office", "password": "long enough 7"}
    at_once(reverse("staff_add"), owner, told)
    assert User.objects.filter(email="nell@shop.example").count() == 1


def test_two_crews_of_one_name_are_one(at_once, owner):
    CrewFactory(name="Ladder two")
    at_once(reverse("crew_add"), owner, {"name": "Ladder one", "active": "on"})
    assert Crew.objects.filter(name="Ladder one").count() == 1


def test_a_form_pressed_again_does_once_what_it_does_and_leads_to_the_same_place(at_once, office):
    told = {"name": "Ada Quill", "email": "", "phone": "", "notes": ""}
    said = at_once(reverse("customer_add"), office, told, same=True)
    ada = Customer.objects.get(name="Ada Quill")
    assert said == [f"302 {reverse('customer_detail', args=[ada.pk])}"] * RACERS


def test_a_survey_pressed_again_is_one_survey_and_one_plan(at_once, office, as_user):
    house = InstallationFactory()
    path = reverse("survey_edit", args=[house.pk])
    form = next(
        one for one in forms_of(as_user(office).get(path).content.decode(), path) if "rear_wall" in one.fields
    )
    said = at_once(path, office, {**form.fields, "rear_wall": "16"}, same=True)
    assert house.surveys.count() == house.plans.count() == 1
    assert said == [f"302 {reverse('plan_detail', args=[house.plans.get().pk])}"] * RACERS


def test_a_form_that_was_refused_is_tried_again_and_not_forgotten(office, as_user):
    client, path = as_user(office), reverse("customer_add")
    told = {"name": "", "csrfmiddlewaretoken": "t" * 64}
    assert client.post(path, told).status_code == client.post(path, told).status_code == 200
    assert client.post(path, {**told, "name": "Ada Quill"}).status_code == 302
    assert Customer.objects.count() == 1


def test_the_same_words_on_a_page_shown_afresh_are_another_form(office, as_user):
    client, path = as_user(office), reverse("customer_add")
    for token in ("t" * 64, "u" * 64):
        client.post(path, {"name": "Ada Quill", "csrfmiddlewaretoken": token})
    as_user(office).post(path, {"name": "Ada Quill", "csrfmiddlewaretoken": "t" * 64})
    assert Customer.objects.count() == 3
