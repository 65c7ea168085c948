"""A sign-off is whole or not there, wherever the power goes; then it is simply done again."""

from __future__ import annotations

import pytest

from inspections.models import Certificate, Signature, SignOff
from inspections.services.signoff import record_sign_off
from jobs.models import Document, Job, ServiceSchedule
from tests.factories import NOW
from tests.inspections.closing import INK, job_ready_to_begin, work_through

#: What the process is about to do when it is killed.
POINTS = {
    "before the signature": "signoff.signature_make = die",
    "before the sign-off": "signoff.SignOff.objects.create = die",
    "before the job closes": "signoff.job_move = die",
    "before the services": "signoff.services_schedule = die",
    "before the certificate": "signoff.certificate_issue = die",
    "before its paper": "certificates.document_request = die",
    "before its number is kept": "certificates.Certificate.objects.create = die",
    "before the hand-over pack": "signoff.hand_over_request = die",
    "before the commit": "signoff.hand_over_request = lambda **told: (whole(**told), die())",
}
SIGN = """
import os, signal
from inspections.models import SiteRecord
from inspections.services import certificates, signoff
from jobs.models import User
def die(*given, **told):
    os.kill(os.getpid(), signal.SIGKILL)
whole = signoff.hand_over_request
{point}
by = User.objects.get(pk={by})
signoff.record_sign_off(
    record=SiteRecord.objects.get(pk={record}), by=by, strokes={ink}["strokes"], width=400, height=120,
    name=by.name, now=timezone.now(),
)
"""


@pytest.fixture
def record(transactional_db, office, technician, installer, inspector):
    """A record that waits for its sign-off."""
    job = job_ready_to_begin(office=office, crew=technician.crew)
    return work_through(job=job, by=installer, inspector=inspector)


@pytest.mark.parametrize("point", POINTS)
def test_killed_at_any_step_nothing_of_it_stays(point, other_processes, record, inspector):
    job = record.job
    signatures, changes = Signature.objects.count(), job.status_changes.count()
    other_processes.hand_out()
    other_processes.run_until_killed(
        SIGN.format(point=POINTS[point], by=inspector.pk, record=record.pk, ink=INK)
    )
    other_processes.take_back()
    assert Job.objects.get(pk=job.pk).status == "ready for sign-off"
    assert job.status_changes.count() == changes
    assert Signature.objects.count() == signatures
    for model in (SignOff, Certificate, Document, ServiceSchedule):
        assert not model.objects.exists(), model
    record_sign_off(record=record, by=inspector, name=inspector.name, now=NOW, **INK)
    assert Certificate.objects.get().number == 1
