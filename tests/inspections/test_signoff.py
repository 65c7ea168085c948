"""The end of a job."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from inspections.checklists import checklist_get
from inspections.errors import InspectionsError
from inspections.models import Certificate, SignOff
from inspections.queries import record_rows
from inspections.services import signoff
from inspections.services.signoff import record_sign_off
from jobs.errors import JobsError
from jobs.models import JobStatus, Permit, PermitOutcome, ServiceSchedule, Shop
from tests.factories import NOW
from tests.inspections.closing import INK, job_ready_to_begin, work_through

pytestmark = pytest.mark.django_db


@pytest.fixture
def ready(job, installer):
    """A record with every stage signed."""
    return work_through(job=job, by=installer)


def sign_off(record, by, **told) -> SignOff:
    return record_sign_off(
        **{"record": record, "by": by, "name": by.name, "now": NOW + timedelta(hours=3), **INK, **told}
    )


def refusal(record, by, **told) -> InspectionsError:
    with pytest.raises(InspectionsError) as refused:
        sign_off(record, by, **told)
    assert not SignOff.objects.exists()
    assert not Certificate.objects.exists()
    return refused.value


def test_it_closes_the_job_certifies_and_starts_the_services_at_once(ready, inspector):
    signed = sign_off(ready, inspector, remarks="Tidy work.")
    ready.job.refresh_from_db()
    assert ready.job.status == JobStatus.CLOSED
    assert (signed.own_work, signed.remarks) == (False, "Tidy work.")
    assert Certificate.objects.get().sign_off == signed
    assert ServiceSchedule.objects.filter(installation=ready.job.installation).exists()
    ready.job.installation.refresh_from_db()
    assert ready.job.installation.installed_on == date(2026, 5, 4)


def test_it_refuses_and_lists_what_is_missing(record, inspector):
    error = refusal(record, inspector)
    assert error.code == "record_incomplete"
    assert "Before work: Permit or notice - not answered yet." in error.sentence
    assert "more." in error.sentence


def test_it_refuses_a_record_whose_permit_failed(ready, inspector):
    Permit.objects.create(job=ready.job, authority="Town hall", number="7", outcome=PermitOutcome.FAILED)
    assert "Town hall 7: the authority's final inspection failed." in refusal(ready, inspector).sentence


def test_it_refuses_a_record_whose_checklist_was_changed_since(ready, inspector, monkeypatch):
    changed = replace(checklist_get(ready.checklist, ready.checklist_version), digest="0" * 64)
    monkeypatch.setattr(record_rows, "checklist_get", lambda key, version: changed)
    assert "Put it back as it was." in refusal(ready, inspector).sentence


def test_it_refuses_installer_and_office(ready, installer, office, stranger):
    for person in (installer, office, stranger):
        assert refusal(ready, person).code == "not_an_inspector"


def test_an_owner_who_worked_on_the_job_does_not_sign_it_off(job, owner):
    record = work_through(job=job, by=owner)
    assert refusal(record, owner).code == "own_work"


def test_in_a_one_person_shop_the_installer_signs_off_and_it_says_own_work(ready, installer, stranger):
    Shop.current()
    Shop.objects.update(one_person=True)
    assert refusal(ready, stranger).code == "not_an_inspector"
    assert sign_off(ready, installer).own_work


def test_it_is_signed_off_once(ready, inspector):
    sign_off(ready, inspector)
    with pytest.raises(InspectionsError) as refused:
        sign_off(ready, inspector)
    assert refused.value.code == "already_closed"
    assert SignOff.objects.count() == 1


def test_when_the_certificate_cannot_be_issued_nothing_is_closed(ready, inspector, monkeypatch):
    def broken(**told):
        raise JobsError("broken", "It broke.")

    monkeypatch.setattr(signoff, "certificate_issue", broken)
    with pytest.raises(JobsError, match="It broke"):
        sign_off(ready, inspector)
    ready.job.refresh_from_db()
    assert ready.job.status == JobStatus.READY
    assert not SignOff.objects.exists()
    assert not ServiceSchedule.objects.exists()


def test_a_sweep_closes_too(office, technician, installer, inspector):
    job = job_ready_to_begin(office=office, crew=technician.crew, kind="annual sweep")
    record = work_through(job=job, by=installer, inspector=inspector)
    sign_off(record, inspector)
    record.job.refresh_from_db()
    assert record.job.status == JobStatus.CLOSED
    assert ServiceSchedule.objects.get(kind="sweep").last_done_on == date(2026, 5, 4)
    assert record.job.installation.installed_on is None


def test_the_day_of_the_work_is_that_of_the_house(ready, inspector):
    site = ready.job.installation.site
    site.time_zone = "Pacific/Auckland"
    site.save(update_fields=["time_zone"])
    sign_off(ready, inspector)
    ready.job.installation.refresh_from_db()
    assert ready.job.installation.installed_on == date(2026, 5, 5)
