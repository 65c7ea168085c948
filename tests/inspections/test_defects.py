"""Defects raised by hand, waivers, and stages sent back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inspections.errors import InspectionsError
from inspections.models import Answer, Defect, Signature, StageReturn, Waiver
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.defects import defect_report, waiver_accept
from inspections.services.returns import record_return
from inspections.services.signoff import record_sign_off
from inspections.services.stages import stage_sign
from jobs.models import JobStatus, Shop
from tests.factories import NOW
from tests.inspections.closing import INK, work_through

pytestmark = pytest.mark.django_db


@pytest.fixture
def ready(job, installer):
    """A record with every stage signed."""
    return work_through(job=job, by=installer)


def code_of(call, **told) -> str:
    with pytest.raises(InspectionsError) as refused:
        call(**told)
    assert refused.value.sentence
    return refused.value.code


def test_a_defect_raised_by_hand_asks_to_be_put_right(record, stage, installer, answer):
    defect = defect_report(stage=stage("sealing"), description="Nail head open", by=installer, now=NOW)
    view = record_view(record).stage("sealing")
    assert view.items[-2].item.ask == "Put right: Nail head open"
    assert view.items[-2].required
    answer("sealing", defect.item, "yes")
    defect.refresh_from_db()
    assert not defect.is_open


def test_answering_no_to_a_correction_keeps_its_one_defect_open(record, stage, installer, answer):
    defect = defect_report(stage=stage("sealing"), description="Nail head open", by=installer, now=NOW)
    answer("sealing", defect.item, "no")
    assert list(Defect.objects.filter(closed_at=None)) == [defect]


def test_a_correction_that_fails_later_is_still_asked_for_once(record, stage, installer, answer):
    defect = defect_report(stage=stage("sealing"), description="Nail head open", by=installer, now=NOW)
    answer("sealing", defect.item, "yes")
    answer("sealing", defect.item, "no")
    view = record_view(record).stage("sealing")
    asked = [item for item in view.items if item.key == defect.item]
    assert [item.item.ask for item in asked] == ["Put right: Nail head open"]
    assert asked[0].defect is not None


def test_a_defect_on_the_photo_of_a_correction_asks_for_no_further_items(record, stage, installer):
    defect = defect_report(stage=stage("sealing"), description="Nail head open", by=installer, now=NOW)
    before = [item.key for item in record_view(record).stage("sealing").items]
    photo = f"{defect.item}-photo"
    defect_report(stage=stage("sealing"), description="Blurred", item=photo, by=installer, now=NOW)
    view = record_view(record).stage("sealing")
    assert [item.key for item in view.items] == before
    assert view.item(photo).defect.description == "Blurred"


def test_a_defect_raised_on_an_item_closes_by_that_items_next_pass(record, stage, inspector, answer):
    answer("sealing", "nail_heads", "yes")
    defect = defect_report(
        stage=stage("sealing"), item="nail_heads", description="Two heads bare", by=inspector, now=NOW
    )
    assert not record_view(record).stage("sealing").item("nail_heads").settled
    answer("sealing", "nail_heads", "yes")
    defect.refresh_from_db()
    assert defect.closed_by_answer is not None


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"description": "  "}, "description_missing"),
        ({"description": "x", "item": "moon"}, "no_such_item"),
    ],
)
def test_a_defect_needs_words_and_a_place(record, stage, installer, told, code):
    assert code_of(defect_report, stage=stage("sealing"), by=installer, now=NOW, **told) == code


def test_two_defects_on_one_item_at_once_are_refused(record, stage, installer, answer):
    answer("sealing", "nail_heads", "no")
    told = {
        "stage": stage("sealing"),
        "item": "nail_heads",
        "description": "Bare",
        "by": installer,
        "now": NOW,
    }
    assert code_of(defect_report, **told) == "defect_open"


def test_the_office_and_another_crew_raise_no_defect(record, stage, office, stranger):
    for person in (office, stranger):
        told = {"stage": stage("sealing"), "description": "x", "by": person, "now": NOW}
        assert code_of(defect_report, **told) == "not_your_job"


def test_a_waiver_closes_a_defect_with_authority_and_reason(answer, inspector, record):
    defect = answer("ceiling_support", "ceiling_clearance", "1").opened_defect
    waiver_accept(defect=defect, by=inspector, authority="Town hall", reason="Listed spacer", now=NOW)
    item = record_view(record).stage("ceiling_support").item("ceiling_clearance")
    assert (item.settled, item.waiver.authority, item.verdict) == (True, "Town hall", "fail")


@pytest.mark.parametrize(
    ("told", "code"),
    [({"authority": " "}, "authority_missing"), ({"reason": ""}, "reason_missing")],
)
def test_a_waiver_needs_authority_and_reason(answer, inspector, told, code):
    defect = answer("ceiling_support", "ceiling_clearance", "1").opened_defect
    whole = {"defect": defect, "by": inspector, "authority": "Town", "reason": "Why", "now": NOW, **told}
    assert code_of(waiver_accept, **whole) == code
    assert not Waiver.objects.exists()


def test_a_waiver_is_accepted_once(answer, inspector):
    defect = answer("ceiling_support", "ceiling_clearance", "1").opened_defect
    told = {"defect": defect, "by": inspector, "authority": "Town", "reason": "Why", "now": NOW}
    waiver_accept(**told)
    assert code_of(waiver_accept, **told) == "defect_closed"


def test_only_an_inspector_or_owner_accepts_a_waiver(answer, installer, office):
    defect = answer("ceiling_support", "ceiling_clearance", "1").opened_defect
    told = {"defect": defect, "authority": "Town", "reason": "Why", "now": NOW}
    assert code_of(waiver_accept, by=installer, **told) == "not_an_inspector"
    assert code_of(waiver_accept, by=office, **told) == "not_an_inspector"


def test_an_owner_does_not_waive_own_work(answer, owner):
    defect = answer("ceiling_support", "ceiling_clearance", "1", by=owner).opened_defect
    told = {"defect": defect, "by": owner, "authority": "Town", "reason": "Why", "now": NOW}
    assert code_of(waiver_accept, **told) == "own_work"
    Shop.current()
    Shop.objects.update(one_person=True)
    assert waiver_accept(**told).by == owner


def test_sending_back_opens_stages_keeps_signatures_and_asks_for_the_correction(ready, inspector, installer):
    before = Answer.objects.count()
    later = NOW + timedelta(hours=2)
    record_return(record=ready, by=inspector, reason="Seal the nails", stages=["sealing"], now=later)
    ready.job.refresh_from_db()
    stage = ready.stages.get(key="sealing")
    assert ready.job.status == JobStatus.ON_SITE
    assert ready.job.status_changes.last().reason == "Sent back: Seal the nails"
    assert not stage.is_signed
    assert (returned := StageReturn.objects.get()).signature.strokes
    assert (returned.signed_by, returned.by, returned.reason) == (installer, inspector, "Seal the nails")
    assert Answer.objects.count() == before
    defect = stage.defects.get()
    assert (defect.description, defect.opened_by) == ("Seal the nails", inspector)


def test_the_crew_corrects_signs_again_and_the_job_is_ready_again(ready, inspector, installer):
    later = NOW + timedelta(hours=2)
    record_return(record=ready, by=inspector, reason="Seal the nails", stages=["sealing"], now=later)
    stage = ready.stages.get(key="sealing")
    told = {"stage": stage, "by": installer, "now": later}
    assert code_of(stage_sign, **told, name=installer.name, **INK) == "stage_incomplete"
    answer_record(**told, item=stage.defects.get().item, raw_text="yes")
    stage_sign(**told, name=installer.name, **INK)
    ready.job.refresh_from_db()
    assert ready.job.status == JobStatus.READY
    assert Signature.objects.count() == 12
    assert not record_view(ready).missing


def test_signed_stages_with_an_open_defect_go_back_too(ready, inspector):
    defect_report(stage=ready.stages.get(key="connector"), description="Loose", by=inspector, now=NOW)
    record_return(record=ready, by=inspector, reason="See defect", stages=[], now=NOW + timedelta(hours=2))
    assert not ready.stages.get(key="connector").is_signed
    assert Defect.objects.count() == 1


def test_a_defect_on_a_signed_stage_keeps_the_job_from_being_closed(ready, inspector):
    defect_report(stage=ready.stages.get(key="connector"), description="Loose", by=inspector, now=NOW)
    told = {"record": ready, "by": inspector, "name": inspector.name, "now": NOW, **INK}
    assert code_of(record_sign_off, **told) == "record_incomplete"


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"reason": ""}, "reason_missing"),
        ({"stages": []}, "no_stage_chosen"),
        ({"stages": ["moon"]}, "no_such_stage"),
    ],
)
def test_sending_back_needs_a_reason_and_a_stage(ready, inspector, told, code):
    whole = {"record": ready, "by": inspector, "reason": "Why", "stages": ["sealing"], "now": NOW, **told}
    assert code_of(record_return, **whole) == code
    assert not StageReturn.objects.exists()


def test_the_crew_sends_nothing_back(ready, installer):
    told = {"record": ready, "by": installer, "reason": "Why", "stages": ["sealing"], "now": NOW}
    assert code_of(record_return, **told) == "not_an_inspector"
