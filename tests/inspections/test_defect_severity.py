"""How grave a defect is: from the checklist, from a person, graded anew, and what follows from it."""

from __future__ import annotations

import pytest
from django.urls import reverse

from calcs.rulebook import load_rulebook
from inspections.checklists import checklist_for
from inspections.errors import InspectionsError
from inspections.models import Answer, Defect, DefectGrading
from inspections.queries.defect_words import rule_words
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.defects import defect_grade, defect_report
from inspections.services.records import record_begin
from inspections.services.stages import stage_sign
from tests.factories import NOW
from tests.inspections.closing import INK, job_ready_to_begin, photo_make
from tests.inspections.sending import entry
from tests.inspections.swept import stage_work

pytestmark = pytest.mark.django_db


@pytest.fixture
def repair(office, technician, installer):
    """A repair just begun: its checklist says of some items how grave a failure is."""
    job = job_ready_to_begin(office=office, crew=technician.crew, kind="repair")
    record = record_begin(job=job, by=installer, now=NOW)
    record.photos_taken = 1
    return record


@pytest.fixture
def grade(inspector):
    def say(defect, severity, reason="Looked at it myself.", **told):
        return defect_grade(
            **{"defect": defect, "severity": severity, "reason": reason, "by": inspector, "now": NOW, **told}
        )

    return say


def code_of(call, *given, **told) -> str:
    with pytest.raises(InspectionsError) as refused:
        call(*given, **told)
    assert refused.value.sentence
    return refused.value.code


def answer(record, stage, item, text, by):
    return answer_record(stage=record.stages.get(key=stage), item=item, raw_text=text, by=by, now=NOW)


def test_a_failing_answer_is_as_grave_as_its_item_says_and_names_place_and_rule(repair, installer):
    answer(repair, "putting_right", "parts_listed", "no", installer)
    danger = Defect.objects.get()
    assert (danger.severity, danger.grade) == ("danger", "danger")
    assert danger.place == "Putting right"
    answer(repair, "draft_and_alarms", "co_alarm", "none", installer)
    alarm = Defect.objects.get(item="co_alarm")
    # The rule book of the house says it, not this test: IRC R315 as read for the US.
    rule = load_rulebook("us").find("alarm.co")
    assert alarm.severity == "correct"
    assert alarm.rule == {**rule.source.to_dict(), "says": rule.as_printed}
    assert rule_words(alarm.rule).startswith("A carbon monoxide alarm outside each sleeping area")
    assert "R315" in rule_words(alarm.rule)


def test_what_stayed_unknown_is_to_be_corrected_however_grave_a_failure_would_be(repair, installer):
    answer(repair, "putting_right", "parts_listed", "cannot tell", installer)
    assert Defect.objects.get().severity == "correct"


def test_a_missed_limit_names_the_limits_own_source(answer_on_job, record):
    answer_on_job("ceiling_support", "ceiling_clearance", "1")
    defect = Defect.objects.get()
    assert defect.rule == record.limits["chimney.clearance"]["source"]


@pytest.fixture
def answer_on_job(stage, installer):
    return lambda key, item, text: answer_record(
        stage=stage(key), item=item, raw_text=text, by=installer, now=NOW
    )


def test_advice_stands_in_the_way_of_nothing_even_on_a_new_installation(record, stage, installer):
    told = {"stage": stage("before_work"), "by": installer, "now": NOW}
    defect_report(description="Spare key to the gate", severity="advice", **told)
    view = record_view(record).stage("before_work")
    assert not [one for one in view.missing if "Spare key" in one]
    defect_report(description="Ladder hook loose", severity="correct", **told)
    view = record_view(record).stage("before_work")
    assert [one for one in view.missing if "Ladder hook" in one]


def test_on_a_service_a_stage_is_signed_over_what_is_wrong_but_not_over_what_is_not_known(repair, installer):
    stage_work(repair, "before_work", installer)
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": NOW}
    answer(repair, "putting_right", "venting", "closed", installer)
    answer(repair, "putting_right", "parts_listed", "cannot tell", installer)
    assert code_of(stage_sign, name=installer.name, **told, **INK) == "stage_incomplete"
    answer(repair, "putting_right", "parts_listed", "no", installer)
    assert stage_sign(name=installer.name, **told, **INK).is_signed


def test_an_inspector_grades_anew_with_a_reason_and_the_latest_counts(repair, installer, grade):
    told = {"stage": repair.stages.get(key="handover"), "by": installer, "now": NOW}
    defect = defect_report(description="Soot at a joint", severity="danger", **told)
    grade(defect, "correct")
    grade(defect, "advice", "It was a shadow.")
    fresh = Defect.objects.get()
    assert (fresh.severity, fresh.grade) == ("danger", "advice")
    assert list(DefectGrading.objects.values_list("severity", flat=True)) == ["correct", "advice"]


@pytest.mark.parametrize(
    ("severity", "reason", "code"),
    [
        ("worse", "Why", "no_such_severity"),
        ("danger", "  ", "reason_missing"),
        ("correct", "Why", "graded_so"),
    ],
)
def test_a_grading_says_what_it_lacks(repair, installer, grade, *, severity, reason, code):
    told = {"stage": repair.stages.get(key="handover"), "by": installer, "now": NOW}
    defect = defect_report(description="Soot at a joint", **told)
    assert code_of(grade, defect, severity, reason) == code
    assert not DefectGrading.objects.exists()


def test_the_crew_and_the_office_grade_nothing(repair, installer, office, grade):
    told = {"stage": repair.stages.get(key="handover"), "by": installer, "now": NOW}
    defect = defect_report(description="Soot at a joint", severity="danger", **told)
    for person in (installer, office):
        assert code_of(grade, defect, "advice", by=person) == "not_an_inspector"


def test_photos_as_found_all_count_and_are_no_work_of_an_inspectors(repair, installer, inspector, grade):
    told = {"stage": repair.stages.get(key="handover"), "now": NOW}
    photos = [photo_make(job=repair.job, by=inspector, number=number) for number in (1, 2)]
    defect = defect_report(description="Soot at a joint", by=inspector, photos=photos, **told)
    another = photo_make(job=repair.job, by=installer, number=3)
    key = f"{defect.item}-found"
    answer_record(item=key, raw_text="", photo=another, by=installer, **told)
    assert [one.photo for one in Answer.objects.filter(item=key).order_by("pk")] == [*photos, another]
    assert set(record_view(repair).photos) == {*photos, another}
    # To show what is wrong is not to have done the work: the inspector still answers for the record.
    assert grade(defect, "advice").by == inspector


def test_a_photo_of_a_defect_on_an_item_of_the_checklist_closes_nothing(repair, installer):
    answer(repair, "putting_right", "parts_listed", "no", installer)
    photo = photo_make(job=repair.job, by=installer, number=1)
    stage = repair.stages.get(key="putting_right")
    answer_record(stage=stage, item="parts_listed-found", raw_text="", photo=photo, by=installer, now=NOW)
    assert Defect.objects.get().is_open
    item = record_view(repair).stage("putting_right").item("parts_listed-found")
    assert item.answer.answer.photo == photo


def test_without_a_defect_there_is_no_photo_of_one(repair, installer):
    photo = photo_make(job=repair.job, by=installer, number=1)
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": NOW, "photo": photo}
    assert code_of(answer_record, item="parts_listed-found", raw_text="", **told) == "no_such_item"


def test_a_tablet_says_how_grave_and_where_and_an_older_one_is_read_as_to_be_corrected(on_site):
    grave = entry("defect", "sealing", "", "Flue open", severity="danger", place="In the attic")
    older = entry("defect", "sealing", "", "Dent", tells_what_it_saw=False)
    assert [one.outcome for one in on_site.send(grave, older)] == ["accepted", "accepted"]
    told = Defect.objects.order_by("pk").values_list("severity", "place")
    assert list(told) == [("danger", "In the attic"), ("correct", "Sealing")]


def test_the_same_entry_with_another_grade_is_another_entry(on_site):
    first = entry("defect", "sealing", "", "Flue open", severity="correct")
    second = entry("defect", "sealing", "", "Flue open", severity="danger", entry=first.entry)
    on_site.send(first)
    assert on_site.send_one(second).code == "entry_differs"


def test_the_page_grades_anew_and_brings_back_what_was_refused(as_user, inspector, stage, installer, job):
    defect = defect_report(stage=stage("sealing"), description="Dent", by=installer, now=NOW)
    path = reverse("defect_grade", args=[job.pk, defect.pk])
    client = as_user(inspector)
    refused = client.post(path, {"severity": "danger", "reason": " "})
    assert refused.status_code == 422
    assert "Write why it is graded anew" in refused.content.decode()
    client.post(path, {"severity": "danger", "reason": "It leaks."})
    page = client.get(reverse("record_review", args=[job.pk])).content.decode()
    assert "Immediate danger" in page
    assert "It leaks." in page
    assert "Do not use" in page


def test_the_grading_page_turns_others_away(turns_away, stage, installer, job):
    defect = defect_report(stage=stage("sealing"), description="Dent", by=installer, now=NOW)
    path = reverse("defect_grade", args=[job.pk, defect.pk])
    turns_away(path, method="post", forbidden="office")


def test_every_item_named_danger_or_with_a_rule_is_one_of_a_failing_kind():
    items = [item for _, item in checklist_for(kind="repair", route="").items()]
    grave = [one for one in items if one.severity == "danger"]
    assert len(grave) >= 5
    assert not [one for one in grave if one.kind in {"note", "photo"}]
