"""What a sweep leaves open goes into a repair, and the repair's evidence closes it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from config.evidence import ROWS
from inspections.errors import InspectionsError
from inspections.models import CarriedDefect, Certificate, Defect, DoNotUseNotice, SiteRecord
from inspections.queries.open_defects import dangers_of, open_defects_of
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.defects import defect_grade, defect_report, waiver_accept
from inspections.services.notices import notice_told
from inspections.services.records import record_begin
from inspections.services.stages import stage_sign
from jobs.models import Job, JobKind, JobStatus
from jobs.services.evidence_checks import EvidenceCheck
from jobs.services.jobs import job_move
from tests.factories import NOW
from tests.inspections.agreeing import bundle_json, differences, told_by_server, told_by_tablet
from tests.inspections.closing import INK, job_ready_to_begin, photo_make
from tests.inspections.proved import guards_off
from tests.inspections.reopened import REOPENED_AT, reopen
from tests.inspections.swept import LATER, job_work, repair_begin, sign_off, stage_work
from tests.node import tablet_asked

pytestmark = pytest.mark.django_db
#: The clearance of the connector, missed: a measure that a repair measures again.
TOO_NEAR = {"connector_clearance": "1 in"}


@pytest.fixture
def sweep(office, technician, installer):
    """A sweep worked from end to end: one measure fails, and one defect is reported by hand."""
    job = job_ready_to_begin(
        office=office, crew=technician.crew, kind="annual sweep", appliance__connector_clearance=0.4572,
        appliance__least_draft=12.0, chimney__clearance=0.0508,
    )  # fmt: skip
    record = record_begin(job=job, by=installer, now=NOW)
    told = {"by": installer, "now": NOW}
    first = record.stages.order_by("position")[0]
    photo = photo_make(job=job, by=installer, number=90)
    defect_report(stage=first, description="Flue open", severity="danger", photos=[photo], **told)
    defect_report(stage=first, description="Broom worn", severity="advice", **told)
    job_work(record, installer, given={**TOO_NEAR, **_unanswered(record)})
    return record


def _unanswered(record) -> dict[str, str]:
    """The items by which a defect raised by hand is put right: nobody puts it right on the sweep."""
    return {one.item: "no" for one in Defect.objects.filter(stage__record=record)}


@pytest.fixture
def repair(sweep, inspector, technician, installer):
    """The repair that followed, begun."""
    sign_off(sweep, inspector)
    return repair_begin(Job.objects.get(kind=JobKind.REPAIR), technician.crew, installer)


def found(record) -> dict[str, Defect]:
    return {one.description.split(":")[0]: one for one in Defect.objects.filter(stage__record=record)}


def test_a_sweep_is_signed_off_and_what_it_leaves_goes_into_one_repair(sweep, inspector):
    sign_off(sweep, inspector)
    sweep.job.refresh_from_db()
    repair = Job.objects.get(kind=JobKind.REPAIR)
    assert (sweep.job.status, repair.status) == (JobStatus.CLOSED, JobStatus.PLANNED)
    carried = {one.defect.description.split(":")[0] for one in CarriedDefect.objects.filter(job=repair)}
    assert carried == {"Flue open", "Connector to anything that burns"}
    assert sweep.job.number in repair.note
    assert "Immediate danger: Flue open" in repair.note
    assert len(open_defects_of(sweep.job.installation)) == 3


def test_the_certificate_says_how_grave_where_and_where_it_goes(sweep, inspector):
    sign_off(sweep, inspector)
    told = Certificate.objects.get().document.context["defects"]
    flue = next(one for one in told if one["description"] == "Flue open")
    assert flue["severity"]["word"] == "Immediate danger"
    assert flue["place"] == "Before work"
    # The first was taken before the work, the second of the defect as found, the third when it was tried.
    assert flue["photos"] == "2, 3"
    repair = Job.objects.get(kind=JobKind.REPAIR)
    assert flue["ended"] == f"Still open; to be put right on {repair.number}. The stove is not to be used"
    near = next(one for one in told if one["description"].startswith("Connector"))
    assert near["rule"]


def test_the_page_for_sign_off_says_what_is_carried(sweep, as_user, inspector):
    page = as_user(inspector).get(reverse("record_review", args=[sweep.job_id])).content.decode()
    assert "2 defects stay open." in page
    assert "a repair is opened" in page


def test_a_danger_nobody_told_the_customer_of_keeps_the_job_open(sweep, inspector):
    guards_off()
    DoNotUseNotice.objects.update(mail=None)
    with pytest.raises(InspectionsError) as refused:
        sign_off(sweep, inspector)
    assert refused.value.code == "record_incomplete"
    assert "has not been told" in refused.value.sentence
    notice_told(notice=DoNotUseNotice.objects.get(), by=inspector, now=NOW)
    assert sign_off(sweep, inspector)


def test_the_repair_shows_each_with_what_it_takes(repair):
    items = [one for one in record_view(repair).stage("putting_right").items if "defect-" in one.key]
    asked = [(one.item.kind, one.required) for one in items]
    assert asked.count(("note", True)) == 2
    assert asked.count(("photo", True)) == 2
    assert asked.count(("confirm", True)) == 2
    [measure] = [one for one in items if one.item.kind == "measure"]
    assert measure.item.ask.startswith("Measured again, D-")
    assert measure.item.ask.endswith(": Connector to anything that burns")
    assert measure.limit_text == "at least 18 in"


def test_its_copies_are_not_counted_twice_and_put_no_second_notice_out(repair):
    assert len(open_defects_of(repair.job.installation)) == 3
    assert DoNotUseNotice.objects.count() == 1


def test_what_it_came_for_is_put_right_or_the_stage_stays_open(repair, installer):
    stage_work(repair_counted(repair), "before_work", installer, LATER)
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": LATER}
    flue = found(repair)["Flue open"]
    answer_record(item="parts_listed", raw_text="yes", **told)
    answer_record(item="venting", raw_text="closed", **told)
    answer_record(item=flue.item, raw_text="no", **told)
    with pytest.raises(InspectionsError) as refused:
        stage_sign(name=installer.name, **told, **INK)
    assert refused.value.code == "stage_incomplete"


def repair_counted(record):
    record.photos_taken = 30
    return record


def test_a_word_without_a_photo_closes_nothing_and_all_of_it_closes_the_original_by_that_answer(
    repair, sweep, installer
):
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": LATER}
    copy, origin = found(repair)["Flue open"], found(sweep)["Flue open"]
    answer_record(item=copy.item, raw_text="yes", **told)
    answer_record(item=f"{copy.item}-done", raw_text="New section fitted.", **told)
    copy.refresh_from_db()
    assert copy.is_open
    assert dangers_of(repair.job.installation) == [origin]
    photo = photo_make(job=repair.job, by=installer, number=40, now=LATER)
    last = answer_record(item=f"{copy.item}-photo", raw_text="", photo=photo, **told)
    for one in (copy, origin):
        one.refresh_from_db()
        assert one.closed_by_answer == last
    assert dangers_of(repair.job.installation) == []
    notice = DoNotUseNotice.objects.get()
    assert repair.job.number in notice.lifted_by_what


def test_a_measure_is_taken_again_against_the_limit_in_force(repair, sweep, installer):
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": LATER}
    copy, origin = (found(one)["Connector to anything that burns"] for one in (repair, sweep))
    photo = photo_make(job=repair.job, by=installer, number=40, now=LATER)
    answer_record(item=f"{copy.item}-done", raw_text="Shelf moved.", **told)
    answer_record(item=f"{copy.item}-photo", raw_text="", photo=photo, **told)
    answer_record(item=copy.item, raw_text="yes", **told)
    near = answer_record(item=f"{copy.item}-measure", raw_text="12 in", **told)
    assert near.outcome == "fail"
    origin.refresh_from_db()
    assert origin.is_open
    assert Defect.objects.filter(stage__record=repair, closed_at=None).count() == 2
    far = answer_record(item=f"{copy.item}-measure", raw_text="20 in", **told)
    origin.refresh_from_db()
    assert origin.closed_by_answer == far


def test_what_fails_after_it_was_put_right_is_a_danger_again_with_a_notice_of_its_own(repair, installer):
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": LATER}
    copy = found(repair)["Flue open"]
    photo = photo_make(job=repair.job, by=installer, number=40, now=LATER)
    answer_record(item=f"{copy.item}-done", raw_text="Fitted.", **told)
    answer_record(item=f"{copy.item}-photo", raw_text="", photo=photo, **told)
    answer_record(item=copy.item, raw_text="yes", **told)
    answer_record(item=copy.item, raw_text="no", **told)
    [again] = dangers_of(repair.job.installation)
    assert again.stage.record == repair
    assert DoNotUseNotice.objects.filter(lifted_at=None).get().defect == again


def test_a_waiver_on_the_repair_closes_the_original_too(repair, sweep, inspector):
    copy, origin = found(repair)["Flue open"], found(sweep)["Flue open"]
    told = {"authority": "Fire marshal", "reason": "Capped for good.", "by": inspector, "now": LATER}
    waiver_accept(defect=copy, **told)
    origin.refresh_from_db()
    assert not origin.is_open
    assert "authority of Fire marshal" in DoNotUseNotice.objects.get().lifted_by_what


def test_put_right_where_it_was_found_it_is_closed_on_the_repair_and_asked_there_no_more(
    repair, sweep, inspector, installer
):
    reopen(SiteRecord.objects.get(pk=sweep.pk), inspector)
    copy, origin = found(repair)["Flue open"], found(sweep)["Flue open"]
    answer_record(
        stage=origin.stage,
        item=origin.item,
        raw_text="yes",
        by=installer,
        now=REOPENED_AT + timedelta(hours=1),
    )
    copy.refresh_from_db()
    assert copy.closed_at is not None
    assert copy.closed_by_answer == Defect.objects.get(pk=origin.pk).closed_by_answer
    assert dangers_of(sweep.job.installation) == []
    assert not DoNotUseNotice.objects.filter(lifted_at=None).exists()
    stage = record_view(repair).stage("putting_right")
    assert stage is not None
    assert all(not one.required for one in stage.items if one.key.startswith(copy.item))
    assert list(EvidenceCheck(ROWS, files=False).breaks(Job.objects.all())) == []


def test_a_grading_on_the_repair_counts_where_it_was_found(repair, sweep, inspector):
    copy, origin = found(repair)["Flue open"], found(sweep)["Flue open"]
    defect_grade(defect=copy, severity="correct", reason="Cold flue.", by=inspector, now=LATER)
    assert Defect.objects.get(pk=origin.pk).grade == "correct"
    assert dangers_of(repair.job.installation) == []


def test_a_repair_called_off_leaves_them_open_and_the_office_opens_another(
    sweep, inspector, as_user, office, *, technician, installer
):
    sign_off(sweep, inspector)
    repair = Job.objects.get(kind=JobKind.REPAIR)
    record = repair_begin(repair, technician.crew, installer)
    path = reverse("follow_up_add", args=[sweep.job.installation_id])
    client = as_user(office)
    assert "No defect here waits" in client.post(path, follow=True).content.decode()
    job_move(job=Job.objects.get(pk=record.job_id), to="cancelled", by=office, now=LATER, reason="Moved out")
    assert len(dangers_of(sweep.job.installation)) == 1
    house = reverse("installation_detail", args=[sweep.job.installation_id])
    assert "Open a repair for 2" in client.get(house).content.decode()
    client.post(path)
    assert Job.objects.filter(kind=JobKind.REPAIR).count() == 2
    page = client.get(house).content.decode()
    for said in ("found by", "Followed up by", "it still holds", "Immediate danger"):
        assert said in page, said


def test_the_follow_up_page_turns_others_away(
    sweep, as_user, office, *, installer, stranger, inspector, client
):
    path = reverse("follow_up_add", args=[sweep.job.installation_id])
    assert client.post(path).url.startswith(reverse("account_login"))
    for person in (installer, inspector, stranger):
        assert as_user(person).post(path).status_code == 403
    assert as_user(office).get(path).status_code == 405
    missing = reverse("follow_up_add", args=[sweep.job.installation_id + 99])
    assert as_user(office).post(missing).status_code == 404


def test_a_tablet_sees_the_repair_as_the_server_does_whatever_is_done_to_it(repair, installer):
    told = {"stage": repair.stages.get(key="putting_right"), "by": installer, "now": LATER}
    copy = found(repair)["Connector to anything that burns"]
    flue = found(repair)["Flue open"]
    photo = photo_make(job=repair.job, by=installer, number=40, now=LATER)
    steps = (
        ("-measure", "12 in", None), ("-done", "Shelf moved.", None), ("", "yes", None),
        ("-photo", "", photo),
        ("-measure", "20 in", None), ("-measure", "3 in", None), ("-measure", "19 in", None),
    )  # fmt: skip
    seen = []
    for end, text, picture in steps:
        answer_record(item=f"{copy.item}{end}", raw_text=text, photo=picture, **told)
        seen.append(_both(repair, installer))
    answer_record(item=flue.item, raw_text="no", **told)
    seen.append(_both(repair, installer))
    views = tablet_asked([("record.recordView", [given]) for given, _ in seen])
    for place, ((_, server), view) in enumerate(zip(seen, views, strict=True)):
        assert list(differences(server, told_by_tablet(view["value"])))[:5] == [], place
    assert seen[0][0]["bundle"]["may_carry"]


def _both(record, by):
    fresh = type(record).objects.get(pk=record.pk)
    bundle = bundle_json(record.job, by, LATER)
    return {"bundle": bundle, "entries": [], "receipts": []}, told_by_server(record_view(fresh))


def test_a_tablet_on_another_job_at_the_stove_is_told_not_to_use_it(sweep, installer, office, technician):
    other = Job.objects.create(
        installation=sweep.job.installation, kind="inspection level 1", status="planned", created_at=LATER
    )
    assert bundle_json(other, office, LATER)["do_not_use"] == ["Flue open"]
    assert bundle_json(sweep.job, installer, LATER)["do_not_use"] == []


def test_the_paper_prints_how_grave_where_which_rule_and_which_photos(sweep, inspector):
    context = sign_off(sweep, inspector).certificates.get().document.context
    page = render_to_string("documents/certificate/defects.html", context)
    for said in ("Immediate danger", "Advice", "Where: Before work", "Photo 2, 3", "Rule: ", "Still open"):
        assert said in page, said
