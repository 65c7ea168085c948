"""A danger is recorded with its notice or not at all, wherever the power goes; then it is sent again."""

from __future__ import annotations

import pytest

from inspections.models import Defect, DoNotUseNotice
from inspections.services.defects import defect_report
from inspections.services.records import record_begin
from jobs.models import Document, OutgoingMail
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin

POINTS = {
    "before the defect": "desk.Defect.objects.bulk_create = die",
    "before the paper": "notices.document_request = die",
    "before a mail": "notices.mail_queue = die",
    "before the notice": "notices.DoNotUseNotice.objects.create = die",
    "before the commit": "desk.notices_settle = lambda **told: (whole(**told), die())",
}
REPORT = """
import os, signal
from inspections.models import StageRecord
from inspections.services import defects, desk, notices
from jobs.models import User
def die(*given, **told):
    os.kill(os.getpid(), signal.SIGKILL)
whole = desk.notices_settle
{point}
by = User.objects.get(pk={by})
stage = StageRecord.objects.get(pk={stage})
defects.defect_report(stage=stage, description="Flue open", severity="danger", by=by, now=timezone.now())
"""


@pytest.mark.parametrize("point", POINTS)
def test_killed_at_any_step_there_is_no_danger_without_its_notice(
    point, other_processes, office, technician, installer
):
    job = job_ready_to_begin(office=office, crew=technician.crew)
    stage = record_begin(job=job, by=installer, now=NOW).stages.get(key="sealing")
    other_processes.hand_out()
    other_processes.run_until_killed(REPORT.format(point=POINTS[point], by=installer.pk, stage=stage.pk))
    other_processes.take_back()
    for model in (Defect, DoNotUseNotice, Document, OutgoingMail):
        assert not model.objects.exists(), model
    defect_report(stage=stage, description="Flue open", severity="danger", by=installer, now=NOW)
    assert DoNotUseNotice.objects.get().document == Document.objects.get()
