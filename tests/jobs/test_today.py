"""The Today page: each role lands on what is theirs to do."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.checklists import checklist_get
from inspections.models import Defect, SiteRecord, StageRecord
from jobs.models import (
    BookingRequest,
    Document,
    Heartbeat,
    OutgoingMail,
    ServiceSchedule,
    Shop,
)
from jobs.panels import Panel, panels_for, register_panel
from jobs.queries.today import documents_failed, mail_stuck
from tests.factories import (
    ApplianceFactory,
    ChimneyFactory,
    CustomerFactory,
    JobFactory,
    TechnicianFactory,
    VisitFactory,
)
from tests.jobs.five import needs_login, refuses_method

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def alive(now):
    Heartbeat.objects.create(name="worker", seen_at=now)


def panels(client):
    response = client.get(reverse("today"))
    assert response.status_code == 200
    return {panel.title: list(panel.rows) for panel in response.context["panels"]}


def midday():
    return timezone.localtime(timezone=ZoneInfo("America/New_York")).replace(
        hour=12, minute=0, second=0, microsecond=0
    )


def make_record(job, by):
    record = SiteRecord.objects.create(
        job=job,
        checklist="annual_sweep",
        checklist_version=1,
        limits={},
        begun_at=timezone.now(),
        begun_by=by,
    )
    for position, stage in enumerate(checklist_get("annual_sweep", 1).stages, start=1):
        StageRecord.objects.create(record=record, key=stage.key, position=position)
    return record


class TestInstaller:
    def test_todays_visits_show_how_to_get_in_and_what_to_beware_of(self, as_user, technician):
        starts = midday()
        visit = VisitFactory(
            crew=technician.crew, starts_at=starts, ends_at=starts + HOUR,
            job__installation__site__access_notes="Key under the slate",
            job__installation__site__hazard_notes="Wasps in the attic",
        )  # fmt: skip
        VisitFactory(starts_at=starts, ends_at=starts + HOUR)
        client = as_user(technician.user)
        assert panels(client)["Today's visits"] == [visit]
        page = client.get(reverse("today")).content.decode()
        assert "Key under the slate" in page
        assert "Wasps in the attic" in page
        assert reverse("work", args=[visit.job_id]) in page

    def test_next_and_unfinished_visits_stand_apart(self, as_user, technician):
        today = midday()
        ahead = VisitFactory(
            crew=technician.crew,
            starts_at=today + timedelta(days=1),
            ends_at=today + timedelta(days=1, hours=1),
        )
        VisitFactory(
            crew=technician.crew, starts_at=today + timedelta(days=16), ends_at=today + timedelta(days=17)
        )
        before = VisitFactory(
            crew=technician.crew, starts_at=today - timedelta(days=1), ends_at=today - timedelta(hours=20),
            job__status="on site",
        )  # fmt: skip
        shown = panels(as_user(technician.user))
        assert shown["Next visits"] == [ahead]
        assert shown["Unfinished"] == [before]
        assert shown["Today's visits"] == []

    def test_the_stage_a_job_waits_for_is_named(self, as_user, technician):
        job = VisitFactory(crew=technician.crew, job__status="on site", job__kind="annual sweep").job
        record = make_record(job, technician.user)
        other = VisitFactory(job__status="on site").job
        make_record(other, technician.user)
        rows = panels(as_user(technician.user))["Open stages"]
        assert [row.job for row in rows] == [job]
        assert rows[0].stages == record.stages.count()
        assert rows[0].next_stage

    def test_the_office_s_business_is_not_shown(self, as_user, technician, alive):
        JobFactory()
        assert set(panels(as_user(technician.user))) == {"Today's visits", "Next visits"}

    def test_an_empty_day_says_so(self, as_user, stranger):
        assert "No visit today" in as_user(stranger).get(reverse("today")).content.decode()


class TestInspector:
    def test_jobs_ready_and_open_defects_are_shown(self, as_user, inspector, technician):
        ready = make_record(JobFactory(status="ready for sign-off", kind="annual sweep"), technician.user)
        defect = Defect.objects.create(
            stage=ready.stages.first(), item="cap", description="Cap is loose", opened_by=technician.user,
            opened_at=timezone.now(),
        )  # fmt: skip
        make_record(JobFactory(status="on site"), technician.user)
        client = as_user(inspector)
        shown = panels(client)
        assert [(row.job, row.defects) for row in shown["Ready for sign-off"]] == [(ready.job, 1)]
        assert shown["Open defects"] == [defect]
        assert "Cap is loose" in client.get(reverse("today")).content.decode()

    def test_closed_defects_and_cancelled_jobs_are_done(self, as_user, inspector):
        record = make_record(JobFactory(status="cancelled"), inspector)
        stage = record.stages.first()
        rest = {"stage": stage, "opened_by": inspector, "opened_at": timezone.now()}
        Defect.objects.create(item="a", description="x", **rest)
        other = make_record(JobFactory(status="on site"), inspector).stages.first()
        Defect.objects.create(item="b", description="y", closed_at=timezone.now(), **{**rest, "stage": other})
        assert panels(as_user(inspector))["Open defects"] == []


class TestOffice:
    def test_everything_that_waits_is_shown(self, as_user, office, now, alive):
        enquiry = JobFactory()
        planned = JobFactory(status="planned")
        late = VisitFactory(starts_at=now - 30 * HOUR, ends_at=now - 28 * HOUR).job
        asks = BookingRequest.objects.create(installation=enquiry.installation, service="sweep", asked_at=now)
        today = timezone.localdate()
        due, booked = (
            ServiceSchedule.objects.create(
                installation=job.installation, kind="sweep", last_done_on=today - timedelta(days=365),
                next_due_on=today,
            )
            for job in (planned, late)
        )  # fmt: skip
        JobFactory(installation=booked.installation, kind="annual sweep", status="planned")
        shown = panels(as_user(office))
        assert [row.job for row in shown["Enquiries to plan"]] == [enquiry]
        assert planned in [row.job for row in shown["Planned, no visit yet"]]
        assert [row.job for row in shown["Late"]] == [late]
        assert shown["Customers ask for a booking"] == [asks]
        assert [row.service for row in shown["Services due"]] == [due]
        assert "The background worker is silent" not in shown

    def test_a_silent_worker_is_told(self, as_user, office, now):
        page = as_user(office).get(reverse("today")).content.decode()
        assert "It has never been seen" in page
        Heartbeat.objects.create(name="worker", seen_at=now - timedelta(minutes=20))
        page = as_user(office).get(reverse("today")).content.decode()
        assert "It was last seen 20" in page

    def test_mail_and_documents_that_did_not_come_out_are_shown(self, as_user, office, now, alive):
        letter = OutgoingMail.objects.create(
            message_id="<1@shop.example>", to="a@house.example", subject="Sweep due", text="t",
            requested_at=now, due_at=now, gave_up_at=now, last_error="550 no such mailbox",
        )  # fmt: skip
        paper = Document.objects.create(
            job=JobFactory(), kind="work pack", title="Work pack", context={}, requested_at=now, due_at=now,
            gave_up_at=now, last_error="No font",
        )  # fmt: skip
        client = as_user(office)
        shown = panels(client)
        assert shown["Mail that did not leave"] == [letter]
        assert shown["Documents not rendered"] == [paper]
        page = client.get(reverse("today")).content.decode()
        assert "550 no such mailbox" in page
        assert "No font" in page

    @pytest.mark.parametrize(
        ("row", "stuck"),
        [
            ({"due": -20}, True),
            ({"due": -10}, False),
            ({"due": 60}, False),
            ({"due": -60, "done": 0}, False),
            ({"due": -60, "claimed": -1}, False),
            ({"due": -60, "claimed": -20}, True),
            ({"due": -1, "gave_up": 0}, True),
        ],
    )
    def test_busy_is_not_stuck(self, now, row, stuck):
        at = {name: now + timedelta(minutes=minutes) for name, minutes in row.items()}
        OutgoingMail.objects.create(
            message_id="<1@shop.example>", to="a@house.example", subject="s", text="t",
            requested_at=now - HOUR, due_at=at["due"], claimed_at=at.get("claimed"), done_at=at.get("done"),
            handed_over_at=at.get("done"), gave_up_at=at.get("gave_up"),
        )  # fmt: skip
        assert mail_stuck(now).exists() == stuck

    def test_a_document_just_asked_for_is_not_failed(self, now):
        rest = {"job": JobFactory(), "kind": "work pack", "title": "W", "context": {}, "requested_at": now}
        Document.objects.create(due_at=now, **rest)
        assert not documents_failed(now).exists()
        Document.objects.create(due_at=now - HOUR, **rest)
        assert documents_failed(now).count() == 1


class TestNewShop:
    def test_the_owner_is_told_what_to_do_first(self, as_user, owner, office):
        steps = panels(as_user(owner))["First steps"]
        assert [step.label for step in steps] == [
            "Set up the shop", "Add your people", "Enter listings", "Add a customer",
        ]  # fmt: skip
        assert not any(step.done for step in steps)
        assert len(panels(as_user(office))["First steps"]) == 2

    def test_what_is_done_is_ticked_and_then_the_box_goes(self, as_user, owner):
        ApplianceFactory()
        ChimneyFactory()
        CustomerFactory()
        done = {step.label: step.done for step in panels(as_user(owner))["First steps"]}
        assert done == {
            "Set up the shop": False, "Add your people": False,
            "Enter listings": True, "Add a customer": True,
        }  # fmt: skip
        Shop.objects.update(name="Lantern Stoves")
        TechnicianFactory()
        assert "First steps" not in panels(as_user(owner))


def test_the_owner_sees_all(as_user, owner, technician):
    VisitFactory(starts_at=midday(), ends_at=midday() + HOUR)
    make_record(JobFactory(status="ready for sign-off"), technician.user)
    shown = panels(as_user(owner))
    assert {"Today's visits", "Ready for sign-off", "Enquiries to plan", "First steps"} <= set(shown)


def test_an_app_registers_its_own_panel(owner, office, now, monkeypatch):
    monkeypatch.setattr("jobs.panels._places", {})
    register_panel(name="b", order=2, roles=["owner"], make=lambda user, now: Panel("Second", "t.html", [1]))
    register_panel(name="a", order=1, roles=["owner"], make=lambda user, now: Panel("First", "t.html", [1]))
    register_panel(name="c", order=3, roles=["owner"], make=lambda user, now: Panel("Empty", "t.html", []))
    assert [panel.title for panel in panels_for(owner, now)] == ["First", "Second"]
    assert panels_for(office, now) == []


def test_it_needs_a_login():
    needs_login(reverse("today"))


def test_a_wrong_method_is_refused(as_user, office):
    refuses_method(as_user(office), reverse("today"), "post")


def test_the_number_of_queries_does_not_grow(as_user, owner, now, django_assert_max_num_queries):
    for _ in range(6):
        JobFactory()
        JobFactory(status="planned")
        VisitFactory(starts_at=now, ends_at=now + HOUR)
        make_record(JobFactory(status="ready for sign-off"), owner)
        make_record(JobFactory(status="on site"), owner)
    client = as_user(owner)
    with django_assert_max_num_queries(45):
        client.get(reverse("today"))
