"""A closed job opened again, put right and signed off once more, for tests of what comes of it."""

from __future__ import annotations

from datetime import datetime, timedelta

from inspections.models import SignOff, SignOffReopening, SiteRecord
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.reopening import record_reopen
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.models import User
from tests.factories import NOW
from tests.inspections.closing import INK

REOPENED_AT = NOW + timedelta(days=3)
WHY = "The cap was not fixed."


def reopen(record: SiteRecord, by: User, **told) -> SignOffReopening:
    """Open a closed job again; its first stage goes back unless told otherwise."""
    first = record.stages.order_by("position").first()
    assert first is not None
    return record_reopen(
        **{"record": record, "by": by, "reason": WHY, "stages": [first.key], "now": REOPENED_AT, **told}
    )


def put_right(record: SiteRecord, by: User, now: datetime = REOPENED_AT + timedelta(hours=2)) -> None:
    """Answer what each open stage asks to be put right, and sign it again."""
    for defect in record_view(record).open_defects:
        answer_record(stage=defect.stage, item=defect.item, raw_text="yes", by=by, now=now)
    for stage in record.stages.filter(signed_at=None).order_by("position"):
        stage_sign(stage=stage, by=by, name=by.name, now=now, **INK)


def sign_again(record: SiteRecord, by: User, now: datetime = REOPENED_AT + timedelta(hours=3)) -> SignOff:
    """Sign the record off once more."""
    return record_sign_off(record=record, by=by, name=by.name, now=now, **INK)
