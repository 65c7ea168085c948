"""Moving jobs: the table of transitions, its rows, and two people at once."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from jobs.errors import JobsError
from jobs.models import TRANSITIONS, Job, JobKind, JobStatus, JobStatusChange, Plan
from jobs.services.jobs import job_create, job_move, job_plan
from tests.factories import NOW, InstallationFactory, JobFactory, SurveyFactory, UserFactory, VisitFactory

pytestmark = pytest.mark.django_db


def make_plan(installation, revision=1):
    survey = SurveyFactory(installation=installation, revision=revision)
    return Plan.objects.create(
        installation=installation, revision=revision, survey=survey, rule_book="us", rule_book_edition="e",
        schema=1, data={}, made_by=survey.made_by, made_at=NOW,
    )  # fmt: skip


class TestTransitions(TestCase):
    @settings(deadline=None)
    @given(way=st.lists(st.sampled_from(JobStatus.values), max_size=8))
    def test_a_job_goes_only_the_ways_of_the_table_and_leaves_a_row_for_each(self, way):
        installation = InstallationFactory()
        office = UserFactory()
        job = job_create(
            installation=installation, kind=JobKind.NEW_INSTALLATION, by=office, now=NOW,
            plan=make_plan(installation),
        )  # fmt: skip
        gone = [job.status]
        for minute, status in enumerate(way, start=1):
            now = NOW + timedelta(minutes=minute)
            if status in TRANSITIONS[job.status]:
                job_move(job=job, to=status, by=office, now=now, reason="because")
                gone.append(status)
            else:
                with pytest.raises(JobsError) as refused:
                    job_move(job=job, to=status, by=office, now=now, reason="because")
                assert refused.value.code == "move_not_allowed"
            job.refresh_from_db()
            assert job.status == gone[-1]
            assert (job.closed_at is not None) == (job.status == JobStatus.CLOSED)
        rows = list(job.status_changes.order_by("pk").values_list("old", "new"))
        assert rows == list(zip(["", *gone[:-1]], gone, strict=True))


def test_a_new_installation_without_a_plan_starts_as_an_enquiry(office):
    job = job_create(
        installation=InstallationFactory(), kind=JobKind.NEW_INSTALLATION, by=office, now=NOW, note=" stove "
    )
    assert (job.status, job.note, job.created_by, job.created_at) == ("enquiry", "stove", office, NOW)


def test_a_sweep_needs_no_plan_and_can_be_scheduled_at_once(office):
    job = job_create(installation=InstallationFactory(), kind=JobKind.ANNUAL_SWEEP, by=office, now=NOW)
    assert job.status == JobStatus.PLANNED


def test_each_change_says_who_why_and_when(office):
    job = JobFactory(status=JobStatus.PLANNED)
    job_move(job=job, to="cancelled", by=office, now=NOW, reason=" the customer moved ")
    change = JobStatusChange.objects.get(job=job)
    assert (change.old, change.new, change.by, change.reason, change.at) == (
        "planned", "cancelled", office, "the customer moved", NOW,
    )  # fmt: skip


def test_an_enquiry_is_not_planned_without_a_plan(office):
    job = JobFactory()
    with pytest.raises(JobsError, match="has no plan"):
        job_move(job=job, to="planned", by=office, now=NOW)


@pytest.mark.parametrize(("status", "to"), [("planned", "cancelled"), ("ready for sign-off", "on site")])
def test_calling_off_and_going_back_need_a_reason(office, status, to):
    with pytest.raises(JobsError) as refused:
        job_move(job=JobFactory(status=status), to=to, by=office, now=NOW, reason="  ")
    assert refused.value.code == "reason_missing"


def test_two_people_do_not_undo_each_other(office, owner):
    job = JobFactory(status=JobStatus.PLANNED)
    stale = Job.objects.get(pk=job.pk)
    job_move(job=job, to="scheduled", by=office, now=NOW)
    with pytest.raises(JobsError) as refused:
        job_move(job=stale, to="cancelled", by=owner, now=NOW, reason="no answer")
    assert refused.value.code == "job_moved_meanwhile"
    assert Job.objects.get(pk=job.pk).status == "scheduled"
    assert job.status_changes.count() == 1


def test_cancelling_a_job_calls_its_visits_off(office):
    visit = VisitFactory()
    job_move(job=visit.job, to="cancelled", by=office, now=NOW, reason="sold the house")
    visit.refresh_from_db()
    assert visit.cancelled_at == NOW


def test_attaching_a_plan_makes_an_enquiry_planned(office):
    job = JobFactory()
    plan = make_plan(job.installation)
    job_plan(job=job, plan=plan, by=office, now=NOW)
    job.refresh_from_db()
    assert (job.status, job.plan) == ("planned", plan)
    assert job.status_changes.get().reason == "Plan 1 attached"


def test_a_newer_plan_replaces_the_first_until_work_begins(office):
    job = JobFactory()
    job_plan(job=job, plan=make_plan(job.installation), by=office, now=NOW)
    newer = make_plan(job.installation, revision=2)
    job_plan(job=job, plan=newer, by=office, now=NOW)
    job.refresh_from_db()
    assert (job.status, job.plan) == ("planned", newer)


def test_a_job_on_site_keeps_its_plan(office):
    job = JobFactory(status=JobStatus.ON_SITE)
    with pytest.raises(JobsError) as refused:
        job_plan(job=job, plan=make_plan(job.installation), by=office, now=NOW)
    assert refused.value.code == "plan_is_settled"


def test_a_plan_of_another_house_is_refused(office):
    plan = make_plan(InstallationFactory())
    with pytest.raises(JobsError) as refused:
        job_plan(job=JobFactory(), plan=plan, by=office, now=NOW)
    assert refused.value.code == "plan_of_another"
    with pytest.raises(JobsError):
        job_create(installation=InstallationFactory(), kind="new installation", by=office, now=NOW, plan=plan)
