"""Whatever is unknown stops the stage, the job and the certificate, item by item."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inspections.errors import InspectionsError
from inspections.models import Certificate, SignOff
from inspections.queries.records import record_view
from inspections.queries.wording import CANNOT_TELL
from inspections.services.answers import answer_record
from inspections.services.records import record_begin
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.models import Document, JobStatus
from jobs.services.jobs import job_move
from tests.factories import NOW
from tests.inspections.closing import INK, job_ready_to_begin, passing_text, photo_make, work_through

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("kind", ["new installation", "annual sweep"])
def test_no_stage_is_signed_while_any_one_of_its_items_is_unknown(kind, office, installer):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, kind=kind, site__altitude=200.0)
    record = record_begin(job=job, by=installer, now=NOW)
    system, photos = job.installation.site.unit_system, 0

    def enter(stage, item, text, photo=None):
        answer_record(stage=stage, item=item.key, raw_text=text, by=installer, now=NOW, photo=photo)

    def refused(stage) -> str:
        with pytest.raises(InspectionsError) as error:
            stage_sign(stage=stage, by=installer, name=installer.name, now=NOW, **INK)
        return error.value.code

    for stage in record.stages.all():
        done: set[str] = set()
        while waiting := [one for one in record_view(record).stage(stage.key).items if one.key not in done]:
            for view in waiting:
                done.add(view.key)
                if view.item.kind == "note" or not view.item.required:
                    continue
                assert view.required, view.key
                enter(stage, view.item, CANNOT_TELL)
                told = record_view(record).stage(stage.key).item(view.key)
                assert told.verdict == "unknown"
                assert not told.settled, view.key
                assert refused(stage) == "stage_incomplete", view.key
                photo = None
                if view.item.kind == "photo":
                    photos += 1
                    photo = photo_make(job=job, by=installer, number=photos)
                enter(stage, view.item, "" if photo else passing_text(view, system), photo)
        stage_sign(stage=stage, by=installer, name=installer.name, now=NOW, **INK)
    assert record_view(record).missing == ()


def test_a_job_moved_by_hand_to_ready_still_gets_no_certificate(office, installer, inspector):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew)
    record = record_begin(job=job, by=installer, now=NOW)
    job.refresh_from_db()
    job_move(job=job, to=JobStatus.READY, by=inspector, now=NOW)
    with pytest.raises(InspectionsError) as error:
        record_sign_off(record=record, by=inspector, name=inspector.name, now=NOW, **INK)
    assert error.value.code == "record_incomplete"
    assert not SignOff.objects.exists()
    assert not Certificate.objects.exists()
    assert not Document.objects.exists()


def test_a_sheet_without_a_clearance_ends_in_a_waiver_on_the_certificate_or_nowhere(
    office, installer, inspector
):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, chimney__clearance=None)
    with pytest.raises(AssertionError):
        # Nobody waives anything here, so the first unknown measure stops the work.
        work_through(job=job, by=installer)
    assert not SignOff.objects.exists()


def test_every_waiver_of_an_unknown_is_printed_with_authority_and_reason(office, installer, inspector):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, chimney__clearance=None)
    record = work_through(job=job, by=installer, inspector=inspector)
    sign_off = record_sign_off(
        record=record, by=inspector, name=inspector.name, now=NOW + timedelta(hours=3), **INK
    )
    told = sign_off.certificates.get().document.context
    waived = [one for one in record_view(record).waivers if one]
    assert len(told["waivers"]) == len(waived) > 0
    for one in told["waivers"]:
        assert one["authority"] == "Town of Millbrook Falls, building official"
        assert one["reason"]
        assert "no limit is known" in one["defect"]
