"""Answers: read, judged, kept."""

from __future__ import annotations

import uuid

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calcs.checks import Limit, Source, SourceKind
from inspections.checklists import Item
from inspections.errors import InspectionsError
from inspections.models import Answer, Defect, Signature, StageRecord
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.reading import answer_read
from inspections.services.records import record_begin
from jobs.models import JobStatus
from tests.factories import NOW
from tests.inspections.closing import INK, job_ready_to_begin, photo_make

pytestmark = pytest.mark.django_db
GAP = Item(key="gap", kind="measure", ask="Gap", how="Tape.", quantity="length", limit="chimney.clearance")
LEAST = Limit(0.0508, None, "m", Source(SourceKind.LISTING, "sheet"))


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("2 1/8", 0.053975),
        ('2-1/8"', 0.053975),
        ("2⅛″", 0.053975),
        ("54 mm", 0.054),
        ("0' 2 1/8\"", 0.053975),
    ],
)
def test_it_reads_lengths_as_people_write_them(answer, text, metres):
    given_answer = answer("ceiling_support", "ceiling_clearance", text)
    assert given_answer.value == pytest.approx(metres)
    assert (given_answer.raw_text, given_answer.outcome) == (text, "pass")
    assert given_answer.margin == pytest.approx(metres - 0.0508)
    assert given_answer.limit["source"]["reference"] == "Sheet GH-9, 1st edition"


def test_a_bare_number_is_in_millimetres_at_a_metric_house(office, technician, installer):
    job = job_ready_to_begin(office=office, crew=technician.crew, site__unit_system="metric")
    record = record_begin(job=job, by=installer, now=NOW)
    stage = record.stages.get(key="ceiling_support")
    kept = answer_record(stage=stage, item="ceiling_clearance", raw_text="55", by=installer, now=NOW)
    assert kept.value == pytest.approx(0.055)


def test_exactly_at_the_limit_passes(answer):
    assert answer("ceiling_support", "ceiling_clearance", "2").outcome == "pass"


def test_a_sixteenth_short_fails_and_opens_a_defect_that_says_by_how_much(answer):
    kept = answer("ceiling_support", "ceiling_clearance", "1 15/16")
    defect = kept.opened_defect
    assert kept.outcome == "fail"
    assert "measured 1 15/16 in, at least 2 in is required; 1/16 in too little" in defect.description
    assert defect.is_open


def test_a_later_pass_closes_the_defect_and_keeps_the_failure(answer):
    failed = answer("ceiling_support", "ceiling_clearance", "1")
    passed = answer("ceiling_support", "ceiling_clearance", "2 1/4")
    defect = Defect.objects.get()
    assert (defect.opened_by_answer, defect.closed_by_answer) == (failed, passed)
    assert passed.supersedes == failed
    assert Answer.objects.count() == 2


def test_failing_twice_is_one_defect(answer):
    answer("ceiling_support", "ceiling_clearance", "1")
    answer("ceiling_support", "ceiling_clearance", "1 1/2")
    assert Defect.objects.filter(closed_at=None).count() == 1


def test_without_a_limit_it_is_unknown_and_never_a_pass(office, technician, installer):
    job = job_ready_to_begin(office=office, crew=technician.crew, chimney__clearance=None)
    record = record_begin(job=job, by=installer, now=NOW)
    stage = record.stages.get(key="ceiling_support")
    kept = answer_record(stage=stage, item="ceiling_clearance", raw_text="20 in", by=installer, now=NOW)
    assert (kept.outcome, kept.limit, kept.margin) == ("unknown", None, None)
    assert "no limit is known" in kept.opened_defect.description


def test_what_could_not_be_measured_is_unknown(answer):
    kept = answer("ceiling_support", "ceiling_clearance", "cannot tell")
    assert (kept.outcome, kept.value) == ("unknown", None)
    assert "could not be measured" in kept.opened_defect.description


@pytest.mark.parametrize(
    ("stage_key", "item", "text", "code"),
    [
        ("ceiling_support", "ceiling_clearance", "two", "not_understood"),
        ("ceiling_support", "ceiling_clearance", "", "empty"),
        ("ceiling_support", "ceiling_clearance", "-2", "negative"),
        ("ceiling_support", "ceiling_clearance", "1,200", "ambiguous_comma"),
        ("ceiling_support", "support_screws", "2.5", "not_understood"),
        ("commissioning", "draft", "12", "no_unit"),
        ("commissioning", "draft", "-12 Pa", "negative"),
        ("before_work", "services_traced", "maybe", "yes_or_no"),
        ("before_work", "permit", "lost", "no_such_choice"),
        ("before_work", "before_note", "  ", "note_empty"),
        ("before_work", "label_photo", "", "photo_missing"),
        ("before_work", "nothing", "yes", "no_such_item"),
        ("attic_protection", "enclosure_clearance", "2", "item_not_asked"),
    ],
)
def test_it_refuses_what_it_cannot_read_and_keeps_nothing(answer, stage_key, item, text, code):
    with pytest.raises(InspectionsError) as refused:
        answer(stage_key, item, text)
    assert refused.value.code == code
    assert refused.value.sentence.endswith((".", "?"))
    assert not Answer.objects.exists()


def test_a_choice_that_fails_opens_a_defect_in_its_words(answer):
    kept = answer("before_work", "permit", "missing")
    assert kept.opened_defect.description == "Permit or notice: Required and not here."


def test_a_choice_that_judges_nothing_is_recorded(answer):
    assert answer("attic_protection", "attic_way", "shield").outcome == "recorded"


def test_choosing_the_enclosure_asks_for_its_items_and_drops_the_shields_defects(answer):
    answer("attic_protection", "attic_way", "shield")
    answer("attic_protection", "shield_whole", "no")
    chosen = answer("attic_protection", "attic_way", "enclosure")
    assert Defect.objects.get().closed_by_answer == chosen
    assert answer("attic_protection", "enclosure_clearance", "2").outcome == "pass"
    with pytest.raises(InspectionsError) as refused:
        answer("attic_protection", "shield_whole", "yes")
    assert refused.value.code == "item_not_asked"


def test_choosing_back_asks_for_the_failed_item_again(answer, record):
    answer("attic_protection", "attic_way", "shield")
    answer("attic_protection", "shield_whole", "no")
    answer("attic_protection", "attic_way", "enclosure")
    answer("attic_protection", "attic_way", "shield")
    item = record_view(record).stage("attic_protection").item("shield_whole")
    assert (item.verdict, item.defect, item.settled) == ("fail", None, False)


def test_a_deposit_found_before_sweeping_is_no_defect(office, technician, installer):
    job = job_ready_to_begin(office=office, crew=technician.crew, kind="annual sweep")
    record = record_begin(job=job, by=installer, now=NOW)
    stage = record.stages.get(key="deposit")
    kept = answer_record(stage=stage, item="deposit_before", raw_text="1/4", by=installer, now=NOW)
    assert kept.outcome == "fail"
    assert not Defect.objects.exists()
    assert record_view(record).stage("deposit").item("deposit_before").settled
    left = answer_record(stage=stage, item="deposit_after", raw_text="1/4", by=installer, now=NOW)
    assert left.opened_defect.is_open


def test_the_same_entry_sent_twice_is_kept_once(answer):
    entry = uuid.uuid4()
    first = answer("before_work", "services_traced", "yes", entry=entry)
    again = answer("before_work", "services_traced", "YES ", entry=entry)
    assert again == first
    assert Answer.objects.count() == 1


def test_an_entry_changed_since_it_arrived_is_told_so_not_dropped(answer):
    entry = uuid.uuid4()
    answer("ceiling_support", "ceiling_clearance", "15 1/2", entry=entry)
    with pytest.raises(InspectionsError) as refused:
        answer("ceiling_support", "ceiling_clearance", "16", entry=entry)
    assert refused.value.code == "entry_differs"
    assert "“15 1/2” had arrived before" in refused.value.sentence


def test_an_entry_used_for_something_else_is_refused(answer):
    entry = uuid.uuid4()
    answer("before_work", "services_traced", "yes", entry=entry)
    with pytest.raises(InspectionsError) as refused:
        answer("before_work", "access_safe", "yes", entry=entry)
    assert refused.value.code == "entry_taken"


def test_an_installer_of_another_crew_may_not_answer(answer, stranger):
    with pytest.raises(InspectionsError) as refused:
        answer("before_work", "services_traced", "yes", by=stranger)
    assert refused.value.code == "not_your_job"


def test_office_and_inspector_may_not_answer(answer, office, inspector):
    for person in (office, inspector):
        with pytest.raises(InspectionsError) as refused:
            answer("before_work", "services_traced", "yes", by=person)
        assert refused.value.code == "not_your_job"


def test_an_owner_may_answer(answer, owner):
    assert answer("before_work", "services_traced", "yes", by=owner).by == owner


def test_a_photo_of_another_job_is_refused(answer, office, technician, installer):
    other = job_ready_to_begin(office=office, crew=technician.crew)
    photo = photo_make(job=other, by=installer, number=1)
    with pytest.raises(InspectionsError) as refused:
        answer("before_work", "label_photo", "", photo=photo)
    assert refused.value.code == "photo_of_another_job"


def test_device_and_its_clock_are_kept_beside_the_servers(answer):
    kept = answer("before_work", "services_traced", "yes", device="Tablet 4" * 40, device_time=NOW)
    assert (len(kept.device), kept.device_time, kept.received_at) == (120, NOW, NOW)


def test_nothing_is_entered_on_a_cancelled_job(answer, job):
    type(job).objects.filter(pk=job.pk).update(status=JobStatus.CANCELLED)
    with pytest.raises(InspectionsError) as refused:
        answer("before_work", "services_traced", "yes")
    assert refused.value.code == "job_not_on_site"


def test_a_signed_stage_refuses_answers(answer, stage, installer):
    signature = Signature.objects.create(name="Ivo", user=installer, signed_at=NOW, **INK)
    StageRecord.objects.filter(pk=stage("before_work").pk).update(
        signed_at=NOW, signed_by=installer, signature=signature
    )
    with pytest.raises(InspectionsError) as refused:
        answer("before_work", "services_traced", "no")
    assert refused.value.code == "stage_signed"
    assert not Answer.objects.exists()


@given(sixteenths=st.integers(0, 4000))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_the_verdict_is_that_of_the_limit_for_every_sixteenth(sixteenths):
    whole, rest = divmod(sixteenths, 16)
    text = f"{whole} {rest}/16" if rest else str(whole)
    reading = answer_read(item=GAP, raw_text=text, photo=None, limit=LEAST, system="imperial")
    assert reading.outcome == ("pass" if sixteenths >= 32 else "fail")


@given(text=st.text(max_size=80))
@settings(deadline=None)
def test_whatever_is_typed_is_judged_or_refused_in_a_sentence(text):
    try:
        told = answer_read(item=GAP, raw_text=text, photo=None, limit=LEAST, system="metric").outcome
    except InspectionsError as refused:
        told = refused.sentence
    assert told in {"pass", "fail", "unknown"} or told.endswith((".", "?"))
