"""Permits of a job."""

from __future__ import annotations

import pytest
from django.urls import reverse

from jobs.models import Customer, Permit
from tests.factories import NOW, JobFactory, VisitFactory
from tests.jobs.five import forbids, hides, needs_login, refuses_method

pytestmark = pytest.mark.django_db
SAID = {
    "authority": "Town of Millbrook Falls",
    "number": "B-77",
    "issued_on": "2026-04-01",
    "outcome": "pending",
}


@pytest.fixture
def permit():
    return Permit.objects.create(job=JobFactory(), authority="County building office", number="C-1")


def add(job):
    return reverse("permit_add", args=[job.pk])


def edit(permit):
    return reverse("permit_edit", args=[permit.pk])


def test_it_is_added_and_shown_with_the_job(as_user, office):
    job = JobFactory()
    client = as_user(office)
    assert client.get(add(job)).status_code == 200
    client.post(add(job), SAID)
    page = client.get(reverse("job_detail", args=[job.pk])).content.decode()
    assert "Town of Millbrook Falls B-77" in page
    assert "Pending" in page


def test_an_installer_reads_it(as_user, technician):
    job = VisitFactory(crew=technician.crew).job
    Permit.objects.create(job=job, authority="County building office", outcome="failed")
    page = as_user(technician.user).get(reverse("job_detail", args=[job.pk])).content.decode()
    assert "County building office" in page
    assert "Failed" in page


def test_its_outcome_is_changed(as_user, office, permit):
    said = {**SAID, "final_inspection_on": "2026-05-02", "outcome": "passed"}
    as_user(office).post(edit(permit), said)
    permit.refresh_from_db()
    assert permit.outcome == "passed"


@pytest.mark.parametrize("outcome", ["passed", "failed"])
def test_an_outcome_needs_its_day(as_user, office, permit, outcome):
    response = as_user(office).post(edit(permit), {**SAID, "outcome": outcome})
    assert "Give the day of the inspection" in response.content.decode()
    permit.refresh_from_db()
    assert permit.outcome == "pending"


def test_a_final_inspection_before_the_permit_is_refused(as_user, office, permit):
    said = {**SAID, "final_inspection_on": "2026-03-31", "outcome": "passed"}
    assert "lies before the permit" in as_user(office).post(edit(permit), said).content.decode()


def test_adding_needs_a_login():
    needs_login(add(JobFactory()))


def test_changing_needs_a_login(permit):
    needs_login(edit(permit))


def test_what_is_not_there_is_404(as_user, office):
    hides(as_user(office), reverse("permit_add", args=[4711]))
    hides(as_user(office), reverse("permit_edit", args=[4711]))


def test_a_reader_cannot_write(as_user, technician, inspector, permit):
    for user in (technician.user, inspector):
        forbids(as_user(user), edit(permit), "post")
        forbids(as_user(user), add(permit.job), "post")
    assert Permit.objects.count() == 1


def test_a_wrong_method_is_refused(as_user, office, permit):
    refuses_method(as_user(office), add(permit.job), "put")
    refuses_method(as_user(office), edit(permit), "delete")


def test_nothing_is_entered_about_somebody_who_was_erased(permit, as_user, office):
    Customer.objects.update(erased_at=NOW)
    client = as_user(office)
    for path in (add(permit.job), edit(permit)):
        page = client.post(path, SAID).content.decode()
        assert "Everything personal of this customer was erased" in page
    assert Permit.objects.get().number == "C-1"
    assert "Add a permit" not in client.get(reverse("job_detail", args=[permit.job.pk])).content.decode()
