"""A do-not-use notice on its way through a real mail server."""

from __future__ import annotations

import pytest

from inspections.services.answers import answer_record
from inspections.services.defects import defect_report
from inspections.services.records import record_begin
from jobs.models import OutgoingMail, Shop
from jobs.services.mail import mails_send_left
from tests.factories import NOW
from tests.inspections.closing import job_ready_to_begin

pytestmark = pytest.mark.django_db


def test_notice_and_lifting_each_reach_the_customer_once(
    smtp_server, over_smtp, office, technician, installer
):
    over_smtp(smtp_server)
    Shop.current()
    Shop.objects.update(email="office@shop.example")
    job = job_ready_to_begin(office=office, crew=technician.crew)
    stage = record_begin(job=job, by=installer, now=NOW).stages.get(key="sealing")
    told = {"stage": stage, "by": installer, "now": NOW}
    defect = defect_report(description="Flue open", severity="danger", **told)
    assert mails_send_left(now=NOW) == 2
    answer_record(item=defect.item, raw_text="yes", **told)
    assert mails_send_left(now=NOW) == 1
    assert mails_send_left(now=NOW) == 0
    customer = job.installation.site.customer.email
    arrived = [one.message for one in smtp_server.received if one.to == [customer]]
    assert [one["Subject"] for one in arrived] == [
        "Do not use your stove",
        "Your do-not-use notice is lifted",
    ]
    assert arrived[0]["Reply-To"] == "office@shop.example"
    text, html = (part.get_content() for part in arrived[0].iter_parts())
    assert "Flue open" in text
    assert "Flue open" in html
    assert OutgoingMail.objects.filter(done_at=None).count() == 0
