"""The inspector's page and what can be done there."""

from __future__ import annotations

import pytest
from django.urls import reverse

from inspections.models import Certificate, Defect, SignOff, StageReturn, Waiver
from jobs.models import JobStatus, Permit, PermitOutcome, Shop, Site
from tests.inspections.closing import work_through
from tests.jobs.five import hides

pytestmark = pytest.mark.django_db
SIGNED = {
    "name": "Petra Inspector",
    "strokes": "[[[20,60],[60,20],[200,90]]]",
    "width": "400",
    "height": "200",
}


@pytest.fixture
def ready(job, installer):
    """A record with every stage signed."""
    return work_through(job=job, by=installer)


@pytest.fixture
def defect(answer) -> Defect:
    return answer("ceiling_support", "ceiling_clearance", "1 1/2", device="Tablet Seven").opened_defect


def where(name, job, *more) -> str:
    return reverse(name, args=[job.pk, *more])


def page_of(client, job) -> str:
    return client.get(where("record_review", job)).content.decode()


class TestReview:
    def test_it_shows_measured_against_limit_who_when_and_as_typed(self, as_user, inspector, job, defect):
        page = page_of(as_user(inspector), job)
        assert "1/2 in too little" in page
        assert "at least 2 in" in page
        assert "Typed “1 1/2”. Ivo Installer" in page
        assert "Tablet Seven" in page
        assert "Measured 1 1/2 in, allowed at least 2 in: fail" in page

    @pytest.mark.parametrize(
        ("zone", "clock"), [("Europe/London", "4 May, 4:"), ("Asia/Tokyo", "5 May, 12:")]
    )
    def test_it_tells_the_time_on_the_clock_of_the_house(self, as_user, inspector, ready, zone, clock):
        Site.objects.update(time_zone=zone)
        assert clock in page_of(as_user(inspector), ready.job).replace(" 2026", "")

    def test_it_lists_what_is_in_the_way(self, as_user, inspector, job, record):
        page = page_of(as_user(inspector), job)
        assert "In the way of sign-off:" in page
        assert "Before work: not signed by the crew yet." in page
        assert "Sign off and close the job" not in page

    def test_a_complete_record_can_be_signed(self, as_user, inspector, ready):
        page = page_of(as_user(inspector), ready.job)
        assert "Nothing is missing" in page
        assert "Sign off and close the job" in page

    def test_the_crew_reads_and_is_told_who_signs(self, as_user, installer, ready):
        page = page_of(as_user(installer), ready.job)
        assert "Only an inspector or the owner may do that" in page
        assert "Sign off and close the job" not in page

    def test_the_office_reads(self, as_user, office, ready):
        page = page_of(as_user(office), ready.job)
        assert "Handover" in page
        assert '<form method="post" action="/jobs' not in page

    def test_permits_are_shown_and_a_failed_one_is_in_the_way(self, as_user, inspector, ready):
        Permit.objects.create(job=ready.job, authority="Town hall", number="7", outcome=PermitOutcome.FAILED)
        page = page_of(as_user(inspector), ready.job)
        assert "Town hall 7: failed" in page
        assert "final inspection failed" in page

    def test_a_job_without_a_record_has_no_review(self, as_user, inspector, job):
        hides(as_user(inspector), where("record_review", job))

    def test_it_turns_others_away(self, turns_away, job, record):
        turns_away(where("record_review", job), method="get")


class TestWaiver:
    def test_it_is_kept_and_shown(self, as_user, inspector, job, defect):
        data = {"authority": "Town hall", "reason": "Listed spacer"}
        response = as_user(inspector).post(where("waiver_add", job, defect.pk), data, follow=True)
        page = response.content.decode()
        assert "Waived:" in page
        assert "Town hall: Listed spacer" in page
        assert Waiver.objects.get().by == inspector

    def test_without_a_reason_it_says_so_and_loses_nothing(self, as_user, inspector, job, defect):
        response = as_user(inspector).post(where("waiver_add", job, defect.pk), {"authority": "Town hall"})
        page = response.content.decode()
        assert response.status_code == 422
        assert "Write why the defect can be accepted." in page
        assert 'value="Town hall"' in page
        assert not Waiver.objects.exists()

    def test_the_crew_is_refused_in_a_sentence(self, as_user, installer, job, defect):
        data = {"authority": "Me", "reason": "Looks fine"}
        response = as_user(installer).post(where("waiver_add", job, defect.pk), data)
        assert response.status_code == 422
        assert not Waiver.objects.exists()

    def test_a_defect_of_another_job_does_not_exist(self, as_user, inspector, job, defect):
        hides(as_user(inspector), where("waiver_add", job, defect.pk + 1), "post")

    def test_it_turns_others_away(self, turns_away, job, defect):
        turns_away(where("waiver_add", job, defect.pk), method="post", forbidden="office")


class TestReturn:
    def test_it_opens_the_stages_again(self, as_user, inspector, ready):
        data = {"stages": ["sealing", "connector"], "reason": "Seal and screw again"}
        response = as_user(inspector).post(where("record_return", ready.job), data, follow=True)
        assert "Sent back by Petra Inspector" in response.content.decode()
        assert StageReturn.objects.count() == 2
        ready.job.refresh_from_db()
        assert ready.job.status == JobStatus.ON_SITE

    @pytest.mark.parametrize(
        ("data", "sentence"),
        [
            ({"stages": ["sealing"]}, "Write what the crew must put right."),
            ({"reason": "Again"}, "Choose the signed stages"),
            ({"stages": ["moon"], "reason": "Again"}, "Select a valid choice"),
        ],
    )
    def test_it_says_what_is_missing_and_loses_nothing(self, as_user, inspector, ready, data, sentence):
        response = as_user(inspector).post(where("record_return", ready.job), data)
        assert response.status_code == 422
        assert sentence in response.content.decode()
        assert data.get("reason", "") in response.content.decode()
        assert not StageReturn.objects.exists()

    def test_it_turns_others_away(self, turns_away, job, record):
        turns_away(where("record_return", job), method="post", forbidden="office")


class TestSignOff:
    def test_it_closes_the_job(self, as_user, inspector, ready):
        client = as_user(inspector)
        response = client.post(where("record_sign_off", ready.job), {**SIGNED, "remarks": "Tidy"})
        assert response.url == where("job_detail", ready.job)
        ready.job.refresh_from_db()
        assert ready.job.status == JobStatus.CLOSED
        page = page_of(client, ready.job)
        assert Certificate.objects.get().serial in page
        assert "Tidy" in page
        assert "Send back" not in page

    def test_a_bad_signature_brings_back_what_was_written(self, as_user, inspector, ready):
        data = {**SIGNED, "strokes": "[[[5,5]]]", "remarks": "Keep these words"}
        response = as_user(inspector).post(where("record_sign_off", ready.job), data)
        page = response.content.decode()
        assert response.status_code == 422
        assert "That is a dot" in page
        assert "Keep these words" in page
        assert "[[[5,5]]]" in page

    def test_an_incomplete_record_is_refused_with_what_is_missing(self, as_user, inspector, job, record):
        response = as_user(inspector).post(where("record_sign_off", job), SIGNED)
        assert response.status_code == 422
        assert "cannot be signed off yet" in response.content.decode()

    def test_the_installer_of_a_one_person_shop_is_warned_it_is_own_work(self, as_user, installer, ready):
        Shop.current()
        Shop.objects.update(one_person=True)
        client = as_user(installer)
        assert "This is your own work. The certificate will say so." in page_of(client, ready.job)
        client.post(where("record_sign_off", ready.job), {**SIGNED, "name": "Ivo Installer"})
        assert SignOff.objects.get().own_work

    def test_it_turns_others_away(self, turns_away, job, record):
        turns_away(where("record_sign_off", job), method="post", forbidden="office")
